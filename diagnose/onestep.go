package diagnose

import "math"

// Greedy is the policy that looks one question ahead: it asks the question
// after which chance over cost alone is expected to cost least, its own
// minutes included, if that is less than chance over cost alone now; else it
// takes the next step of chance over cost (a one-step value of information).
// Like every way of working it puts the questions that rules demand. Steps are kept; it is not safe for several goroutines.
func (m *Model) Greedy() Policy {
	g := newGreedy(m)
	kept := map[string]Action{}
	return PolicyFunc(func(s State) (Action, error) {
		key := s.key()
		if a, ok := kept[key]; ok {
			return a, nil
		}
		a, err := g.next(s)
		kept[key] = a
		return a, err
	})
}

// greedy is a model with its sparse tables.
type greedy struct {
	m     *Model
	cures [][]int     // per repair: the causes that it can cure
	by    [][]int     // per cause: the repairs that can cure it
	miss  [][]missing // per final: what leaving its extras costs
}

type missing struct {
	extra, cause int
	cost         float64
}

func newGreedy(m *Model) *greedy {
	g := &greedy{m: m, cures: make([][]int, len(m.Repairs)), by: make([][]int, len(m.Causes)), miss: make([][]missing, len(m.Finals))}
	for r := range m.Repairs {
		for c, p := range m.Repairs[r].Fixes {
			if p > 0 {
				g.cures[r] = append(g.cures[r], c)
				g.by[c] = append(g.by[c], r)
			}
		}
	}
	for f := range m.Finals {
		for x := range m.Finals[f].Extras {
			for c, cost := range m.Finals[f].Extras[x].Miss {
				if cost > 0 {
					g.miss[f] = append(g.miss[f], missing{x, c, cost})
				}
			}
		}
	}
	return g
}

func (g *greedy) next(s State) (Action, error) {
	m, b := g.m, g.m.Believe(s)
	if b.Stop >= 0 {
		return m.cheapestFinal(b)
	}
	for _, q := range b.Ask {
		if !m.Questions[q].Silent {
			return Action{Kind: Ask, Index: q}, nil
		}
	}
	best, first := g.chanceCost(s, b.P)
	if math.IsInf(best, 1) {
		return m.cheapestFinal(b)
	}
	for q := range m.Questions {
		if s.Answers[q] != Open || m.Questions[q].Silent || !s.Holds(m.Questions[q].When) {
			continue
		}
		if v := g.askCost(s, b, q); v < best-1e-9 {
			best, first = v, Action{Kind: Ask, Index: q}
		}
	}
	return first, nil
}

// askCost is the minutes of asking q and then working by chance over cost.
func (g *greedy) askCost(s State, b Belief, q int) float64 {
	m := g.m
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
		v, _ := g.chanceCost(at, after.P)
		cost += p * v
	}
	return cost
}

// chanceCost values working by chance over cost from s with the best cut, and
// gives its first step. Walks count for the order as they stand when the
// order is made.
func (g *greedy) chanceCost(s State, p []float64) (float64, Action) {
	m := g.m
	w := append([]float64(nil), p...)
	at := State{Place: s.Place}
	cure := make([]float64, len(m.Repairs)) // chance that it works, -1 once tried
	for r := range cure {
		if s.Trials[r] != Untried {
			cure[r] = -1
			continue
		}
		for _, c := range g.cures[r] {
			cure[r] += w[c] * m.Repairs[r].Fixes[c]
		}
	}
	best, first := math.Inf(1), Action{}
	begin := Action{Kind: Nothing}
	spent, alive := 0.0, 1.0
	for {
		if f, v := g.cheapest(w, alive); f >= 0 && spent+v < best-1e-12 {
			best, first = spent+v, begin
			if begin.Kind == Nothing {
				first = Action{Kind: End, Index: f, Extras: m.extras(f, p)}
			}
		}
		r := g.likeliest(at, cure)
		if r < 0 || alive < 1e-12 {
			return best, first
		}
		if begin.Kind == Nothing {
			begin = Action{Kind: Try, Index: r}
		}
		spent += alive * (m.move(&at, m.Repairs[r].Place) + m.Repairs[r].Cost)
		cure[r] = -1
		for _, c := range g.cures[r] {
			gone := w[c] * m.Repairs[r].Fixes[c]
			alive -= gone
			w[c] -= gone
			for _, o := range g.by[c] {
				if cure[o] > 0 {
					cure[o] -= gone * m.Repairs[o].Fixes[c]
				}
			}
		}
	}
}

// likeliest is the untried repair with the most chance a minute.
func (g *greedy) likeliest(at State, cure []float64) int {
	best, ratio := -1, 0.0
	for r, chance := range cure {
		if chance <= 0 {
			continue
		}
		to := at
		minutes := g.m.move(&to, g.m.Repairs[r].Place) + g.m.Repairs[r].Cost
		if x := chance / max(minutes, 1e-9); x > ratio*(1+1e-12) {
			best, ratio = r, x
		}
	}
	return best
}

// cheapest is the final that is cheapest under weights that sum to total, and
// its cost; -1 where there is none.
func (g *greedy) cheapest(w []float64, total float64) (int, float64) {
	best, least := -1, math.Inf(1)
	for f := range g.m.Finals {
		v := dot(w, g.m.Finals[f].Cost)
		list := g.miss[f]
		for i := 0; i < len(list); {
			x, leave := list[i].extra, 0.0
			for ; i < len(list) && list[i].extra == x; i++ {
				leave += w[list[i].cause] * list[i].cost
			}
			v += math.Min(g.m.Finals[f].Extras[x].Take*total, leave)
		}
		if v < least-1e-12 {
			best, least = f, v
		}
	}
	return best, least
}
