package kb

import (
	"testing"

	"faultbook/diagnose"
)

// What rehearsed calls over all causes must come to, a lay caller on the line,
// misreadings included. Calls are few, so
// that the test takes little; the seed makes them the same always.
const (
	leastFound    = 0.90
	mostWrong     = 0.6
	mostQuestions = 9
	rehearsed     = 8 // calls for each cause under each symptom
)

func TestRehearsedCalls(t *testing.T) {
	if testing.Short() {
		t.Skip("plays thousands of calls: run without -short")
	}
	b, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	r, err := Rehearse(b, RehearseSetting{Who: WhoCaller, Calls: rehearsed, Seed: 1, Workers: 2, Alone: true})
	if err != nil {
		t.Fatal(err)
	}
	x := r.Total
	t.Logf("%d calls: found %.3f (cured %.3f), wrong remedies %.2f, vain %.2f, questions %.2f, minutes %.1f",
		x.Calls, x.Found, x.Cured, x.WrongRemedy, x.VainRemedy, x.Questions, x.Minutes)
	if x.Found < leastFound {
		t.Errorf("%.3f of the calls found the cause, wanted %v", x.Found, leastFound)
	}
	if x.WrongRemedy > mostWrong {
		t.Errorf("%.2f wrong remedies a call, wanted %v at most", x.WrongRemedy, mostWrong)
	}
	if x.Questions > mostQuestions {
		t.Errorf("%.2f questions a call, wanted %v at most", x.Questions, mostQuestions)
	}
}

// TestSafetyStopsEverywhere: under every symptom, whoever is on the line and
// whatever else is known, the facts of each stop rule leave its handover alone
// as the next step.
func TestSafetyStopsEverywhere(t *testing.T) {
	b, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	stops := 0
	for _, who := range []Who{WhoCaller, WhoTechnician} {
		for _, id := range b.IDs(KindSymptom) {
			c, err := Compile(b, Setting{Symptoms: []Weighted{{id, 1}}, Who: who})
			if err != nil {
				t.Fatal(err)
			}
			for i, r := range c.Rules {
				if r.Stop == nil {
					continue
				}
				stops++
				if got := firstWhen(t, c, r.When); got.Kind != diagnose.End || got.Index != c.Model.Rules[i].Stop {
					t.Errorf("%s, %s: after %s the next step is %+v", id, who, r.ID, got)
				}
			}
		}
	}
	if stops == 0 {
		t.Error("no stop rule in the book")
	}
}

// firstWhen is the first step where the facts are known, and a remedy has
// failed before them.
func firstWhen(t *testing.T, c *Compiled, facts []Fact) diagnose.Action {
	t.Helper()
	s := c.Model.NewState()
	s.Trials[0] = diagnose.Failed
	for _, f := range facts {
		q := c.question(f.Question)
		s.Answers[q] = int16(c.Answer(q, f.Is[0]))
	}
	plan, err := c.Model.Plan(c.Closed(s), diagnose.Options{Budget: c.Model.CallBudget()})
	if err != nil {
		t.Fatal(err)
	}
	return plan.First
}
