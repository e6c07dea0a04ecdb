package call

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/google/go-cmp/cmp"
)

// testDesk is a desk with the built-in book, a store in a folder of the test,
// and a clock that stands still until it is moved.
type testDesk struct {
	*Desk
	at time.Time
}

func newDesk(t testing.TB) *testDesk {
	t.Helper()
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	d := &testDesk{at: time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)}
	d.Desk = &Desk{Book: book, Listen: index.NewOpening(book).Read,
		Store: cases.NewStore(t.TempDir(), func() time.Time { return d.at }).WithSuffix(func() string { return "test" })}
	return d
}

func (d *testDesk) open(t testing.TB, words string) *Call {
	t.Helper()
	d.at = d.at.Add(time.Minute) // another id for each call
	c, err := New(d.Desk, words, "")
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func do(t testing.TB, c *Call, in In) Out {
	t.Helper()
	o, err := c.Do(in)
	if err != nil {
		t.Fatalf("%+v: %v", in, err)
	}
	return o
}

func answer(q, v string) In { return In{Answer: &cases.Answer{Question: q, Value: v}} }

// someFacts draws facts over the questions of a symptom's model, by seed.
func someFacts(c *Call, symptom string, n int, r *rand.Rand) []cases.Answer {
	compiled, err := kb.Compile(c.desk.Book, kb.Setting{Symptoms: []kb.Weighted{{ID: symptom, Chance: 1}}, Who: kb.WhoCaller})
	if err != nil {
		panic(err)
	}
	var list []cases.Answer
	for _, i := range r.Perm(len(compiled.Questions))[:min(n, len(compiled.Questions))] {
		q := compiled.Questions[i]
		if strings.Contains(q.ID, "danger") {
			continue
		}
		list = append(list, cases.Answer{Question: q.ID, Value: q.Answers[r.IntN(len(q.Answers))].Value, From: "volunteered"})
	}
	return list
}

// beliefOf is what must not depend on the order of facts.
func beliefOf(o Out) string {
	text := ""
	for _, c := range o.Causes {
		text += fmt.Sprintf("%s %.12f\n", c.ID, c.Chance)
	}
	return text + o.Step.Kind + " " + o.Step.ID
}

// TestOrderOfFacts gives the same facts in different orders: the belief and
// the step must be the same.
func TestOrderOfFacts(t *testing.T) {
	d := newDesk(t)
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 1))
		symptom := []string{"F-01", "F-10", "F-11", "F-12", "F-14", "F-18"}[seed%6]
		facts := someFacts(d.open(t, ""), symptom, 6, r)
		want := ""
		for range 4 {
			c := d.open(t, "")
			o := do(t, c, In{Symptom: symptom})
			for _, i := range r.Perm(len(facts)) {
				o = do(t, c, In{Answer: &facts[i]})
			}
			got := beliefOf(o)
			if want == "" {
				want = got
			}
			if got != want {
				t.Errorf("seed %d, %s: order changed the belief:\n%s", seed, symptom, cmp.Diff(want, got))
			}
		}
	}
}

// TestUndo takes facts back one by one: each state must be the one before.
func TestUndo(t *testing.T) {
	d := newDesk(t)
	r := rand.New(rand.NewPCG(7, 7))
	c := d.open(t, "the screen is black")
	facts := someFacts(c, "F-01", 8, r)
	o, err := c.Out()
	if err != nil {
		t.Fatal(err)
	}
	states := []string{beliefOf(o)}
	for i := range facts {
		states = append(states, beliefOf(do(t, c, In{Answer: &facts[i]})))
	}
	for i := len(facts) - 1; i >= 0; i-- {
		if diff := cmp.Diff(states[i], beliefOf(do(t, c, In{Undo: true}))); diff != "" {
			t.Fatalf("undo of fact %d (-before +after):\n%s", i, diff)
		}
	}
}

// TestBadInputs changes nothing and says what is wrong.
func TestBadInputs(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "the screen is black")
	before := len(c.file.Events)
	for line, want := range map[string]string{
		`{`: "not an input", `[]`: "not an input", `{"shout":1}`: "unknown field", `{}`: "says one thing, this one says 0",
		`{"undo":true,"say":"x"}`:                                 "says one thing, this one says 2",
		`{"answer":{"question":"nope","value":"x"}}`:              `no question "nope"`,
		`{"answer":{"question":"display-lamp","value":"purple"}}`: `no answer "purple"`,
		`{"unknown":"nope"}`:                                      `no question "nope"`,
		`{"tried":{"remedy":"nope","result":"cured"}}`:            `no remedy "nope"`,
		`{"symptom":"F-99"}`:                                      `no symptom "F-99"`,
		`{"handover":"nope"}`:                                     `no handover "nope"`,
		`{"close":{"cause":"XX-1"}}`:                              `no cause "XX-1"`,
		`{"meeting":-1}`:                                          "minutes from 0",
		`{"who":"boss"}`:                                          "caller or technician",
		`{"say":"   "}`:                                           "empty",
		`{"undo":true} {"undo":true}`:                             "more than one object",
		`{"say":"` + strings.Repeat("x", 10) + `","note":"y","who":"z"}`: "says 3",
	} {
		data, err := json.Marshal(c.reply([]byte(line)))
		if err != nil {
			t.Fatal(err)
		}
		var got failure
		if err := json.Unmarshal(data, &got); err != nil || !strings.Contains(got.Error, want) {
			t.Errorf("%s: got %s, want an error with %q", line, data, want)
		}
	}
	if len(c.file.Events) != before {
		t.Errorf("%d events were kept", len(c.file.Events)-before)
	}
}

// TestLines drives a call by JSON lines and holds the keys of the contract.
func TestLines(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "the screen is black")
	in := strings.NewReader(`{"symptom":"F-01"}` + "\n\n" + `{"unknown":"display-lamp"}` + "\n" + `nonsense` + "\n" + `{"handover":"visit"}`)
	var out bytes.Buffer
	if err := Lines(c, in, &out); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	if len(lines) != 5 {
		t.Fatalf("%d lines, want 5: the first state and one for each input", len(lines))
	}
	for i, line := range lines {
		var got map[string]any
		if err := json.Unmarshal([]byte(line), &got); err != nil {
			t.Fatal(err)
		}
		if i == 3 {
			if got["error"] == nil {
				t.Errorf("nonsense gave %s", line)
			}
			continue
		}
		for _, key := range []string{"case", "step", "causes", "symptoms", "facts", "suggested_facts", "minutes", "doubt", "similar"} {
			if _, ok := got[key]; !ok {
				t.Errorf("line %d has no %q", i, key)
			}
		}
		if strings.Contains(line, "null") && strings.Contains(strings.ReplaceAll(line, `"doubt":null`, ""), "null") {
			t.Errorf("line %d has a null beside doubt: %s", i, line)
		}
	}
	if !strings.Contains(lines[4], `"kind":"done"`) || !strings.Contains(lines[4], "Passed on") {
		t.Errorf("after the handover: %s", lines[4])
	}
}

// TestResume reads the file of a call back and goes on: the state is the same.
func TestResume(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "the screen is black")
	do(t, c, In{Symptom: "F-01"})
	o := do(t, c, answer("display-lamp", "off"))
	file, err := d.Store.Load(c.ID())
	if err != nil {
		t.Fatal(err)
	}
	again, err := Resume(d.Desk, file).Out()
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(o, again); diff != "" {
		t.Errorf("resumed (-before +after):\n%s", diff)
	}
}

// TestMeetingClock offers the workaround first where mending takes longer than
// the time that is left, and not where there is time.
func TestMeetingClock(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "the screen is black")
	do(t, c, In{Symptom: "F-01"})
	soon, late := 2.0, 600.0
	if o := do(t, c, In{Meeting: &late}); o.Step.ID == TryWorkaround {
		t.Error("ten hours are left, yet the workaround comes first")
	}
	o := do(t, c, In{Meeting: &soon})
	if o.Step.ID != TryWorkaround || *o.Minutes.Meeting != 2 {
		t.Errorf("two minutes are left, the step is %s %s", o.Step.Kind, o.Step.ID)
	}
	if o = do(t, c, In{Tried: &cases.Tried{Remedy: TryWorkaround, Result: "cured"}}); o.Step.ID == TryWorkaround || o.Step.Kind == StepDone {
		t.Errorf("after the workaround the case must stay open, the step is %s %s", o.Step.Kind, o.Step.ID)
	}
}

// TestSecondFault goes on after a remedy that changed something: its cause is
// taken as found, the symptom is asked again, the cause does not come back.
func TestSecondFault(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "the screen is black")
	o := do(t, c, In{Symptom: "F-01"})
	const remedy = "display-power-on"
	o = do(t, c, In{Tried: &cases.Tried{Remedy: remedy, Result: cases.Changed}})
	if len(o.Found) != 1 || o.Step.ID != AskSymptom {
		t.Fatalf("after changed: found %v, step %s", o.Found, o.Step.ID)
	}
	found := o.Found[0].ID
	o = do(t, c, answer(AskSymptom, "F-10"))
	for _, cause := range o.Causes {
		if cause.ID == found {
			t.Errorf("%s was found already and is looked for again", found)
		}
	}
	if o.Step.Kind == StepDone || o.Symptoms[0].ID != "F-10" {
		t.Errorf("the search does not go on: %+v", o.Step)
	}
}

// TestNoDoubtWithoutReason answers as the plug lying out would have it: nothing
// is doubted. What is doubted, and when, is tested in package diagnose.
func TestNoDoubtWithoutReason(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "")
	o := do(t, c, In{Symptom: "F-01"})
	if o.Doubt != nil {
		t.Errorf("nothing is known, yet: %s", o.Doubt.Text)
	}
	for _, a := range [][2]string{{"display-lamp", "off"}, {"devices-dark", "one"}, {"wall-plug", "out-or-off"}} {
		if o = do(t, c, answer(a[0], a[1])); o.Doubt != nil {
			t.Errorf("%s fits, yet: %s", a[0], o.Doubt.Text)
		}
	}
}

// TestSafetyFromEverySymptom says a word of danger in the middle of a call
// about each symptom: the next step must be a stop with its caution.
func TestSafetyFromEverySymptom(t *testing.T) {
	d := newDesk(t)
	calm := 0
	for _, s := range kb.All[kb.Symptom](d.Book) {
		c := d.open(t, s.Words[0])
		if o := do(t, c, In{Symptom: s.ID}); o.Step.Kind == StepStop {
			continue // the first words tell of danger already
		}
		calm++
		o := do(t, c, In{Say: "wait, there is smoke coming out of it and it smells of burning"})
		if o.Step.Kind != StepStop || len(o.Step.Cautions) == 0 {
			t.Errorf("%s: the step is %s %s with %d cautions", s.ID, o.Step.Kind, o.Step.ID, len(o.Step.Cautions))
		}
		if o = do(t, c, In{Undo: true}); o.Step.Kind == StepStop {
			t.Errorf("%s: undo does not take the stop back", s.ID)
		}
	}
	if calm < 20 {
		t.Errorf("only %d symptoms were tried from a calm beginning", calm)
	}
}
