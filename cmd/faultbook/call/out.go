package call

import (
	"fmt"
	"math"
	"strings"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// Out is the state as it stands.
func (c *Call) Out() (Out, error) {
	v := c.view()
	v.think()
	step := v.step()
	c.shown, c.shownAt = step.asked(), len(c.file.Events)
	o := Out{Case: c.file.ID, Step: step, Causes: v.listed(v.causesWhy()), Symptoms: v.symptomChances(),
		Facts: v.factList(), Suggested: v.suggested(), Also: v.also(), Doubt: v.doubt(), Similar: []Similar{},
		Evidence: v.evidenceList(), Minutes: v.minutes(), Workaround: v.workarounds(), Found: v.foundList(), Notes: append([]string{}, v.notes...), Room: v.roomOut()}
	if c.desk.Similar != nil && len(v.words) > 0 {
		o.Similar = append(o.Similar, c.desk.Similar(v.words[0])...)
	}
	if step.Kind == StepDone {
		o.Ticket = v.ticket()
	}
	if !c.begun && c.desk.Begun != nil {
		c.desk.Begun()
	}
	c.begun = true
	return o, nil
}

// Ticket is the text of the ticket as the call stands.
func (c *Call) Ticket() string {
	v := c.view()
	v.think()
	return v.ticket()
}

func (v *view) minutes() Minutes {
	m := Minutes{Spent: round1(v.last.Sub(v.call.file.Opened).Minutes())}
	if v.planned && v.closed == nil && v.handover == "" && !v.cured {
		m.Expected = round1(v.plan.Expected)
	}
	if v.meeting != nil {
		left := round1(v.meetingLeft())
		m.Meeting = &left
	}
	if v.meetingHeard != nil {
		left := round1(v.leftOf(*v.meetingHeard))
		m.Heard = &left
	}
	return m
}

func round1(x float64) float64 { return math.Round(10*x) / 10 }

// symptomChances are the chances of the symptoms now, after the answers.
func (v *view) symptomChances() []Chance {
	list := []Chance{}
	if v.compiled == nil || v.belief.None {
		for _, s := range v.symptoms() {
			list = append(list, Chance{ID: s.ID, Title: kb.Get[kb.Symptom](v.call.desk.Book, s.ID).Title, Chance: s.Chance})
		}
		return list
	}
	sum := map[string]float64{}
	for i, h := range v.compiled.Hypotheses {
		sum[h.Symptom] += v.belief.P[i]
	}
	for _, s := range v.symptoms() {
		list = append(list, Chance{ID: s.ID, Title: kb.Get[kb.Symptom](v.call.desk.Book, s.ID).Title, Chance: sum[s.ID]})
	}
	sortChances(list)
	return list
}

func sortChances(list []Chance) {
	for i := 1; i < len(list); i++ { // short lists; stable
		for j := i; j > 0 && list[j].Chance > list[j-1].Chance+1e-12; j-- {
			list[j], list[j-1] = list[j-1], list[j]
		}
	}
}

func (v *view) factList() []Fact {
	list := []Fact{}
	for _, a := range v.facts {
		list = append(list, v.factOf(a))
	}
	for _, f := range v.sheetFacts() {
		fact := v.factOf(cases.Answer{Question: f.Question, Value: f.Value, From: fromRoom})
		fact.Figures = f.Why
		list = append(list, fact)
	}
	for _, id := range sortedIDs(v.open) {
		if q := kb.Get[kb.Question](v.call.desk.Book, id); q != nil {
			list = append(list, Fact{Question: id, Title: q.Title, Value: "unknown", Label: "Cannot tell", From: "asked"})
		}
	}
	return list
}

// factOf words an answer.
func (v *view) factOf(a cases.Answer) Fact {
	f := Fact{Question: a.Question, Title: a.Question, Value: a.Value, Label: a.Value, From: a.From}
	if q := kb.Get[kb.Question](v.call.desk.Book, a.Question); q != nil {
		f.Title, f.Label = q.Title, q.AnswerLabel(a.Value)
	}
	if f.From == "" {
		f.From = "asked"
	}
	if i, ok := v.measured[a.Question]; ok {
		f.Figures = strings.Join(figuresOf(v.evidence[i], a.Question), "; ")
	}
	return f
}

// evidenceList is what readings and sums said, each with the answers that
// still come from it.
func (v *view) evidenceList() []Evidence {
	list := []Evidence{}
	for i, e := range v.evidence {
		item := Evidence{From: e.From, Name: e.Name, Answers: []Fact{}, Text: append([]string{}, e.Text...)}
		for _, a := range v.facts {
			if by, ok := v.measured[a.Question]; ok && by == i {
				item.Answers = append(item.Answers, v.factOf(a))
			}
		}
		list = append(list, item)
	}
	return list
}

// heardFacts are the facts in the caller's words, each question once.
func (v *view) heardFacts() []Suggested {
	list := []Suggested{}
	if len(v.words) == 0 {
		return list
	}
	for _, h := range v.call.listen(v.words).Facts {
		q := kb.Get[kb.Question](v.call.desk.Book, h.Question)
		if q == nil || !q.Has(h.Value) {
			continue
		}
		list = append(list, Suggested{h.Question, q.Title, h.Value, q.AnswerLabel(h.Value), strings.Join(h.Words, " ")})
	}
	return list
}

// suggested are the facts heard that nobody has confirmed or denied yet.
func (v *view) suggested() []Suggested {
	known := map[string]bool{}
	for _, f := range v.facts {
		known[f.Question] = true
	}
	list := []Suggested{}
	for _, s := range v.heardFacts() {
		if !known[s.Question] && !v.open[s.Question] {
			list = append(list, s)
		}
	}
	return list
}

// doubt names the answer that does not fit the others.
func (v *view) doubt() *Doubt {
	if v.compiled == nil || v.cured || v.closed != nil {
		return nil
	}
	if v.belief.None {
		return &Doubt{"", "The facts contradict each other: no cause in the book fits all of them. Check them again."}
	}
	var leak []int
	for i, h := range v.compiled.Hypotheses {
		if h.Cause == kb.SomethingElse {
			leak = append(leak, i)
		}
	}
	q := v.compiled.Model.Doubt(v.state, leak)
	if q < 0 {
		return v.outdated()
	}
	if d := v.sheetDoubt(v.compiled.Questions[q].ID); d != nil {
		return d
	}
	question := v.compiled.Questions[q]
	label := question.Answers[v.state.Answers[q]].Say
	return &Doubt{question.ID, fmt.Sprintf("The answers do not fit together well. Check again: %s (answered %q).", question.Title, label)}
}

func (v *view) foundList() []Chance {
	list := []Chance{}
	for _, id := range v.found {
		if id != "" {
			list = append(list, Chance{ID: id, Title: v.groupTitle(id), Chance: 1})
		}
	}
	return list
}

// resultText is what came of a remedy, for a ticket.
func resultText(result string) string {
	switch result {
	case cases.Cured:
		return "cured it"
	case cases.Changed:
		return "changed something, not cured"
	case cases.CouldNot:
		return "could not be done"
	}
	return "no change"
}
