package call

import (
	"errors"
	"io"
	"strings"
	"testing"
)

// TestNarrow holds that on narrow terminals no line that the program makes is
// wider than the terminal, which would break words and tables in the middle.
func TestNarrow(t *testing.T) {
	d := newDesk(t)
	for _, width := range []int{60, 80} {
		call := d.open(t, "there is no sound, and the camera is dead")
		var out strings.Builder
		screen := &Screen{Out: &out, Width: width, Keys: true}
		term := Terminal{Call: call, Screen: screen, Keys: &typed{t: t, keys: "c?sxhye", lines: []string{"", "", "", "PW-99"}}}
		o, err := call.Out()
		if err != nil {
			t.Fatal(err)
		}
		screen.Heard(o)
		if _, err := term.Run(o); err != nil && !errors.Is(err, io.EOF) {
			t.Fatal(err)
		}
		for _, said := range []string{"Chances now", "What each answer", "F-25", "poe ", "facilities ", "nothing was heard that waits", "there is no cause PW-99"} {
			if !strings.Contains(out.String(), said) {
				t.Errorf("%d columns: %q was not shown:\n%s", width, said, out.String())
			}
		}
		for line := range strings.Lines(out.String()) {
			if n := columns(strings.TrimRight(line, "\n")); n > width {
				t.Errorf("%d columns, but this takes %d: %s", width, n, line)
			}
		}
	}
}

// TestWrapIgnoresColour holds that bold text breaks where plain text does.
func TestWrapIgnoresColour(t *testing.T) {
	const text = "Is it the same with everything you connect, or only with one thing?"
	s := Screen{Colour: true}
	plain, bold := Wrap(text, 30), Wrap(s.bold(text), 30)
	if len(plain) != len(bold) {
		t.Fatalf("plain %q, bold %q", plain, bold)
	}
	for i := range plain {
		if got := escape.ReplaceAllString(bold[i], ""); got != plain[i] {
			t.Errorf("line %d: %q, plain %q", i, got, plain[i])
		}
	}
}

// TestDoneShowsNoKeys holds that a call that is over offers no keys, as none
// can be pressed.
func TestDoneShowsNoKeys(t *testing.T) {
	d := newDesk(t)
	call := d.open(t, "the screen is black")
	var out strings.Builder
	term := Terminal{Call: call, Screen: &Screen{Out: &out, Width: 80, Keys: true}, Keys: &typed{t: t, keys: "e", lines: []string{"pw-01"}}}
	o, err := call.Out()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := term.Run(o); err != nil {
		t.Fatal(err)
	}
	before, after, found := strings.Cut(out.String(), "The call is done")
	if !found || !strings.Contains(before, "Keys:") || strings.Contains(after, "Keys:") {
		t.Errorf("keys before the end only:\n%s", out.String())
	}
}

// TestEmptyLine holds that Enter at a prompt changes nothing and blames nobody,
// and that a wrong letter is answered with the right ones.
func TestEmptyLine(t *testing.T) {
	d := newDesk(t)
	for _, c := range []struct{ key, line, want string }{
		{"n", "", ""}, {"p", "", ""}, {"r", "", ""}, {"m", "", ""},
		{"p", "x", `"x" is neither c, the caller, nor t, a technician`},
	} {
		call := d.open(t, "the screen is black")
		before := len(call.File().Events)
		var out strings.Builder
		term := Terminal{Call: call, Screen: &Screen{Out: &out, Width: 80}, Keys: &typed{t: t, keys: c.key, lines: []string{c.line}}}
		o, err := call.Out()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := term.Run(o); err != nil && !errors.Is(err, io.EOF) {
			t.Fatal(err)
		}
		if n := len(call.File().Events); n != before {
			t.Errorf("%s %q: %d events more", c.key, c.line, n-before)
		}
		if strings.Contains(out.String(), "says 0") || strings.Contains(out.String(), "is no number") || !strings.Contains(out.String(), c.want) {
			t.Errorf("%s %q:\n%s", c.key, c.line, out.String())
		}
	}
}

// TestBarsAlike holds that the bars of all causes are drawn to one scale inside
// the terminal, or none is.
func TestBarsAlike(t *testing.T) {
	o := Out{Causes: []Chance{{ID: "PW-01", Title: strings.Repeat("long title ", 6), Chance: 0.9}, {ID: "PW-02", Title: "short", Chance: 0.1}}}
	for width, want := range map[int][2]int{60: {0, 0}, 80: {9, 1}, 120: {18, 2}} {
		var out strings.Builder
		(&Screen{Out: &out, Width: width}).Causes(o)
		var got [2]int
		for line := range strings.Lines(out.String()) {
			if columns(strings.TrimRight(line, "\n")) > width {
				t.Errorf("%d columns are not enough for %s", width, line)
			}
			for i, c := range o.Causes {
				if strings.Contains(line, c.ID) {
					got[i] = strings.Count(line, "=")
				}
			}
		}
		if got != want {
			t.Errorf("%d columns: bars of %v, want %v", width, got, want)
		}
	}
}

// TestWorkaroundSaysThingsOnce holds that what the agent says first does not
// come again as the first of the ways out.
func TestWorkaroundSaysThingsOnce(t *testing.T) {
	call := newDesk(t).open(t, "the screen is black")
	minutes := 2.0
	o, err := call.Do(In{Meeting: &minutes})
	if err != nil {
		t.Fatal(err)
	}
	if o.Step.ID != TryWorkaround || len(o.Step.Steps) == 0 {
		t.Fatalf("no workaround with two minutes left: %+v", o.Step)
	}
	for _, way := range o.Step.Steps {
		if strings.Contains(o.Step.Say, way) {
			t.Errorf("said twice: %s", way)
		}
	}
}
