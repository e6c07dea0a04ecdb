package diagnose

import "math"

// relaxed is a model without what a bound by clusters cannot follow: its
// conditions, its rules and its walks are left out, which lets more be done for
// less, and so lowers the cost. Rules that exclude causes need more care,
// because they take weight from a cause and give it to the others. The weight
// of a cause that no such rule will ever take is at least what is left after
// leaving out, at each question, the answers that could let a rule take it;
// with its rows taken from the other answers alone it goes its way by chance as
// if there were no rules. What that leaves aside must end by a repair or a
// final as well and costs at least the cheapest of them.
type relaxed struct {
	m       *Model
	state   State
	live    []int       // causes with weight
	asks    []int       // questions that may be put
	tries   []int       // repairs that may cure
	kept    [][]float64 // [question][cause]: chance of the answers not left out, nil for one
	lost    [][][]bool  // [question][cause][answer]: left out; nil for none
	watched []watched
	floor   float64
}

func (m *Model) relax(s State, b Belief) *relaxed {
	r := &relaxed{m: m, state: s, asks: m.openAsks(s, b), tries: m.openTries(s, b)}
	for c, p := range b.P {
		if p > 0 {
			r.live = append(r.live, c)
		}
	}
	r.lost = make([][][]bool, len(m.Questions))
	for i := range m.Rules {
		r.leaveOut(&m.Rules[i], s)
	}
	r.keep()
	r.floor = r.least()
	return r
}

// leaveOut notes the answers after which rule i may take weight: those of the
// one condition still open that gives the causes the least of them.
func (r *relaxed) leaveOut(src *Rule, s State) {
	if len(src.When) == 0 || src.Exclude == nil && src.Only == nil {
		return
	}
	var best *Condition
	least := 0.0
	for i := range src.When {
		k := &src.When[i]
		if s.meets(*k) {
			continue
		}
		if !contains(r.asks, k.Question) {
			return // cannot come to hold
		}
		if x := r.share(src, k); best == nil || x < least {
			best, least = k, x
		}
	}
	if best == nil {
		return // holds: it has taken what it takes
	}
	if r.lost[best.Question] == nil {
		r.lost[best.Question] = make([][]bool, len(r.m.Causes))
	}
	for _, c := range r.live {
		if src.takes(c) {
			r.lose(best, c)
		}
	}
	r.watched = append(r.watched, watched{src, best})
}

// watched is a rule that excludes and its condition that leaves answers out.
type watched struct {
	rule *Rule
	key  *Condition
}

// takes reports whether the rule excludes cause c.
func (r *Rule) takes(c int) bool {
	return contains(r.Exclude, c) || r.Only != nil && !contains(r.Only, c)
}

func (r *relaxed) lose(k *Condition, c int) {
	lost := r.lost[k.Question]
	if lost[c] == nil {
		lost[c] = make([]bool, len(r.m.Questions[k.Question].Answers))
	}
	for _, a := range k.Answers {
		lost[c][a] = true
	}
}

// share is the chance of the answers of k, summed over the causes that the
// rule excludes.
func (r *relaxed) share(src *Rule, k *Condition) float64 {
	sum := 0.0
	for _, c := range r.live {
		if src.takes(c) {
			for _, a := range k.Answers {
				sum += r.m.Questions[k.Question].Given[c][a]
			}
		}
	}
	return sum
}

// keep works out the chance of the answers that are not left out.
func (r *relaxed) keep() {
	r.kept = make([][]float64, len(r.m.Questions))
	for q, lost := range r.lost {
		if lost == nil {
			continue
		}
		r.kept[q] = make([]float64, len(r.m.Causes))
		for c := range lost {
			for a, v := range r.m.Questions[q].Given[c] {
				if lost[c] == nil || !lost[c][a] {
					r.kept[q][c] += v
				}
			}
			if lost[c] == nil {
				r.kept[q][c] = 1
			}
		}
	}
}

// row is the chance of each answer to q under cause c, of those that are left.
func (r *relaxed) row(q, c int) []float64 {
	row := r.m.Questions[q].Given[c]
	if r.kept[q] == nil || r.lost[q][c] == nil || r.kept[q][c] <= 0 {
		return row
	}
	out := make([]float64, len(row))
	for a, v := range row {
		if !r.lost[q][c][a] {
			out[a] = v / r.kept[q][c]
		}
	}
	return out
}

// least is what a case costs at least, whatever the cause: a repair or a final.
func (r *relaxed) least() float64 {
	least := math.Inf(1)
	for _, t := range r.tries {
		least = math.Min(least, r.m.Repairs[t].Cost)
	}
	for f := range r.m.Finals {
		for _, c := range r.live {
			least = math.Min(least, r.m.finalAlone(f, c))
		}
	}
	return least
}

// finalAlone is the cost of final f if cause c were known.
func (m *Model) finalAlone(f, c int) float64 {
	sum := m.Finals[f].Cost[c]
	for _, x := range m.Finals[f].Extras {
		sum += math.Min(x.Take, x.Miss[c])
	}
	return sum
}
