package kb

import (
	"fmt"
	"math"

	"faultbook/diagnose"
)

// Advise says what an author could make better, as findings of level advice.
// It plans on the whole book, which takes much longer than Check. The book
// must pass Check without errors. only names the entries that advice may be
// given on, nil for all; what is beyond them is not planned on.
//
//   - no-question-apart: two causes of a symptom that no question tells apart,
//     not even a technician's
//   - question-never-pays: no state that was looked at is better for asking it
//   - question-never-put: it has rows, but no symptom puts it
//   - remedy-dominated: another remedy cures as well, for no more minutes
//   - row-against-rule: a rule excludes a cause on an answer that its row
//     expects
//   - deep-tree: more than ten steps to a common cause
func Advise(b *Book, only func(Entry) bool) ([]Finding, error) {
	a := &adviser{checker: checker{book: b}, only: only, known: map[string]bool{}, asked: map[string]bool{}, pays: map[string]bool{}, pairs: map[[2]string]bool{}}
	for _, who := range []Who{WhoCaller, WhoTechnician} {
		for _, id := range b.IDs(KindSymptom) {
			if err := a.symptom(id, who); err != nil {
				return nil, fmt.Errorf("advice on %s: %w", id, err)
			}
		}
	}
	a.neverPay()
	a.dominated()
	a.againstRules()
	SortFindings(a.findings)
	return a.findings, nil
}

type adviser struct {
	checker
	only  func(Entry) bool
	known map[string]bool    // questions that bear on some symptom
	asked map[string]bool    // those that may be put under it
	pays  map[string]bool    // questions that pay in some state
	pairs map[[2]string]bool // pairs of causes reported already
}

// advise reports on an entry, if it is one that advice may be given on.
func (a *adviser) advise(e Entry, code, text string, path ...string) {
	if a.only != nil && !a.only(e) {
		return
	}
	a.entry = e
	a.add(LevelAdvice, code, text, path...)
}

func (a *adviser) symptom(id string, who Who) error {
	c, err := Compile(a.book, Setting{Symptoms: []Weighted{{id, 1}}, Who: who})
	if err != nil {
		return err
	}
	if !a.concerns(c, id) {
		return nil
	}
	if who == WhoTechnician {
		a.notApart(c, id)
	}
	for _, q := range c.Model.Questions {
		a.known[q.ID] = true
		a.asked[q.ID] = a.asked[q.ID] || !q.Silent
	}
	policy := c.Model.Planned(diagnose.Options{Budget: c.Model.CallBudget()})
	if err := a.payments(c, policy); err != nil {
		return err
	}
	if who != WhoCaller {
		return nil
	}
	return a.depth(c, id, policy)
}

// concerns reports whether advice on anything in the model is wanted.
func (a *adviser) concerns(c *Compiled, symptom string) bool {
	wanted := a.only == nil || a.only(Get[Symptom](a.book, symptom))
	for _, h := range c.Hypotheses {
		if e := Get[Cause](a.book, h.Cause); e != nil && !wanted {
			wanted = a.only(e)
		}
	}
	for i, q := range c.Questions {
		wanted = wanted || !c.Model.Questions[i].Silent && a.only(q)
	}
	return wanted
}

// sameBits is the evidence, in bits, below which nothing tells a pair apart.
const sameBits = 0.1

func (a *adviser) notApart(c *Compiled, symptom string) {
	for i, x := range c.Hypotheses {
		for j := i + 1; j < len(c.Hypotheses); j++ {
			y := c.Hypotheses[j]
			pair := [2]string{x.Cause, y.Cause}
			if x.Cause == SomethingElse || y.Cause == SomethingElse || a.pairs[pair] || areJoint(a.book, x.Cause, y.Cause) {
				continue
			}
			if bits := c.Model.Apart(i, j); bits < sameBits {
				a.pairs[pair] = true
				a.advise(Get[Cause](a.book, x.Cause), "no-question-apart", fmt.Sprintf(
					"no question tells it from %s (%s): write a row that differs, or name %s under joint if one remedy serves both",
					y.Cause, symptom, y.Cause), "tells")
			}
		}
	}
}

// payLeast is the chance below which a state that can follow is not looked at.
const payLeast = 0.004

// payments plans in the states that the policy is likely to come to and notes
// every question that is there the better step than any remedy or handover.
func (a *adviser) payments(c *Compiled, policy diagnose.Policy) error {
	m := c.Model
	tree, err := diagnose.BuildTree(m, m.NewState(), policy, diagnose.TreeLimits{Chance: payLeast})
	if err != nil {
		return err
	}
	var walk func(t *diagnose.Tree, s diagnose.State) error
	walk = func(t *diagnose.Tree, s diagnose.State) error {
		if t.Cut || t.Action.Kind == diagnose.End || t.Action.Kind == diagnose.Nothing {
			return nil
		}
		plan, err := m.Plan(s, diagnose.Options{Budget: m.CallBudget()})
		if err != nil {
			return err
		}
		a.payHere(m, plan)
		for _, k := range t.Kids {
			if err := walk(k, m.After(s, t.Action, k.Answer)); err != nil {
				return err
			}
		}
		return nil
	}
	return walk(tree, m.NewState())
}

func (a *adviser) payHere(m *diagnose.Model, plan diagnose.Plan) {
	other := math.Inf(1) // the cheapest that is no question
	for _, ch := range plan.Choices {
		if ch.Action.Kind != diagnose.Ask {
			other = min(other, ch.Expected)
		}
	}
	for _, ch := range plan.Choices {
		if ch.Action.Kind == diagnose.Ask && ch.Expected < other {
			a.pays[m.Questions[ch.Action.Index].ID] = true
		}
	}
}

func (a *adviser) neverPay() {
	for _, q := range All[Question](a.book) {
		switch {
		case a.known[q.ID] && !a.asked[q.ID] && !q.Silent:
			a.advise(q, "question-never-put", "no symptom puts it: name it under the questions of one, or mark it silent")
		case a.asked[q.ID] && !a.pays[q.ID]:
			a.advise(q, "question-never-pays", fmt.Sprintf(
				"asking never pays in the states that calls are likely to come to: sharpen its rows, make it quicker than %g min, or make it silent if readings answer it", q.Minutes), "minutes")
		}
	}
}

// deepest is how many steps a common cause may take before its author is told.
const deepest = 10

// depth follows, for each common cause, the answers that it gives most often.
func (a *adviser) depth(c *Compiled, symptom string, policy diagnose.Policy) error {
	for h, hyp := range c.Hypotheses {
		cause := Get[Cause](a.book, hyp.Cause)
		if cause == nil || cause.frequencyIn(symptom).Weight() < Frequency("common").Weight() {
			continue
		}
		steps, err := c.stepsTo(h, policy)
		if err != nil {
			return err
		}
		if steps > deepest {
			a.advise(Get[Symptom](a.book, symptom), "deep-tree", fmt.Sprintf(
				"%s is common here, yet found only in %d steps where every answer is as usual: write rows for the first questions of this symptom, or a quicker remedy", hyp.Cause, steps))
		}
	}
	return nil
}

// stepsTo counts the steps of the policy until the case ends if the cause is h,
// every answer is the one most often given, and a remedy helps if it helps more
// often than not.
func (c *Compiled) stepsTo(h int, policy diagnose.Policy) (int, error) {
	m := c.Model
	s := m.NewState()
	for n := 1; ; n++ {
		act, err := policy.Next(s)
		if err != nil {
			return 0, err
		}
		answer := -1
		switch act.Kind {
		case diagnose.Try:
			if m.Repairs[act.Index].Fixes[h] > 0.5 {
				return n, nil
			}
		case diagnose.Ask:
			row := m.Questions[act.Index].Given[h]
			answer = 0
			for i, p := range row {
				if p > row[answer] {
					answer = i
				}
			}
		default:
			return n, nil
		}
		s = m.After(s, act, answer)
	}
}

// dominated compares every two remedies over all causes and symptoms.
func (a *adviser) dominated() {
	cures := map[string]map[string]float64{}
	for _, cause := range All[Cause](a.book) {
		for _, r := range cause.Remedies {
			if cures[r.ID] == nil {
				cures[r.ID] = map[string]float64{}
			}
			cures[r.ID][cause.ID] = float64(r.CureChance())
		}
	}
	ids := a.book.IDs(KindRemedy)
	for _, id := range ids {
		r := Get[Remedy](a.book, id)
		for _, other := range ids {
			o := Get[Remedy](a.book, other)
			if id != other && better(o, r, cures[other], cures[id]) && !a.pointless(other) {
				a.advise(r, "remedy-dominated", fmt.Sprintf(
					"%s cures all that it cures, as often, in %g min where it takes %g: say what it does better, or leave it out", other, o.Minutes, r.Minutes), "minutes")
				break
			}
		}
	}
}

// better reports whether o can stand for r everywhere and is better in
// something that counts.
func better(o, r *Remedy, ofO, ofR map[string]float64) bool {
	if len(ofR) == 0 || o.Place != r.Place && o.Place != "" || o.Minutes > r.Minutes || !o.Who.allowed(r.Who) || len(o.Parts) > len(r.Parts) {
		return false
	}
	more := o.Minutes < r.Minutes || len(ofO) > len(ofR)
	for cause, p := range ofR {
		if ofO[cause] < p {
			return false
		}
		more = more || ofO[cause] > p
	}
	return more
}

// pointless reports whether some symptom has no use for the remedy, so that it
// cannot stand for others there.
func (a *adviser) pointless(id string) bool {
	for _, s := range All[Symptom](a.book) {
		for _, p := range s.Pointless {
			if p == id {
				return true
			}
		}
	}
	return false
}

// expects is the chance from which a row expects an answer.
const expects = 0.5

// againstRules finds causes that a rule excludes on answers that their own
// rows expect. Only rows that are written count, not defaults.
func (a *adviser) againstRules() {
	for _, r := range All[Rule](a.book) {
		if len(r.When) == 0 {
			continue
		}
		for _, id := range r.Exclude {
			if cause := Get[Cause](a.book, id); cause != nil {
				a.expected(r, cause)
			}
		}
	}
}

// expected reports where every fact of the rule is what the cause makes usual.
func (a *adviser) expected(r *Rule, cause *Cause) {
	question := ""
	for _, f := range r.When {
		chance, written := cause.says(a.book, f)
		if !written || chance < expects {
			return
		}
		question = f.Question
	}
	a.advise(cause, "row-against-rule", fmt.Sprintf(
		"rule %s excludes it on an answer to %s that this row expects: one of the two is wrong", r.ID, question), "tells", question)
}

// says is the chance that the cause's own row gives to a fact, and whether
// there is such a row.
func (e *Cause) says(b *Book, f Fact) (float64, bool) {
	q := Get[Question](b, f.Question)
	for _, t := range e.Tells {
		if t.Question != f.Question || q == nil {
			continue
		}
		sum, row := 0.0, q.FullRow(t.Row)
		for _, value := range f.Is {
			if i := q.answer(value); i >= 0 {
				sum += row[i]
			}
		}
		return sum, true
	}
	return 0, false
}
