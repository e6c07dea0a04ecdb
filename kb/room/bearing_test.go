package room

import (
	"slices"
	"strings"
	"testing"
	"time"

	"faultbook/kb"
)

func bookFor(t testing.TB) *kb.Book {
	t.Helper()
	b, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func day(text string) time.Time {
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic(err)
	}
	return d
}

// TestTablesNameTheBook holds that every cause, question and answer that the
// tables of this package name is in the book.
func TestTablesNameTheBook(t *testing.T) {
	b := bookFor(t)
	for _, f := range features() {
		for _, id := range strings.Fields(f.causes) {
			if kb.Get[kb.Cause](b, id) == nil {
				t.Errorf("%s: no cause %s", f.name, id)
			}
		}
		for q, values := range f.shown {
			question := kb.Get[kb.Question](b, q)
			if question == nil {
				t.Errorf("%s: no question %s", f.name, q)
				continue
			}
			for _, v := range strings.Fields(values) {
				if !question.Has(v) {
					t.Errorf("%s: %s has no answer %s", f.name, q, v)
				}
			}
		}
	}
	for q := range lampQuestions() {
		if kb.Get[kb.Question](b, q) == nil {
			t.Errorf("lamps: no question %s", q)
		}
	}
}

// TestTrustWanes: the older the survey, the less it is believed, and at last
// its facts are asked after all.
func TestTrustWanes(t *testing.T) {
	b := bookFor(t)
	text := head + "complete: [display, usb]\nsurveyed: 2026-01-01\ndevices: [{id: d, kind: projector, title: the beamer}]\n"
	before := 1.0
	for _, c := range []struct {
		day  string
		told bool // that the only screen is a projector
		hubs bool
	}{{"2026-01-02", true, false}, {"2028-01-01", true, false}, {"2036-01-01", false, false}} {
		bears := Bear(b, read(t, text), day(c.day))
		if bears.Trust >= before {
			t.Errorf("%s: trust %g is not below %g", c.day, bears.Trust, before)
		}
		before = bears.Trust
		told := slices.ContainsFunc(bears.Facts, func(f Fact) bool { return f.Question == "display-kind" && f.Value == "projector" })
		if told != c.told {
			t.Errorf("%s: told %v", c.day, told)
		}
	}
}

// TestAbsentNeedsACompleteList: what is not listed is absent only where the
// list is said to be whole.
func TestAbsentNeedsACompleteList(t *testing.T) {
	b := bookFor(t)
	device := "surveyed: 2026-01-01\ndevices: [{id: d, kind: display}]\n"
	whole := Bear(b, read(t, head+"complete: [display]\n"+device), day("2026-01-02"))
	if whole.Absent["DP-03"] == "" || whole.Weights["DP-03"] > 0.05 {
		t.Errorf("a room of flat screens keeps the projector lamp: %v", whole.Weights["DP-03"])
	}
	open := Bear(b, read(t, head+device), day("2026-01-02"))
	if open.Absent["DP-03"] != "" || len(open.Facts) > 0 {
		t.Errorf("an open list rules out %q", open.Absent["DP-03"])
	}
	if !slices.Contains(Lifted("display-kind", "projector"), "DP-03") {
		t.Error("an answer that there is a projector does not bring its causes back")
	}
}

// TestWorksAndFindingsRaise: the cleaning of Tuesday and a finding of the check
// make the causes that fit likelier; the older the work, the less.
func TestWorksAndFindingsRaise(t *testing.T) {
	b := bookFor(t)
	text := head + "works: [{day: 2026-03-31, kind: cleaning, text: carpet cleaned}]\n" + strings.TrimPrefix(poeSheet("30 W", "4", "3", "4"), head)
	near, far := Bear(b, read(t, text), day("2026-04-01")), Bear(b, read(t, text), day("2026-04-25"))
	if near.Weights["CM-04"] <= far.Weights["CM-04"] || far.Weights["CM-04"] <= 1 {
		t.Errorf("cables swapped: %g the day after, %g weeks after", near.Weights["CM-04"], far.Weights["CM-04"])
	}
	if !strings.Contains(near.Why["CM-04"], "Tuesday 31 March") {
		t.Errorf("why: %q", near.Why["CM-04"])
	}
	if near.Weights["PW-07"] <= 1 {
		t.Errorf("the budget that is over does not raise PW-07: %g", near.Weights["PW-07"])
	}
}

// TestNames: the room's own things stand behind the first mention of each.
func TestNames(t *testing.T) {
	s := read(t, chainSheet("1080p60", "length: 2 m", "length: 2 m", "HDMI 2.0"))
	for _, c := range []struct{ in, want string }{
		{"Is a lamp lit on the switcher, and on the switcher's plug?", "Is a lamp lit on the switcher (the small box, input 2), and on the switcher's plug?"},
		{"Look at the screen of the laptop, then at the room's screen.", "Look at the screen of the laptop, then at the room's screen (the wall display)."},
		{"Open the display settings of the laptop.", "Open the display settings of the laptop."},
		{"Push the camera round.", "Push the camera round."},
		{"The projector hums.", "The projector hums."},
	} {
		if got, _ := s.Name(c.in, map[string]bool{}); got != c.want {
			t.Errorf("got %q\nwant %q", got, c.want)
		}
	}
}

// TestLampMeans: colour and rhythm together pick the line of that device.
func TestLampMeans(t *testing.T) {
	s := read(t, head+`devices:
  - id: pj
    kind: projector
    title: the projector
    lamps:
      - {colour: red, rhythm: fast-blink, means: filter clogged, causes: [DP-05]}
      - {colour: red, rhythm: steady, means: standby}
      - {colour: amber, rhythm: slow-blink, means: cooling down}
`)
	lines, causes := s.LampMeans(map[string]string{"display-lamp": "fast-blink"})
	if len(lines) != 1 || !strings.Contains(lines[0], "filter clogged") || !slices.Equal(causes, []string{"DP-05"}) {
		t.Errorf("%q %q", lines, causes)
	}
	lines, _ = s.LampMeans(map[string]string{"display-lamp": "steady", "display-lamp-colour": "red-amber"})
	if len(lines) != 1 || !strings.Contains(lines[0], "standby") {
		t.Errorf("%q", lines)
	}
	if got := s.Lamps("display-lamp"); len(got) != 1 || !strings.Contains(got[0], "amber slow blink = cooling down") {
		t.Errorf("%q", got)
	}
}

// TestHeard: the room is the one with the longest name in the words.
func TestHeard(t *testing.T) {
	hall, small := read(t, strings.Replace(head, "Test room", "Hall Breakwater", 1)+"words: [breakwater, the hall]\n"), read(t, strings.Replace(head, "Test room", "Lantern", 1))
	sheets := []*Sheet{hall, small}
	for words, want := range map[string]*Sheet{
		"no picture in the Breakwater hall, breakwater!": hall,
		"the lantern room is dark":                       small,
		"nothing works":                                  nil,
		"is it the hall or lantern":                      hall,
	} {
		if got := Heard(sheets, words); got != want {
			t.Errorf("%q: got %v", words, got)
		}
	}
}
