package call

import (
	"fmt"
	"math"
	"sort"

	"faultbook/diagnose"
	"faultbook/kb"
)

// Percent is a chance for people; it never claims certainty.
func Percent(p float64) string {
	n := int(math.Round(100 * p))
	switch {
	case p > 0 && n == 0:
		return "under 1 %"
	case p < 1 && n == 100:
		return "over 99 %"
	}
	return fmt.Sprintf("%d %%", n)
}

// groups sums a belief over the causes, likeliest first, ties by id.
func (v *view) groups(b diagnose.Belief) []Chance {
	sum := map[string]float64{}
	var ids []string
	for c, p := range b.P {
		g := v.compiled.Model.Causes[c].Group
		if _, ok := sum[g]; !ok {
			ids = append(ids, g)
		}
		sum[g] += p
	}
	sort.Slice(ids, func(i, j int) bool {
		a, b := sum[ids[i]], sum[ids[j]]
		if math.Abs(a-b) > 1e-12 {
			return a > b
		}
		return ids[i] < ids[j]
	})
	list := []Chance{}
	for _, id := range ids {
		list = append(list, Chance{ID: id, Title: v.groupTitle(id), Chance: sum[id]})
	}
	return list
}

func (v *view) groupTitle(id string) string {
	if id == kb.SomethingElse {
		return "Something else, not in the book"
	}
	return v.causeTitle(id)
}

// causes are the chances now.
func (v *view) causes() []Chance {
	if v.compiled == nil {
		return []Chance{}
	}
	return v.groups(v.belief)
}

// whyAsk gives in one line what the answer would change: the answer that moves
// a cause most, weighted by its chance.
func (v *view) whyAsk(q int) string {
	m := v.compiled.Model
	now := v.causes()
	before := map[string]float64{}
	for _, c := range now {
		before[c.ID] = c.Chance
	}
	best, text := 0.0, ""
	for a, option := range v.compiled.Questions[q].Answers {
		p := v.answerChance(q, a)
		s := v.state.Clone()
		s.Answers[q] = int16(a)
		after := m.Believe(s)
		if p == 0 || after.None {
			continue
		}
		for _, c := range v.groups(after)[:1] {
			if gain := p * (c.Chance - before[c.ID]); gain > best {
				best = gain
				text = fmt.Sprintf("%q (%s likely) would take %s from %s to %s.", option.Say, Percent(p), c.Title, Percent(before[c.ID]), Percent(c.Chance))
			}
		}
	}
	if text == "" {
		text = fmt.Sprintf("It opens what comes next; likeliest now: %s (%s).", now[0].Title, Percent(now[0].Chance))
	}
	if saved := v.saves(); saved >= 1 {
		text += fmt.Sprintf(" Asking saves about %s.", minutesText(saved))
	}
	return text
}

// saves is how many minutes the planned step saves, on average, against the
// best step that asks nothing; 0 where there is none.
func (v *view) saves() float64 {
	for _, c := range v.plan.Choices {
		if c.Action.Kind != diagnose.Ask {
			return math.Max(0, c.Expected-v.plan.Expected)
		}
	}
	return 0
}

// answerChance is the chance of an answer under the belief now.
func (v *view) answerChance(q, a int) float64 {
	sum := 0.0
	for c, p := range v.belief.P {
		sum += p * v.compiled.Model.Questions[q].Given[c][a]
	}
	return sum
}

// whyTry says how often it helps and against what.
func (v *view) whyTry(r int) string {
	m := v.compiled.Model
	total := 0.0
	sum := map[string]float64{}
	for c, p := range v.belief.P {
		total += p * m.Repairs[r].Fixes[c]
		sum[m.Causes[c].Group] += p * m.Repairs[r].Fixes[c]
	}
	top := ""
	for _, c := range v.causes() {
		if sum[c.ID] > sum[top] {
			top = c.ID
		}
	}
	if top == "" {
		return "Nothing cheaper is left to try."
	}
	return fmt.Sprintf("It would mend this with a chance of %s, above all %s (%s likely), in %s.", Percent(total), v.groupTitle(top), Percent(v.share(top)), minutesText(v.compiled.Remedies[r].Minutes))
}

func (v *view) share(group string) float64 {
	for _, c := range v.causes() {
		if c.ID == group {
			return c.Chance
		}
	}
	return 0
}

// whyHandover says why the search ends here.
func (v *view) whyHandover() string {
	list := v.causes()
	text := "Nothing that can be asked or tried from here is worth its minutes any more."
	if len(list) > 0 {
		text += fmt.Sprintf(" Likeliest: %s (%s)", list[0].Title, Percent(list[0].Chance))
		if len(list) > 1 && list[1].Chance > 0.05 {
			text += fmt.Sprintf(", %s (%s)", list[1].Title, Percent(list[1].Chance))
		}
		text += "."
	}
	return text
}

// Table is the long reason: each answer of a question, its chance and what
// would be likeliest after it.
func (c *Call) Table() []Row {
	v := c.view()
	s := v.step()
	if v.compiled == nil {
		return nil
	}
	switch s.Kind {
	case StepAsk:
		return v.askTable(s.ID)
	case StepSum:
		return v.askTable(s.Question)
	case StepTry:
		return v.tryTable(s.ID)
	}
	return nil
}

// Row is one line of a Table.
type Row struct {
	Label    string   `json:"label"`
	Chance   float64  `json:"chance"`
	After    []Chance `json:"after"`
	Expected float64  `json:"expected_minutes"`
}

func (v *view) askTable(id string) []Row {
	var rows []Row
	for q := range v.compiled.Questions {
		if v.compiled.Questions[q].ID != id {
			continue
		}
		for a, option := range v.compiled.Questions[q].Answers {
			s := v.state.Clone()
			s.Answers[q] = int16(a)
			rows = append(rows, v.rowAfter(option.Say, v.answerChance(q, a), s))
		}
	}
	return rows
}

func (v *view) tryTable(id string) []Row {
	for r := range v.compiled.Remedies {
		if v.compiled.Remedies[r].ID != id {
			continue
		}
		works := 0.0
		for c, p := range v.belief.P {
			works += p * v.compiled.Model.Repairs[r].Fixes[c]
		}
		s := v.state.Clone()
		s.Trials[r] = diagnose.Failed
		return []Row{{Label: "It helps", Chance: works, After: []Chance{}}, v.rowAfter("It does not help", 1-works, s)}
	}
	return nil
}

// rowAfter looks one step on.
func (v *view) rowAfter(label string, p float64, s diagnose.State) Row {
	row := Row{Label: label, Chance: p, After: []Chance{}}
	b := v.compiled.Model.Believe(s)
	if b.None {
		return row
	}
	list := v.groups(b)
	row.After = list[:min(3, len(list))]
	if plan, err := v.compiled.Model.Plan(s, diagnose.Options{Budget: v.compiled.Model.CallBudget()}); err == nil {
		row.Expected = plan.Expected
	}
	return row
}
