package cases

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func caseOf(events ...Event) *Case {
	opened := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	return &Case{Header: Header{Version: Version, ID: "20260105-090000-tstx", Opened: opened}, Events: events}
}

// minute stamps an event by the minutes since the case was opened.
func minute(m float64, e Event) Event {
	e.At = time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC).Add(time.Duration(m * float64(time.Minute)))
	return e
}

func tried(remedy, result string) Event { return Event{Tried: &Tried{remedy, result}} }
func given(q, v, from string) Event     { return Event{Answer: &Answer{q, v, from}} }
func closed(cause string) Event         { return Event{Close: &Close{Cause: cause}} }

// TestRecordEnd holds how a call ended and which cause counts.
func TestRecordEnd(t *testing.T) {
	handover, reopen := Event{Handover: "visit"}, Event{Reopen: true}
	for _, c := range []struct {
		name       string
		events     []Event
		end, cause string
	}{
		{"nothing yet", []Event{{Say: "x"}}, EndOpen, ""},
		{"cured", []Event{tried("r", Cured)}, EndCured, ""},
		{"changed is not the end", []Event{tried("r", Changed)}, EndOpen, ""},
		{"passed on", []Event{handover}, EndHandover, ""},
		{"passed on, then its cause", []Event{handover, closed("A")}, EndHandover, "A"},
		{"closed with a cause", []Event{closed("A")}, EndClosed, "A"},
		{"closed twice: the last cause", []Event{closed("A"), closed("B")}, EndClosed, "B"},
		{"closed again without a cause", []Event{closed("A"), closed("")}, EndClosed, "A"},
		{"cured and closed", []Event{tried("r", Cured), closed("A")}, EndCured, "A"},
		{"cured by the visit", []Event{handover, tried("r", Cured)}, EndCured, ""},
		{"reopened", []Event{closed("A"), reopen}, EndOpen, ""},
		{"a cure that did not last", []Event{tried("r", Cured), reopen}, EndOpen, ""},
		{"reopened and closed", []Event{handover, closed("A"), reopen, closed("B")}, EndClosed, "B"},
		{"the end taken back", []Event{handover, {Undo: true}}, EndOpen, ""},
	} {
		file := caseOf(c.events...)
		if r := file.Record(); r.End != c.end || r.Cause != c.cause || r.Ended() != file.Ended() {
			t.Errorf("%s: %s with cause %q, want %s with %q; ended %v and %v", c.name, r.End, r.Cause, c.end, c.cause, r.Ended(), file.Ended())
		}
	}
}

// TestRecord holds what else a record says: the last answer counts, "cannot
// tell" takes it back, evidence is an instrument's, a technician's answer his.
func TestRecord(t *testing.T) {
	r := caseOf(
		Event{Say: "x"}, Event{Symptom: "F-01"}, Event{Room: "north-1"},
		given("a", "1", ""), given("b", "1", "volunteered"), given("a", "2", ""),
		given("c", "1", ""), Event{Unknown: "c"}, Event{Unknown: "d"}, given("d", "1", ""),
		Event{Evidence: &Evidence{From: FromSum, Name: "dock", Answers: []EvidenceAnswer{{Question: "e", Value: "over"}}}},
		Event{Who: ByTechnician}, given("f", "1", ""),
		Event{Workaround: "works"}, tried("r", Same), Event{Handover: "visit"}).Record()
	want := Record{ID: r.ID, Opened: r.Opened, End: EndHandover, Symptom: "F-01", Room: "north-1", OnSite: true, Handover: "visit", Started: true,
		Answers: []Given{{"b", "1", ByCaller}, {"a", "2", ByCaller}, {"d", "1", ByCaller}, {"e", "over", ByInstrument}, {"f", "1", ByTechnician}},
		Unknown: []string{"c"}, Tried: []Tried{{"r", Same}}}
	if diff := cmp.Diff(want, r); diff != "" {
		t.Errorf("record (-want +got):\n%s", diff)
	}
	if r.OnPhone() {
		t.Error("a call that was passed on counts as cured on the phone")
	}
}

// TestMinutes counts the time on the line alone.
func TestMinutes(t *testing.T) {
	for _, c := range []struct {
		name   string
		events []Event
		want   float64
	}{
		{"none", nil, 0},
		{"plain", []Event{minute(1, Event{Say: "x"}), minute(4, closed(""))}, 4},
		{"closed a day later", []Event{minute(3, Event{Say: "x"}), minute(1443, closed("A"))}, 3},
		{"just an hour", []Event{minute(60, Event{Say: "x"})}, 60},
		{"noted after the end", []Event{minute(2, Event{Handover: "v"}), minute(9, Event{Note: "n"})}, 2},
		{"goes on after a reopening", []Event{minute(2, closed("")), minute(20, Event{Reopen: true}), minute(25, closed(""))}, 7},
		{"goes on after an undo", []Event{minute(2, closed("")), minute(3, Event{Undo: true}), minute(5, closed(""))}, 4},
		{"the clock is set back", []Event{minute(5, Event{Say: "x"}), minute(-300, Event{Say: "y"}), minute(-298, closed(""))}, 7},
	} {
		if got := caseOf(c.events...).Minutes(); got != c.want {
			t.Errorf("%s: %g minutes, want %g", c.name, got, c.want)
		}
	}
}

func TestFilter(t *testing.T) {
	day := time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)
	list := []Record{
		{ID: "a", Opened: day.AddDate(0, 0, -1), End: EndClosed, Symptom: "F-01", Cause: "A", Room: "North 1"},
		{ID: "b", Opened: day, End: EndOpen, Symptom: "F-01", Room: "south"},
		{ID: "c", Opened: day.Add(time.Hour), End: EndCured, Symptom: "F-02", Cause: "A", Room: "north 1"},
	}
	for _, c := range []struct {
		name   string
		filter Filter
		want   string
	}{
		{"all", Filter{}, "abc"}, {"symptom", Filter{Symptom: "F-01"}, "ab"}, {"cause", Filter{Cause: "A"}, "ac"},
		{"room, letter case aside", Filter{Room: "NORTH 1"}, "ac"}, {"since a day, the day included", Filter{Since: day}, "bc"},
		{"open", Filter{Open: true}, "b"}, {"closed", Filter{Closed: true}, "ac"}, {"two at once", Filter{Cause: "A", Since: day}, "c"},
	} {
		got := ""
		for _, r := range c.filter.Pick(list) {
			got += r.ID
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
