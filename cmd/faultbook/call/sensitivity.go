package call

import (
	"fmt"

	"faultbook/diagnose"
	"faultbook/kb"
)

// Sway is an authored figure that, moved by one word of its scale, would
// change the next step.
type Sway struct {
	Cause  string `json:"cause"`  // id
	Figure string `json:"figure"` // what it is the figure of
	Now    string `json:"now"`
	Moved  string `json:"moved"`
	Step   string `json:"step"` // title of the step that would come instead
}

// swayCauses is how many of the likeliest causes are looked at; the figures of
// the others weigh too little to be worth the time of a person who waits.
const swayCauses = 6

// Sensitivity moves the figures behind the step, one at a time and by one word
// of the scale: how common the likeliest causes are, what their rows say of
// the facts known and of the question put, and how often the remedies cure.
func (c *Call) Sensitivity() []Sway {
	v := c.view()
	v.think()
	if v.compiled == nil || v.belief.None || v.makePlan() != nil {
		return nil
	}
	list := []Sway{}
	causes := v.causes()
	for _, ch := range causes[:min(swayCauses, len(causes))] {
		e := kb.Get[kb.Cause](c.desk.Book, ch.ID)
		if e == nil {
			continue
		}
		for _, move := range v.moves(e) {
			if step := v.stepWith(move.entry); step != "" {
				list = append(list, Sway{e.ID, move.figure, move.now, move.moved, step})
			}
		}
	}
	return list
}

// move is one changed copy of a cause.
type move struct {
	entry              *kb.Cause
	figure, now, moved string
}

func (v *view) moves(e *kb.Cause) []move {
	list := v.commonness(e)
	asked := v.askedNow()
	for i, t := range e.Tells {
		if !asked[t.Question] {
			continue
		}
		q := kb.Get[kb.Question](v.call.desk.Book, t.Question)
		for j, s := range t.Row {
			for _, chance := range s.Chance.Beside() {
				if m, ok := withTell(e, i, j, chance); ok && q != nil {
					list = append(list, move{m, fmt.Sprintf("%s: %q with %s", q.Title, q.AnswerLabel(s.Answer), e.Title), s.Chance.String(), chance.String()})
				}
			}
		}
	}
	for i, r := range e.Remedies {
		rem := kb.Get[kb.Remedy](v.call.desk.Book, r.ID)
		for _, chance := range r.CureChance().Beside() {
			if rem == nil {
				continue
			}
			m := *e
			m.Remedies = append([]kb.Cure{}, e.Remedies...)
			m.Remedies[i].Cures = chance
			list = append(list, move{&m, fmt.Sprintf("%s cures %s", rem.Title, e.Title), r.CureChance().String(), chance.String()})
		}
	}
	return list
}

// commonness moves how common a cause is: the figure of its own, and those that
// it has under symptoms in play.
func (v *view) commonness(e *kb.Cause) []move {
	inPlay := map[string]bool{}
	for _, h := range v.compiled.Hypotheses {
		inPlay[h.Symptom] = inPlay[h.Symptom] || h.Cause == e.ID
	}
	var list []move
	own := false
	for i, s := range e.Symptoms {
		if !inPlay[s.ID] {
			continue
		}
		if s.Frequency == "" {
			own = true
			continue
		}
		for _, f := range s.Frequency.Beside() {
			m := *e
			m.Symptoms = append([]kb.SymptomRef{}, e.Symptoms...)
			m.Symptoms[i].Frequency = f
			list = append(list, move{&m, "how common " + e.Title + " is under " + s.ID, string(s.Frequency), string(f)})
		}
	}
	if !own {
		return list
	}
	for _, f := range e.Frequency.Beside() {
		m := *e
		m.Frequency = f
		list = append(list, move{&m, "how common " + e.Title + " is", string(e.Frequency), string(f)})
	}
	return list
}

// askedNow are the questions known already and the one put now.
func (v *view) askedNow() map[string]bool {
	set := map[string]bool{}
	for _, f := range v.facts {
		set[f.Question] = true
	}
	if v.plan.First.Kind == diagnose.Ask {
		set[v.compiled.Questions[v.plan.First.Index].ID] = true
	}
	return set
}

// withTell changes one likelihood; a row that would go over one does not count.
func withTell(e *kb.Cause, tell, share int, chance kb.Chance) (*kb.Cause, bool) {
	m := *e
	m.Tells = append(kb.Tells{}, e.Tells...)
	m.Tells[tell].Row = append(kb.Row{}, e.Tells[tell].Row...)
	m.Tells[tell].Row[share].Chance = chance
	sum := kb.Chance(0)
	for _, s := range m.Tells[tell].Row {
		sum += s.Chance
	}
	return &m, sum <= 1
}

// stepWith plans with a changed cause; it gives the title of the step where it
// is another than now, else nothing.
func (v *view) stepWith(e *kb.Cause) string {
	desk := *v.call.desk
	desk.Book = desk.Book.With(e)
	other := Resume(&desk, v.call.file).view()
	if !other.think() || other.belief.None || other.makePlan() != nil {
		return ""
	}
	a, b := v.stepName(), other.stepName()
	if a == b {
		return ""
	}
	return b
}

func (v *view) stepName() string {
	a := v.plan.First
	switch a.Kind {
	case diagnose.Ask:
		return v.compiled.Questions[a.Index].Title
	case diagnose.Try:
		return v.compiled.Remedies[a.Index].Title
	case diagnose.End:
		return v.compiled.Handovers[a.Index].Title
	}
	return ""
}
