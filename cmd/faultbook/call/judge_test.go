package call

import (
	"math/rand/v2"
	"testing"

	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/google/go-cmp/cmp"
)

// judged reads the case of a call back and judges it.
func judged(t *testing.T, d *testDesk, c *Call) cases.Record {
	t.Helper()
	file, err := d.Store.Load(c.ID())
	if err != nil {
		t.Fatal(err)
	}
	return NewJudge(d.Desk).Record(file)
}

// curedCall takes a call about a black screen until something is tried, which
// cures it.
func curedCall(t *testing.T, d *testDesk, words string, set bool) (*Call, Out) {
	t.Helper()
	c := d.open(t, words)
	o, err := c.Out()
	if err != nil {
		t.Fatal(err)
	}
	if set {
		o = do(t, c, In{Symptom: "F-01"})
	}
	for range 20 {
		switch o.Step.Kind {
		case StepAsk:
			o = do(t, c, In{Unknown: o.Step.ID})
		case StepTry:
			return c, do(t, c, In{Tried: &cases.Tried{Remedy: o.Step.ID, Result: cases.Cured}})
		default:
			t.Fatalf("no remedy was offered: %s %s", o.Step.Kind, o.Step.ID)
		}
	}
	t.Fatal("no remedy within 20 steps")
	return nil, Out{}
}

// TestJudgeFound finds the cause and the symptom that the call itself showed.
func TestJudgeFound(t *testing.T) {
	d := newDesk(t)
	for _, set := range []bool{true, false} {
		c, o := curedCall(t, d, "the screen is black", set)
		r := judged(t, d, c)
		if len(o.Found) != 1 || r.Cause != o.Found[0].ID || r.CauseFrom != cases.CauseFound || r.End != cases.EndCured || !r.Judged {
			t.Errorf("symptom set %v: judged %+v, the call found %+v", set, r, o.Found)
		}
		if r.Symptom != o.Symptoms[0].ID {
			t.Errorf("symptom set %v: judged %s, the call shows %s", set, r.Symptom, o.Symptoms[0].ID)
		}
		do(t, c, In{Close: &cases.Close{Cause: "VL-03"}})
		if r = judged(t, d, c); r.Cause != "VL-03" || r.CauseFrom != cases.CauseClosed {
			t.Errorf("closed as VL-03, judged %+v", r)
		}
	}
}

// TestJudgeSymptom takes the symptom that was set, else the one that the call
// shows, else, with a cause that shows as one of those heard, that one.
func TestJudgeSymptom(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "the screen is black")
	o := do(t, c, In{Handover: "visit"})
	if r := judged(t, d, c); r.Symptom != o.Symptoms[0].ID || r.Cause != "" {
		t.Errorf("passed on: %+v, the call shows %+v", r, o.Symptoms)
	}
	c = d.open(t, "the screen is black")
	do(t, c, In{Symptom: "F-10"})
	if r := judged(t, d, c); r.Symptom != "F-10" || r.Judged {
		t.Errorf("F-10 was set: %+v", r)
	}
	c = d.open(t, "xyzzy")
	do(t, c, In{Close: &cases.Close{Cause: "VL-03"}})
	if r := judged(t, d, c); r.Symptom != "" || r.Cause != "VL-03" {
		t.Errorf("nothing was understood: %+v", r)
	}
	words := "the screen is black"
	heard := d.Listen(words + ". ").Symptoms
	tested := 0
	for _, s := range heard[:min(6, len(heard))] {
		cause := onlyUnder(d.Book, s.ID)
		if cause == "" {
			continue
		}
		tested++
		c = d.open(t, words)
		do(t, c, In{Close: &cases.Close{Cause: cause}})
		if r := judged(t, d, c); r.Symptom != s.ID {
			t.Errorf("%s shows as %s alone, judged under %q", cause, s.ID, r.Symptom)
		}
	}
	if tested < 2 {
		t.Errorf("only %d symptoms were tested", tested)
	}
}

// onlyUnder is a cause that shows as the symptom and no other.
func onlyUnder(b *kb.Book, symptom string) string {
	for _, c := range kb.All[kb.Cause](b) {
		if len(c.Symptoms) == 1 && c.Symptoms[0].ID == symptom {
			return c.ID
		}
	}
	return ""
}

// TestJudgeByTheBook judges alike whatever was learnt, and whatever was judged
// before.
func TestJudgeByTheBook(t *testing.T) {
	d := newDesk(t)
	var files []*cases.Case
	for i, words := range []string{"the screen is black", "no picture on the projector", "the screen is black", "there is no picture at all"} {
		c, _ := curedCall(t, d, words, i%2 == 0)
		files = append(files, c.file)
	}
	want := map[string]cases.Record{}
	for _, f := range files {
		want[f.ID] = NewJudge(d.Desk).Record(f)
	}
	d.Counts = func(_, cause string) float64 {
		if cause == "VL-19" {
			return 10000
		}
		return 0
	}
	judge := NewJudge(d.Desk)
	dice := rand.New(rand.NewPCG(4, 4))
	for range 5 {
		for _, i := range dice.Perm(len(files)) {
			if diff := cmp.Diff(want[files[i].ID], judge.Record(files[i])); diff != "" {
				t.Errorf("case %d (-want +got):\n%s", i, diff)
			}
		}
	}
	if d.Counts == nil || len(files[0].Events) == 0 {
		t.Error("the desk or the case was changed")
	}
}

// TestMoves compares with the likeliest causes that calls showed.
func TestMoves(t *testing.T) {
	d := newDesk(t)
	moved := map[bool]int{}
	for seed := range uint64(5) {
		c := d.open(t, "the screen is black")
		want := answeredCall(t, c, rand.New(rand.NewPCG(seed, 5)))
		for _, m := range want {
			moved[m.Moved]++
		}
		file, err := d.Store.Load(c.ID())
		if err != nil {
			t.Fatal(err)
		}
		n := len(file.Events)
		if diff := cmp.Diff(want, NewJudge(d.Desk).Moves(file)); diff != "" {
			t.Errorf("seed %d: moves (-want +got):\n%s", seed, diff)
		}
		if len(file.Events) != n {
			t.Error("the case was changed")
		}
	}
	if moved[true] == 0 || moved[false] == 0 {
		t.Errorf("the calls show too little: %v", moved)
	}
}

// answeredCall answers what is asked by dice, with a note after each answer and
// a volunteered fact at the end, and gives what the call showed.
func answeredCall(t *testing.T, c *Call, dice *rand.Rand) []cases.Move {
	o := do(t, c, In{Symptom: "F-01"})
	var want []cases.Move
	for range 8 {
		if o.Step.Kind != StepAsk {
			break
		}
		before, q := o.Causes[0].ID, o.Step.ID
		o = do(t, c, answer(q, o.Step.Answers[dice.IntN(len(o.Step.Answers))].Value))
		want = append(want, cases.Move{Question: q, Moved: o.Causes[0].ID != before})
		do(t, c, In{Note: "a line in between"})
	}
	do(t, c, In{Answer: &cases.Answer{Question: "display-lamp", Value: "off", From: "volunteered"}})
	return want
}

// TestExpected is what a call shows before anything is known.
func TestExpected(t *testing.T) {
	d := newDesk(t)
	o := do(t, d.open(t, ""), In{Symptom: "F-01"})
	d.Counts = func(_, cause string) float64 { return float64(len(cause)) }
	judge := NewJudge(d.Desk)
	got, ok := judge.Expected("F-01", false)
	if !ok || round1(got) != o.Minutes.Expected || got <= 0 {
		t.Errorf("%g minutes, the call expects %g", got, o.Minutes.Expected)
	}
	if _, ok := judge.Expected("F-99", false); ok {
		t.Error("there is no F-99, yet minutes are expected")
	}
}
