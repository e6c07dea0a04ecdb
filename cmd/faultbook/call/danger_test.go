package call

import (
	"slices"
	"testing"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// told are sentences for each rule that stops a call, as somebody says them in
// the middle of something else. From imagination; common practice, no source.
func told() map[string]string {
	return map[string]string{
		"stop-smoke-smell":     "hold on, there is smoke coming out of the back",
		"stop-liquid":          "by the way somebody has spilt coffee over the table box",
		"stop-shock":           "ouch, I just got an electric shock from the frame",
		"stop-repeated-trip":   "we reset the breaker and it trips again every time",
		"stop-swollen-battery": "and the battery of the microphone is swollen",
		"stop-swallowed-cell":  "the child has swallowed the button cell from the remote",
		"stop-opening":         "I will just take the lid off the box in the wall and look",
		"stop-climbing":        "wait, I am standing on a chair to have a look",
		"stop-hanging-loose":   "the projector is hanging off its bracket",
		"stop-light-in-eye":    "he looked straight into the lens and sees spots",
		"stop-fibre-in-eye":    "my colleague has just looked down the fibre to see if it is lit",
		"stop-too-hot":         "that thing is so hot that I burnt my fingers on it",
	}
}

// TestDangerStopsEveryCall tells each danger in the middle of a call of each
// symptom, and in some after the question for dangers itself was answered with
// none. The very next step has to be the stop.
func TestDangerStopsEveryCall(t *testing.T) {
	d := newDesk(t)
	words := told()
	for _, r := range kb.All[kb.Rule](d.Book) {
		if r.Stop == nil {
			continue
		}
		say, ok := words[r.ID]
		if !ok {
			t.Errorf("%s: no sentence tells it", r.ID)
			continue
		}
		for _, s := range kb.All[kb.Symptom](d.Book) {
			c := d.open(t, s.Words[0])
			o := do(t, c, In{Symptom: s.ID})
			if o.Step.Kind == StepStop { // F-24: the first words told it already
				continue
			}
			if o.Step.Kind == StepAsk && o.Step.ID != AskSymptom {
				o = do(t, c, In{Unknown: o.Step.ID})
			}
			stops(t, c, s.ID, r, say)
			if s.ID == "F-01" || s.ID == "F-13" { // it does not hang on the symptom
				do(t, c, In{Undo: true})
				do(t, c, In{Answer: harmless(d.Book, r)})
				stops(t, c, s.ID, r, say)
			}
		}
	}
}

// stops says something and wants the stop of a rule for it.
func stops(t *testing.T, c *Call, symptom string, r *kb.Rule, say string) {
	t.Helper()
	o := do(t, c, In{Say: say})
	if o.Step.Kind != StepStop || len(o.Step.Cautions) == 0 || o.Step.Answers[0].Value != r.Stop.Handover {
		t.Errorf("%s, %q: the step is %s %s, want %s", symptom, say, o.Step.Kind, o.Step.ID, r.ID)
	}
}

// harmless answers the question of a stop rule so that it does not hold.
func harmless(book *kb.Book, r *kb.Rule) *cases.Answer {
	f := r.When[0]
	q := kb.Get[kb.Question](book, f.Question)
	for _, a := range q.Answers {
		if !slices.Contains(f.Is, a.Value) && !stopsOn(book, f.Question, a.Value) {
			return &cases.Answer{Question: f.Question, Value: a.Value}
		}
	}
	panic(r.ID + ": every answer stops")
}

func stopsOn(book *kb.Book, question, value string) bool {
	for _, r := range kb.All[kb.Rule](book) {
		if r.Stop != nil && r.When[0].Question == question && slices.Contains(r.When[0].Is, value) {
			return true
		}
	}
	return false
}
