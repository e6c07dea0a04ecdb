package call

import (
	"fmt"
	"math"
	"strings"

	"faultbook/diagnose"
)

// movedLeast is the change of a chance from which evidence is said to have
// moved the belief.
const movedLeast = 0.02

// moved says in one line what evidence changed, compared with the belief
// without its answers: of the likeliest cause where that rose, else of the
// cause that changed most. It is "" where nothing moved.
func (v *view) moved(evidence int) string {
	before, ok := v.without(v.answersOf(evidence)...)
	if !ok {
		return ""
	}
	var best Chance
	for i, c := range v.causes() {
		change := c.Chance - before[c.ID]
		if i == 0 && change >= movedLeast {
			best = c
			break
		}
		if math.Abs(change) > math.Abs(best.Chance-before[best.ID]) {
			best = c
		}
	}
	if math.Abs(best.Chance-before[best.ID]) < movedLeast {
		return ""
	}
	return v.movedLine(evidence, best, before[best.ID])
}

// movedLine shows the figures of the answers that moved the cause, of all
// where each alone did little.
func (v *view) movedLine(evidence int, c Chance, before float64) string {
	var movers []string
	for _, q := range v.answersOf(evidence) {
		if less, ok := v.without(q); ok && (c.Chance-less[c.ID])*math.Copysign(1, c.Chance-before) >= movedLeast {
			movers = append(movers, q)
		}
	}
	e := v.evidence[evidence]
	figures := strings.TrimSuffix(strings.Join(figuresOf(e, movers...), "; "), ".")
	return fmt.Sprintf("%s: %s; that takes %s from %s to %s.", evidenceTitle(e), figures, c.Title, Percent(before), Percent(c.Chance))
}

// answersOf are the questions of the model that the evidence still answers.
func (v *view) answersOf(evidence int) []string {
	var list []string
	if v.compiled == nil {
		return nil
	}
	for _, q := range v.compiled.Questions {
		if by, told := v.measured[q.ID]; told && by == evidence {
			list = append(list, q.ID)
		}
	}
	return list
}

// without are the chances of the causes had the questions not been answered;
// ok is false where there is nothing to compare.
func (v *view) without(questions ...string) (chances map[string]float64, ok bool) {
	if len(questions) == 0 || v.compiled == nil || v.belief.None {
		return nil, false
	}
	drop := map[string]bool{}
	for _, q := range questions {
		drop[q] = true
	}
	s := v.state.Clone()
	for i, q := range v.compiled.Questions {
		if drop[q.ID] {
			s.Answers[i] = diagnose.Open
		}
	}
	b := v.compiled.Model.Believe(s)
	if b.None {
		return nil, false
	}
	chances = map[string]float64{}
	for _, c := range v.groups(b) {
		chances[c.ID] = c.Chance
	}
	return chances, true
}

// causesWhy are the chances now; the likeliest says which evidence speaks for
// it most.
func (v *view) causesWhy() []Chance {
	list := v.causes()
	if len(list) == 0 {
		return list
	}
	best := movedLeast
	for i := range v.evidence {
		if before, ok := v.without(v.answersOf(i)...); ok && list[0].Chance-before[list[0].ID] >= best {
			best = list[0].Chance - before[list[0].ID]
			list[0].Why = v.movedLine(i, list[0], before[list[0].ID])
		}
	}
	return list
}
