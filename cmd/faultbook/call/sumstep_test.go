package call

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"faultbook/diagnose/measure"
	"faultbook/kb"

	"github.com/google/go-cmp/cmp"
)

// toSum answers "cannot tell" until a sum is offered.
func toSum(t testing.TB, c *Call, o Out) Out {
	t.Helper()
	for range 30 {
		switch o.Step.Kind {
		case StepSum:
			return o
		case StepAsk:
			o = do(t, c, In{Unknown: o.Step.ID})
		case StepTry:
			o = do(t, c, inputFor(o.Step, "could-not"))
		default:
			t.Fatalf("no sum was offered; the step is %s %s", o.Step.Kind, o.Step.ID)
		}
	}
	t.Fatal("no sum was offered in 30 steps")
	return o
}

// TestSumStep offers a sum to a technician as a step: with its inputs, and with
// the answers of the question; either of them answers it.
func TestSumStep(t *testing.T) {
	d := newDesk(t)
	c, o := onSite(t, d, "F-11")
	o = toSum(t, c, do(t, c, answer("connection", "dock")))
	q := kb.Get[kb.Question](d.Book, o.Step.Question)
	if q == nil || q.Sum != o.Step.ID || len(o.Step.Answers) != len(q.Answers) || o.Step.Say == "" || o.Step.Why == "" {
		t.Fatalf("step %+v", o.Step)
	}
	required := map[string]bool{}
	for _, in := range o.Step.Inputs {
		required[in.Name] = in.Required
		if in.Help == "" {
			t.Errorf("input %s has no help", in.Name)
		}
	}
	if want, ok := map[string]string{"dock": "picture", "link": "format"}[o.Step.ID]; !ok || !required[want] {
		t.Fatalf("sum %s with inputs %v", o.Step.ID, required)
	}
	if len(c.Table()) != len(q.Answers) {
		t.Errorf("the long reason has %d rows, the question %d answers", len(c.Table()), len(q.Answers))
	}
	bySum := do(t, c, map[string]In{"dock": sum("dock", "rate", "HBR2", "lanes", "2", "picture", "2160p60"),
		"link": sum("link", "format", "2160p60", "part", "dock=HBR2 x2")}[o.Step.ID])
	do(t, c, In{Undo: true})
	byHand := do(t, c, answer(q.ID, "over"))
	if f := factOf(bySum, q.ID); f.Value != "over" || f.From != "sum" {
		t.Errorf("by the sum: %+v", f)
	}
	if f := factOf(byHand, q.ID); f.Value != "over" || f.From != "asked" {
		t.Errorf("by hand: %+v", f)
	}
	if diff := cmp.Diff(beliefOf(bySum), beliefOf(byHand)); diff != "" {
		t.Errorf("an instrument's question is trusted alike (-sum +hand):\n%s", diff)
	}
	do(t, c, In{Undo: true})
	if next := do(t, c, In{Unknown: q.ID}); next.Step.Question == q.ID {
		t.Error("the sum is offered again after cannot tell")
	}
}

// TestNoSumForCaller offers no sum to a caller, whatever is not known.
func TestNoSumForCaller(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "")
	o := do(t, c, In{Symptom: "F-11"})
	o = do(t, c, answer("connection", "dock"))
	for o.Step.Kind == StepAsk || o.Step.Kind == StepTry {
		if o.Step.Kind == StepAsk {
			o = do(t, c, In{Unknown: o.Step.ID})
		} else {
			o = do(t, c, inputFor(o.Step, "could-not"))
		}
	}
	if o.Step.Kind != StepHandover {
		t.Errorf("the step is %s %s", o.Step.Kind, o.Step.ID)
	}
}

// TestKnownInputs takes what a reading said for an input that is missing: the
// display of vector B prefers 2160p60.
func TestKnownInputs(t *testing.T) {
	d := newDesk(t)
	c, _ := onSite(t, d, "F-11")
	if _, err := c.Do(sum("dock", "rate", "HBR2", "lanes", "2")); err == nil {
		t.Fatal("nothing says which picture, yet the sum was done")
	}
	do(t, c, read(edidFiles+"B.hex"))
	inputs, _ := c.SumInputs("dock")
	for _, in := range inputs {
		if in.Name == "picture" && in.Known != "3840x2160p60" {
			t.Errorf("known picture %q", in.Known)
		}
	}
	o := do(t, c, sum("dock", "rate", "HBR2", "lanes", "2"))
	if f := factOf(o, "dock-lane-sum"); f.Value != "over" {
		t.Errorf("fact %+v", f)
	}
	if o = do(t, c, sum("dock", "rate", "HBR2", "lanes", "2", "format", "1080p60")); factOf(o, "dock-lane-sum").Value != "fits" {
		t.Errorf("what is typed must win: %+v", factOf(o, "dock-lane-sum"))
	}
}

// typed is a person at the keys: single keys, and lines where they are wanted.
type typed struct {
	t    *testing.T
	keys string
	// lines for the prompts in their order.
	lines []string
}

func (k *typed) Key() (rune, error) {
	if k.keys == "" {
		return 0, io.EOF
	}
	r := rune(k.keys[0])
	k.keys = k.keys[1:]
	return r, nil
}

func (k *typed) Line(prompt string) (string, error) {
	if len(k.lines) == 0 {
		k.t.Fatalf("nothing is typed at %q", prompt)
	}
	line := k.lines[0]
	k.lines = k.lines[1:]
	return line, nil
}

// TestKeys reads a file and does sums by the keys r and x.
func TestKeys(t *testing.T) {
	d := newDesk(t)
	c, o := onSite(t, d, "F-11")
	var screen strings.Builder
	term := Terminal{Call: c, Screen: &Screen{Out: &screen, Width: 100, Keys: true}, Keys: &typed{t: t, keys: "rxxxxrq",
		lines: []string{edidFiles + "B.hex", // r
			"dock", "rate=HBR2 lanes=2 picture=1440p60, 10 bit, 4:2:2", // x
			"dok",             // x: no such sum
			"link", "2160p60", // x: no name=
			"link", "", // x: thought better of it
			edidFiles + "no.hex", // r
		}}}
	o, err := term.Run(o)
	if err != nil {
		t.Fatal(err)
	}
	if f := factOf(o, "dock-lane-sum"); f.Value != "fits" || len(o.Evidence) != 2 {
		t.Errorf("fact %+v, %d pieces of evidence", f, len(o.Evidence))
	}
	for _, want := range []string{"r read a file | x do a sum", "File B.hex", "So: HDMI block in the EDID: HDMI block present", "Sum dock",
		"picture 1440p60, 10 bit, 4:2:2", `no sum "dok"`, `"2160p60": write name=value`, "read no.hex: no such file"} {
		if !strings.Contains(strings.Join(strings.Fields(screen.String()), " "), want) {
			t.Errorf("the screen lacks %q:\n%s", want, screen.String())
		}
	}
}

// TestKeysOnSumStep answers the step by its digits, and by its sum without its
// name being typed.
func TestKeysOnSumStep(t *testing.T) {
	d := newDesk(t)
	for _, c := range []struct {
		keys  string
		lines []string
		value string
	}{
		{"2", nil, "over"}, {"0", nil, "unknown"},
		{"x", []string{"", "rate=HBR2 lanes=2 picture=2160p60"}, "over"},
	} {
		call, o := onSite(t, d, "F-11")
		for _, q := range []string{"format-sum"} { // leave the dock's sum as the one to do
			o = do(t, call, In{Unknown: q})
		}
		o = toSum(t, call, do(t, call, answer("connection", "dock")))
		if o.Step.ID != "dock" {
			t.Fatalf("the sum is %s", o.Step.ID)
		}
		var screen strings.Builder
		term := Terminal{Call: call, Screen: &Screen{Out: &screen, Width: 100}, Keys: &typed{t: t, keys: c.keys, lines: c.lines}}
		o, err := term.Run(o)
		if !errors.Is(err, io.EOF) {
			t.Fatal(err)
		}
		if f := factOf(o, "dock-lane-sum"); f.Value != c.value {
			t.Errorf("keys %q: fact %+v", c.keys, f)
		}
		if !strings.Contains(screen.String(), "Or by sum dock: rate, [lanes], [usb3], picture") {
			t.Errorf("the screen does not name the sum:\n%s", screen.String())
		}
	}
}

// TestScriptEvidence plays a script that reads a file beside it and does a sum.
func TestScriptEvidence(t *testing.T) {
	d := newDesk(t)
	dir := t.TempDir()
	data, err := os.ReadFile(edidFiles + "F.hex")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "screen.hex"), data, 0o644); err != nil {
		t.Fatal(err)
	}
	script, err := ReadScript(strings.NewReader(`
do:
  - {symptom: F-06}
  - {read: screen.hex}
  - {sum: {name: dock, rate: HBR2, lanes: 4, picture: [2160p60]}}
remedies: {edid-stereo-sound: cured}
expect: {end: cured, cause: EF-03, by: edid-stereo-sound}
`), filepath.Join(dir, "x.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	c := d.open(t, "")
	do(t, c, In{Who: "technician"})
	var out strings.Builder
	if err := Play(c, script, &Screen{Out: &out, Width: 80}, func(float64) {}); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	if !strings.Contains(out.String(), "File screen.hex") || !strings.Contains(out.String(), "Sum dock") {
		t.Errorf("transcript:\n%s", out.String())
	}
}

// TestSumIn holds that an input is written as it is read.
func TestSumIn(t *testing.T) {
	for line, want := range map[string]measure.Values{
		`{"name":"dock","rate":"HBR2","lanes":2,"usb3":true}`: {"rate": {"HBR2"}, "lanes": {"2"}, "usb3": {"yes"}},
		`{"name":"dock","picture":["2160p60",1080],"x":1.50}`: {"picture": {"2160p60", "1080"}, "x": {"1.50"}},
		`{"name":"dock","picture":[]}`:                        {"picture": nil},
	} {
		var in, again SumIn
		if err := json.Unmarshal([]byte(line), &in); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, in.Values); diff != "" || in.Name != "dock" {
			t.Errorf("%s: name %q, values (-want +got):\n%s", line, in.Name, diff)
		}
		data, err := json.Marshal(in)
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(data, &again); err != nil {
			t.Fatalf("%s: %v", data, err)
		}
		if diff := cmp.Diff(in, again); diff != "" {
			t.Errorf("%s: round trip:\n%s", line, diff)
		}
	}
}

// FuzzReadIn feeds lines to a call: an input is taken or refused with a reason,
// and the case can be read back.
func FuzzReadIn(f *testing.F) {
	for _, seed := range []string{`{"sum":{"name":"dock","rate":"HBR2","lanes":"2","picture":"2160p60"}}`, `{"sum":{"name":"subnet","host":"10.0.0.1/31"}}`,
		`{"sum":{"name":"parity","text":"\u0000é","sent":"7E1"}}`, `{"sum":{"name":"usb-tiers"}}`, `{"say":"no sound"}`, `{"symptom":"F-06"}`, `{"undo":true}`} {
		f.Add(seed)
	}
	d := newDesk(f)
	f.Fuzz(func(t *testing.T, line string) {
		in, err := ReadIn([]byte(line))
		if err != nil || in.Read != "" {
			return
		}
		c := d.open(t, "")
		if _, err := c.Do(in); err != nil {
			if err.Error() == "" {
				t.Error("refused without a reason")
			}
			return
		}
		if _, err := d.Store.Load(c.ID()); err != nil {
			t.Errorf("the case cannot be read back: %v", err)
		}
	})
}
