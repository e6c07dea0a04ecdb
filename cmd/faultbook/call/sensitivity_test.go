package call

import (
	"strings"
	"testing"
	"time"

	"faultbook/kb"
)

// The figures that sway a step are those, and only those, with which a call on
// a book that says so takes another step. Every move of the likeliest causes is
// tried in a call of its own.
func TestSensitivity(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "")
	first := do(t, c, In{Symptom: "F-09"})
	second := do(t, c, answer(first.Step.ID, first.Step.Answers[0].Value))
	listed := map[string]string{}
	for _, s := range c.Sensitivity() {
		listed[s.Cause+s.Figure+s.Moved] = s.Step
	}
	v := c.view()
	if !v.think() || v.makePlan() != nil {
		t.Fatal("no plan")
	}
	moves := 0
	causes := v.causes()
	for _, ch := range causes[:min(swayCauses, len(causes))] {
		e := kb.Get[kb.Cause](d.Book, ch.ID)
		if e == nil {
			continue
		}
		for _, m := range v.moves(e) {
			desk := *d.Desk
			desk.Book = d.Book.With(m.entry)
			d.at = d.at.Add(time.Hour)
			o := (&testDesk{&desk, d.at}).open(t, "")
			if now := do(t, o, In{Symptom: "F-09"}); now.Step.ID != first.Step.ID {
				continue // the answer would count as volunteered, and no walk be made for it
			}
			moves++
			got := do(t, o, answer(first.Step.ID, first.Step.Answers[0].Value))
			_, said := listed[e.ID+m.figure+string(m.moved)]
			if said != (got.Step.ID != second.Step.ID) {
				t.Errorf("%s, %s instead of %s: step %s instead of %s, listed %v", m.figure, m.moved, m.now, got.Step.ID, second.Step.ID, said)
			}
		}
	}
	t.Logf("%d figures moved, %d sway the step", moves, len(listed))
	if moves < 10 || len(listed) == 0 {
		t.Errorf("%d figures moved, %d sway the step: nothing is tried", moves, len(listed))
	}
}

// A cause that is more or less common under a symptom than elsewhere hangs on
// the figure that it has there.
func TestSensitivityUnderASymptom(t *testing.T) {
	d := newDesk(t)
	for _, e := range kb.All[kb.Cause](d.Book) {
		for _, s := range e.Symptoms {
			if s.Frequency == "" {
				continue
			}
			c := d.open(t, "")
			do(t, c, In{Symptom: s.ID})
			v := c.view()
			if !v.think() || v.makePlan() != nil {
				t.Fatal("no plan")
			}
			list := v.commonness(e)
			if len(list) == 0 {
				t.Fatalf("%s under %s: nothing moves", e.ID, s.ID)
			}
			for _, m := range list {
				if !strings.HasSuffix(m.figure, "under "+s.ID) || m.now != string(s.Frequency) || m.entry.Frequency != e.Frequency {
					t.Errorf("%s under %s: moved %q from %s to %s", e.ID, s.ID, m.figure, m.now, m.moved)
				}
			}
			return
		}
	}
	t.Fatal("no cause of the book is more or less common under a symptom")
}
