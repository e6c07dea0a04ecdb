package diagnose

import (
	"fmt"
	"math"
)

// Plain ways of working that plans are measured against. None of them is used
// by the planner.

// InOrder is the policy of somebody who asks nothing: the repairs in the
// given order, then the final that is cheapest under the belief.
func (m *Model) InOrder(repairs []int) Policy {
	return PolicyFunc(func(s State) (Action, error) {
		for _, r := range repairs {
			if s.Trials[r] == Untried {
				return Action{Kind: Try, Index: r}, nil
			}
		}
		return m.cheapestFinal(m.Believe(s))
	})
}

// ByChance is the policy of chance over cost alone: no questions, always the
// repair with the most chance of working a minute, until the cheapest final
// costs less than going on with the best of them.
func (m *Model) ByChance() Policy {
	return PolicyFunc(func(s State) (Action, error) {
		b := m.Believe(s)
		end, err := m.cheapestFinal(b)
		if err != nil {
			return end, err
		}
		best, ratio := -1, 0.0
		for r := range m.Repairs {
			if s.Trials[r] != Untried {
				continue
			}
			at := s
			minutes := m.Repairs[r].Cost + m.move(&at, m.Repairs[r].Place)
			if x := dot(b.P, m.Repairs[r].Fixes) / max(minutes, 1e-9); x > ratio*(1+1e-12) {
				best, ratio = r, x
			}
		}
		// One more repair pays if its chance times the final's cost exceeds
		// its minutes (Kadane and Simon 1977).
		if best < 0 || ratio*m.finalCost(end.Index, b.P) <= 1 {
			return end, nil
		}
		return Action{Kind: Try, Index: best}, nil
	})
}

func (m *Model) cheapestFinal(b Belief) (Action, error) {
	if b.Stop >= 0 {
		return Action{Kind: End, Index: b.Stop, Extras: m.extras(b.Stop, b.P)}, nil
	}
	best := -1
	for f := range m.Finals {
		if best < 0 || m.finalCost(f, b.P) < m.finalCost(best, b.P)-1e-12 {
			best = f
		}
	}
	if best < 0 {
		return Action{}, fmt.Errorf("the model has no final action")
	}
	return Action{Kind: End, Index: best, Extras: m.extras(best, b.P)}, nil
}

// Greedy is the policy that looks one question ahead: it asks the question
// after which chance over cost alone is expected to cost least, its own
// minutes included, if that is less than chance over cost alone now; else it
// takes the next step of chance over cost (a one-step value of information).
func (m *Model) Greedy() Policy {
	fixes := m.sparseFixes()
	kept := map[string]Action{}
	next := func(s State) (Action, error) {
		b := m.Believe(s)
		if b.Stop >= 0 {
			return m.cheapestFinal(b)
		}
		best, first := m.chanceCost(s, b.P, fixes)
		if math.IsInf(best, 1) {
			return m.cheapestFinal(b)
		}
		for q := range m.Questions {
			if s.Answers[q] != Open || m.Questions[q].Silent || !s.Holds(m.Questions[q].When) {
				continue
			}
			if v := m.askCost(s, b, q, fixes); v < best-1e-9 {
				best, first = v, Action{Kind: Ask, Index: q}
			}
		}
		return first, nil
	}
	return PolicyFunc(func(s State) (Action, error) {
		key := s.key()
		if a, ok := kept[key]; ok {
			return a, nil
		}
		a, err := next(s)
		kept[key] = a
		return a, err
	})
}

// askCost is the minutes of asking q and then working by chance over cost.
func (m *Model) askCost(s State, b Belief, q int, fixes [][]int) float64 {
	at := s.Clone()
	cost := m.move(&at, m.Questions[q].Place) + m.Questions[q].Cost
	for a := range m.Questions[q].Answers {
		p := 0.0
		for c := range b.P {
			p += b.P[c] * m.Questions[q].Given[c][a]
		}
		if p == 0 {
			continue
		}
		at.Answers[q] = int16(a)
		after := m.Believe(at)
		if after.None {
			continue
		}
		if after.Stop >= 0 {
			cost += p * m.finalCost(after.Stop, after.P)
			continue
		}
		v, _ := m.chanceCost(at, after.P, fixes)
		cost += p * v
	}
	return cost
}

// sparseFixes lists, for each repair, the causes that it can cure.
func (m *Model) sparseFixes() [][]int {
	list := make([][]int, len(m.Repairs))
	for r := range m.Repairs {
		for c, p := range m.Repairs[r].Fixes {
			if p > 0 {
				list[r] = append(list[r], c)
			}
		}
	}
	return list
}

// chanceCost values working by chance over cost from s with the best cut, and
// gives its first step. Walks count for the order as they stand when the
// order is made.
func (m *Model) chanceCost(s State, p []float64, fixes [][]int) (float64, Action) {
	w := append([]float64(nil), p...)
	at := State{Place: s.Place}
	used := make([]bool, len(m.Repairs))
	best, first := math.Inf(1), Action{}
	begin := Action{Kind: Nothing}
	spent, alive := 0.0, 1.0
	for {
		if f := m.cheapestWeighted(w); f >= 0 {
			if v := spent + m.weightedFinal(f, w); v < best-1e-12 {
				best, first = v, begin
				if begin.Kind == Nothing {
					first = Action{Kind: End, Index: f, Extras: m.extrasWeighted(f, w)}
				}
			}
		}
		r := m.likeliestRepair(s, &at, used, w, fixes)
		if r < 0 || alive < 1e-12 {
			return best, first
		}
		if begin.Kind == Nothing {
			begin = Action{Kind: Try, Index: r}
		}
		used[r] = true
		spent += alive * (m.move(&at, m.Repairs[r].Place) + m.Repairs[r].Cost)
		for _, c := range fixes[r] {
			alive -= w[c] * m.Repairs[r].Fixes[c]
			w[c] *= 1 - m.Repairs[r].Fixes[c]
		}
	}
}

// likeliestRepair is the untried repair with the most chance a minute.
func (m *Model) likeliestRepair(s State, at *State, used []bool, w []float64, fixes [][]int) int {
	best, ratio := -1, 0.0
	for r := range m.Repairs {
		if used[r] || s.Trials[r] != Untried {
			continue
		}
		chance := 0.0
		for _, c := range fixes[r] {
			chance += w[c] * m.Repairs[r].Fixes[c]
		}
		to := *at
		minutes := m.move(&to, m.Repairs[r].Place) + m.Repairs[r].Cost
		if x := chance / max(minutes, 1e-9); x > ratio*(1+1e-12) {
			best, ratio = r, x
		}
	}
	return best
}

// cheapestWeighted is the final that is cheapest under weights that need not
// sum to one, -1 where there is none.
func (m *Model) cheapestWeighted(w []float64) int {
	best, least := -1, math.Inf(1)
	for f := range m.Finals {
		if v := m.weightedFinal(f, w); v < least-1e-12 {
			best, least = f, v
		}
	}
	return best
}

func (m *Model) weightedFinal(f int, w []float64) float64 {
	total := 0.0
	for _, x := range w {
		total += x
	}
	sum := dot(w, m.Finals[f].Cost)
	for _, x := range m.Finals[f].Extras {
		sum += math.Min(x.Take*total, dot(w, x.Miss))
	}
	return sum
}

func (m *Model) extrasWeighted(f int, w []float64) []int {
	total := 0.0
	for _, x := range w {
		total += x
	}
	if total == 0 {
		return nil
	}
	p := make([]float64, len(w))
	for c := range w {
		p[c] = w[c] / total
	}
	return m.extras(f, p)
}
