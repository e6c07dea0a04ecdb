package kb

import (
	"faultbook/diagnose"
)

// questions takes in every question that bears on a hypothesis, those that
// rules look at or put, and those that others wait for.
func (c *compiler) questions() {
	wanted := map[string]bool{}
	for _, h := range c.out.Hypotheses {
		for _, t := range c.tellsOf(h) {
			wanted[t.Question] = true
		}
	}
	for _, w := range c.set.Symptoms {
		for _, id := range Get[Symptom](c.book, w.ID).First {
			wanted[id] = true
		}
	}
	for _, r := range All[Rule](c.book) {
		for _, f := range r.When {
			wanted[f.Question] = true
		}
		for _, q := range r.Ask {
			wanted[q] = true
		}
	}
	for grown := true; grown; {
		grown = false
		for id := range wanted {
			if q := Get[Question](c.book, id); q != nil {
				for _, f := range q.When {
					grown = grown || !wanted[f.Question]
					wanted[f.Question] = true
				}
			}
		}
	}
	c.row = map[string]int{}
	for _, id := range sortedKeys(wanted) {
		if q := Get[Question](c.book, id); q != nil {
			c.row[id] = len(c.out.Questions)
			c.out.Questions = append(c.out.Questions, q)
		}
	}
	c.out.index = c.row
	tells, sensible := c.tellIndex(), c.sensible()
	for i, q := range c.out.Questions {
		out := c.question(q, tells[i])
		out.Silent = out.Silent || sensible != nil && !sensible[q.ID]
		c.out.Model.Questions = append(c.out.Model.Questions, out)
	}
}

// sensible are the questions that make sense under some symptom in play, nil
// where one of the symptoms takes any. Questions that a rule puts always do.
func (c *compiler) sensible() map[string]bool {
	set := map[string]bool{}
	for _, w := range c.set.Symptoms {
		list := Get[Symptom](c.book, w.ID).Questions
		if w.Chance > 0 && len(list) == 0 {
			return nil
		}
		for _, id := range list {
			set[id] = true
		}
	}
	for _, r := range All[Rule](c.book) {
		for _, id := range r.Ask {
			set[id] = true
		}
	}
	return set
}

// tellsOf gives the rows of a hypothesis: those of the cause, then those of
// the symptom, which win.
func (c *compiler) tellsOf(h Hypothesis) Tells {
	var list Tells
	if cause := Get[Cause](c.book, h.Cause); cause != nil {
		list = append(list, cause.Tells...)
	}
	return append(list, Get[Symptom](c.book, h.Symptom).Tells...)
}

// tellIndex gives, for each question, the row of each hypothesis that has one.
func (c *compiler) tellIndex() []map[int]Row {
	index := make([]map[int]Row, len(c.out.Questions))
	for h, hyp := range c.out.Hypotheses {
		for _, t := range c.tellsOf(hyp) {
			q, ok := c.row[t.Question]
			if !ok {
				continue
			}
			if index[q] == nil {
				index[q] = map[int]Row{}
			}
			index[q][h] = t.Row
		}
	}
	return index
}

func (c *compiler) question(q *Question, tells map[int]Row) diagnose.Question {
	out := diagnose.Question{ID: q.ID, Cost: q.Minutes/c.set.Told.chance(q.Sense.told(), q.Place) + c.set.Told.talk(), Answers: q.values(), Place: c.out.Place(q.Place),
		Silent: q.Silent || q.Who == WhoTechnician && c.set.Who != WhoTechnician, When: c.conditions(c.unsaid(q.When))}
	base, trust := q.DefaultRow(), q.Trust(c.set.Who)
	if c.set.Instrument[q.ID] {
		trust = SenseInstrument.reliability()
	}
	if t, ok := c.set.Trust[q.ID]; ok {
		trust = t
	}
	for h := range c.out.Hypotheses {
		row, ok := tells[h]
		if !ok {
			out.Given = append(out.Given, base)
			continue
		}
		full := q.FullRow(row)
		for a := range full {
			full[a] = trust*full[a] + (1-trust)*base[a]
		}
		out.Given = append(out.Given, full)
	}
	return out
}

// unsaid leaves out the conditions that the complaint itself meets: who rings
// because films are black need not be asked whether films are black before the
// question which films.
func (c *compiler) unsaid(list []Fact) []Fact {
	var kept []Fact
	for _, f := range list {
		for _, w := range c.set.Symptoms {
			if w.Chance > 0 && Get[Symptom](c.book, w.ID).says(f) < clear {
				kept = append(kept, f)
				break
			}
		}
	}
	return kept
}

// says is the chance that the symptom's own row gives to the fact.
func (e *Symptom) says(f Fact) float64 {
	sum := 0.0
	for _, t := range e.Tells {
		if t.Question != f.Question {
			continue
		}
		for _, s := range t.Row {
			for _, value := range f.Is {
				if s.Answer == value {
					sum += float64(s.Chance)
				}
			}
		}
	}
	return sum
}

func (c *compiler) conditions(list []Fact) []diagnose.Condition {
	var out []diagnose.Condition
	for _, f := range list {
		i, ok := c.row[f.Question]
		if !ok {
			continue
		}
		k := diagnose.Condition{Question: i}
		for _, v := range f.Is {
			if a := c.out.Questions[i].answer(v); a >= 0 {
				k.Answers = append(k.Answers, a)
			}
		}
		out = append(out, k)
	}
	return out
}
