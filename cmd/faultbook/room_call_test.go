package main

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/cmd/faultbook/demo"
	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"
)

// demoDesk is a desk with the sheets of the demo rooms on a day.
func demoDesk(t testing.TB, day string) *call.Desk {
	t.Helper()
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		t.Fatal(err)
	}
	files, err := fs.Sub(demo.Sheets, "rooms")
	if err != nil {
		t.Fatal(err)
	}
	sheets, findings := room.Load(files, "rooms")
	if len(findings) > 0 || len(sheets) != 12 {
		t.Fatalf("%d sheets: %v", len(sheets), findings)
	}
	at = at.Add(9 * time.Hour)
	return &call.Desk{Book: book, Store: cases.NewStore(t.TempDir(), func() time.Time { return at }),
		Listen: index.NewOpening(book).Read, Rooms: func() []*room.Sheet { return sheets }}
}

func openCall(t testing.TB, d *call.Desk, words string, ins ...call.In) (*call.Call, call.Out) {
	t.Helper()
	c, err := call.New(d, words, "")
	if err != nil {
		t.Fatal(err)
	}
	o, err := c.Out()
	if err != nil {
		t.Fatal(err)
	}
	for _, in := range ins {
		if o, err = c.Do(in); err != nil {
			t.Fatal(err)
		}
	}
	return c, o
}

func factOf(o call.Out, question string) (call.Fact, bool) {
	for _, f := range o.Facts {
		if f.Question == question {
			return f, true
		}
	}
	return call.Fact{}, false
}

func causeIn(list []call.Chance, id string) int {
	return slices.IndexFunc(list, func(c call.Chance) bool { return c.ID == id })
}

// TestRoomIsHeard: a caller who says the room has its sheet used; none takes
// it away again.
func TestRoomIsHeard(t *testing.T) {
	d := demoDesk(t, "2026-04-02")
	c, o := openCall(t, d, "no picture in the spindrift room")
	if o.Room == nil || o.Room.ID != "spindrift" {
		t.Fatalf("room: %+v", o.Room)
	}
	if o, err := c.Do(call.In{Room: call.NoRoom}); err != nil || o.Room != nil {
		t.Fatalf("%v %+v", err, o.Room)
	}
	if _, err := c.Do(call.In{Room: "spindrif"}); err == nil || !strings.Contains(err.Error(), `did you mean "spindrift"`) {
		t.Fatalf("misspelt: %v", err)
	}
}

// TestSheetInACall: what the sheet answers is not asked, what the room has not
// is not listed, and steps name the room's own things.
func TestSheetInACall(t *testing.T) {
	d := demoDesk(t, "2026-04-02")
	c, o := openCall(t, d, "", call.In{Room: "spindrift"}, call.In{Symptom: "F-01"})
	if f, ok := factOf(o, "display-kind"); !ok || f.Value != "projector" || f.From != "room" {
		t.Fatalf("display-kind: %+v", f)
	}
	for _, id := range []string{"DP-10", "DL-01", "VL-25", "SC-15", "PW-17"} {
		if causeIn(o.Causes, id) >= 0 {
			t.Errorf("%s is listed and cannot be here", id)
		}
		if causeIn(o.Room.Absent, id) < 0 {
			t.Errorf("%s is not named as absent", id)
		}
	}
	bare, _ := openCall(t, d, "", call.In{Symptom: "F-01"})
	plain, err := bare.Out()
	if err != nil || causeIn(plain.Causes, "DP-10") < 0 {
		t.Fatalf("without a sheet DP-10 must be there: %v", err)
	}
	named := false
	for range 25 {
		if o.Step.Kind != call.StepAsk && o.Step.Kind != call.StepTry {
			break
		}
		if _, ok := factOf(o, o.Step.ID); ok && o.Step.Kind == call.StepAsk {
			t.Errorf("%s is asked though it is known", o.Step.ID)
		}
		named = named || strings.Contains(o.Step.Say+strings.Join(o.Step.Steps, " "), "(the projector under the ceiling)") || strings.Contains(o.Step.Say+strings.Join(o.Step.Steps, " "), "(the small box under the table, input 1)")
		in := call.In{Unknown: o.Step.ID}
		if o.Step.Kind == call.StepTry {
			in = call.In{Tried: &cases.Tried{Remedy: o.Step.ID, Result: cases.Same}}
		}
		if o, err = c.Do(in); err != nil {
			t.Fatal(err)
		}
	}
	if !named {
		t.Error("no step names the room's own things")
	}
}

// TestLampsOfTheRoom: a lamp is explained by the device's own table, and its
// line speaks for a cause.
func TestLampsOfTheRoom(t *testing.T) {
	d := demoDesk(t, "2026-04-02")
	_, before := openCall(t, d, "", call.In{Room: "spindrift"}, call.In{Symptom: "F-20"})
	_, o := openCall(t, d, "", call.In{Room: "spindrift"}, call.In{Symptom: "F-20"}, call.In{Answer: &cases.Answer{Question: "display-lamp", Value: "fast-blink"}})
	if len(o.Room.Lamps) != 1 || !strings.Contains(o.Room.Lamps[0], "filter is clogged") {
		t.Fatalf("lamps: %q", o.Room.Lamps)
	}
	i, j := causeIn(before.Causes, "DP-05"), causeIn(o.Causes, "DP-05")
	if i < 0 || j < 0 || o.Causes[j].Chance <= before.Causes[i].Chance {
		t.Errorf("DP-05 is no likelier for its lamp")
	}
}

// TestWrongSheetDoesNotTrap: the sheet says that every screen is flat, the
// fault is a projector's lamp. An answer overrules the sheet; and where nobody
// says so, answers that do not fit make the sheet doubted.
func TestWrongSheetDoesNotTrap(t *testing.T) {
	d := demoDesk(t, "2026-04-02")
	c, o := openCall(t, d, "", call.In{Room: "halyard"}, call.In{Symptom: "F-01"})
	if causeIn(o.Causes, "DP-03") >= 0 {
		t.Fatal("the room of a flat screen has a projector lamp")
	}
	o, err := c.Do(call.In{Answer: &cases.Answer{Question: "display-kind", Value: "projector"}})
	if err != nil {
		t.Fatal(err)
	}
	if o.Doubt == nil || !strings.Contains(o.Doubt.Text, "Briefing room Halyard") || len(o.Room.Overruled) != 1 {
		t.Errorf("the sheet is not doubted: %+v", o.Doubt)
	}
	for q, v := range map[string]string{"lens-light": "none", "display-lamp": "fast-blink"} {
		if o, err = c.Do(call.In{Answer: &cases.Answer{Question: q, Value: v}}); err != nil {
			t.Fatal(err)
		}
	}
	if i := causeIn(o.Causes, "DP-03"); i < 0 || i > 2 {
		t.Errorf("the lamp of the projector is cause number %d", i)
	}
}

// TestSheetIsDoubted answers as a room does that has a hub, a choice of
// computers and long cables though its sheet has none of them.
func TestSheetIsDoubted(t *testing.T) {
	d := demoDesk(t, "2026-04-02")
	c, _ := openCall(t, d, "", call.In{Room: "halyard"}, call.In{Symptom: "F-14"})
	cause := kb.Get[kb.Cause](d.Book, "UB-02") // another computer has the USB things
	var o call.Out
	for _, tell := range cause.Tells {
		q := kb.Get[kb.Question](d.Book, tell.Question)
		row, best := q.FullRow(tell.Row), 0
		for a := range row {
			if row[a] > row[best] {
				best = a
			}
		}
		if q.ID == "usb-host" {
			continue // the sheet says that there is nothing to choose
		}
		var err error
		if o, err = c.Do(call.In{Answer: &cases.Answer{Question: q.ID, Value: q.Answers[best].Value}}); err != nil {
			t.Fatal(err)
		}
	}
	at := causeIn(o.Causes, "UB-02")
	if at < 0 && (o.Doubt == nil || !strings.Contains(o.Doubt.Text, "sheet of Briefing room Halyard")) {
		t.Fatalf("the call is trapped: cause %d, doubt %+v", at, o.Doubt)
	}
	o, err := c.Do(call.In{Answer: &cases.Answer{Question: "usb-host", Value: "other"}})
	if err != nil {
		t.Fatal(err)
	}
	if causeIn(o.Causes, "UB-02") != 0 {
		t.Errorf("once answered it is not likeliest: %v", o.Causes[:3])
	}
}

// TestOldSheetIsAskedAgain: a sheet of five years ago answers less.
func TestOldSheetIsAskedAgain(t *testing.T) {
	d := demoDesk(t, "2029-04-02")
	_, o := openCall(t, d, "", call.In{Room: "lantern"}, call.In{Symptom: "F-13"})
	if f, ok := factOf(o, "usb-host"); ok {
		t.Errorf("an old sheet still answers %+v", f)
	}
	if o.Room.Trust > 0.5 {
		t.Errorf("trust %g after five years", o.Room.Trust)
	}
}

// TestOwnCasesCountMore: a past case of this room weighs more than one of
// another.
func TestOwnCasesCountMore(t *testing.T) {
	d := demoDesk(t, "2026-04-02")
	d.Counts = func(_, cause string) float64 {
		if cause == "SC-01" {
			return 4
		}
		return 0
	}
	_, elsewhere := openCall(t, d, "", call.In{Room: "halyard"}, call.In{Symptom: "F-01"})
	d.RoomCounts = func(id string) func(symptom, cause string) float64 {
		if id == "halyard" {
			return d.Counts
		}
		return nil
	}
	_, here := openCall(t, d, "", call.In{Room: "halyard"}, call.In{Symptom: "F-01"})
	i, j := causeIn(elsewhere.Causes, "SC-01"), causeIn(here.Causes, "SC-01")
	if i < 0 || j < 0 || here.Causes[j].Chance <= elsewhere.Causes[i].Chance {
		t.Errorf("own cases do not count more")
	}
}

// TestRecentWorks: since the cleaning two days ago, what cleaning does is
// likelier than in the same room a year later.
func TestRecentWorks(t *testing.T) {
	chance := func(day string) float64 {
		_, o := openCall(t, demoDesk(t, day), "", call.In{Room: "gangway"}, call.In{Symptom: "F-01"})
		if i := causeIn(o.Causes, "CM-04"); i >= 0 {
			return o.Causes[i].Chance
		}
		return 0
	}
	if near, far := chance("2026-04-02"), chance("2027-04-02"); near <= far {
		t.Errorf("cables swapped after cleaning: %g two days after, %g a year after", near, far)
	}
}
