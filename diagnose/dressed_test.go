package diagnose

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// Models with walks, conditions, rules, extras and cost tables, against an
// oracle that knows them too.
func TestDressedAgainstExact(t *testing.T) {
	for n := range uint64(150) {
		m := dressedModel(4, n, 4)
		if err := m.Check(); err != nil {
			t.Fatal(err)
		}
		best := dressedOptimum(t, m)
		room := 1e-9 * (1 + math.Abs(best))
		if p := mustPlan(t, m, 0); math.Abs(p.Expected-best) > room || !p.Exact {
			t.Errorf("model %d: cost %v, exact %v, want %v", n, p.Expected, p.Exact, best)
		}
		for _, budget := range []int{1, 10, 50} {
			p := mustPlan(t, m, budget)
			if p.Expected < best-room || p.Lower > best+room {
				t.Errorf("model %d, budget %d: optimum %v is not within [%v, %v]", n, budget, best, p.Lower, p.Expected)
			}
		}
	}
}

// The figure that a plan reports is the exact cost of the policy that it
// would follow, as worked out by code that shares nothing with the search.
func TestExpectedIsThePolicysCost(t *testing.T) {
	for n := range uint64(100) {
		for _, m := range []*Model{randomModel(3, n, Repair), randomModel(3, n, Identify), dressedModel(3, n, 6)} {
			for _, budget := range []int{1, 5, 40, 0} {
				policy, plan, err := m.Policy(m.NewState(), Options{Budget: budget})
				if err != nil {
					t.Fatal(err)
				}
				cost, err := EvaluatePolicy(m, m.NewState(), policy)
				if err != nil {
					t.Fatalf("model %d, budget %d: %v", n, budget, err)
				}
				near(t, fmt.Sprintf("model %d, goal %d, budget %d", n, m.Goal, budget), plan.Expected, cost)
			}
		}
	}
}

// dressedModel is a random model with at most the given number of questions
// and of repairs, and with what only models of the book have: places and
// walks, questions that others open, rules, finals by cause with extras. The
// first cause is never excluded, so that no rule can leave none.
func dressedModel(seed, n uint64, most int) *Model {
	m := randomModel(seed, n, Repair)
	m.Questions = m.Questions[:min(most, len(m.Questions))]
	m.Repairs = m.Repairs[:min(most, len(m.Repairs))]
	g := &maker{rand.New(rand.NewPCG(seed+99, n))}
	m.Causes[0].Prior = max(m.Causes[0].Prior, 0.5)
	for q := range m.Questions { // no answer may be impossible for the first cause
		row := append([]float64(nil), m.Questions[q].Given[0]...)
		for a := range row {
			row[a] = (row[a] + 0.1) / (1 + 0.1*float64(len(row)))
		}
		m.Questions[q].Given[0] = row
	}
	for r := range m.Repairs { // and none surely cures it
		m.Repairs[r].Fixes[0] = min(m.Repairs[r].Fixes[0], 0.9)
	}
	if g.chance(0.7) {
		m.Walk = [][]float64{{0, 1, 4}, {1, 0, 4}, {4, 4, 0}}
		m.Start = g.IntN(4) - 1
		for q := range m.Questions {
			m.Questions[q].Place = g.IntN(4) - 1
		}
		for r := range m.Repairs {
			m.Repairs[r].Place = g.IntN(4) - 1
		}
	}
	g.conditions(m)
	g.finals(m)
	g.rules(m)
	return m
}

func (g *maker) condition(m *Model, q int) Condition {
	return Condition{Question: q, Answers: []int{g.IntN(len(m.Questions[q].Answers))}}
}

func (g *maker) conditions(m *Model) {
	for q := 1; q < len(m.Questions); q++ {
		if g.chance(0.3) {
			m.Questions[q].When = []Condition{g.condition(m, g.IntN(q))}
		}
	}
	m.Questions[0].Silent = g.chance(0.15)
}

func (g *maker) finals(m *Model) {
	for f := range 2 {
		end := Final{ID: fmt.Sprintf("handover%d", f), Cost: make([]float64, len(m.Causes))}
		for c := range end.Cost {
			end.Cost[c] = g.half(10, 90)
			if g.chance(0.1) {
				end.Cost[c] = -end.Cost[c]
			}
		}
		for x := range g.IntN(3) {
			e := Extra{ID: fmt.Sprintf("part%d", x), Take: g.half(1, 5), Miss: make([]float64, len(m.Causes))}
			for c := range e.Miss {
				if g.chance(0.4) {
					e.Miss[c] = g.half(5, 60)
				}
			}
			end.Extras = append(end.Extras, e)
		}
		m.Finals = append(m.Finals, end)
	}
}

func (g *maker) rules(m *Model) {
	for i := range g.IntN(4) {
		q := g.IntN(len(m.Questions))
		r := Rule{ID: fmt.Sprintf("rule%d", i), When: []Condition{g.condition(m, q)}, Stop: -1}
		if g.chance(0.3) {
			r.When = append(r.When, g.condition(m, (q+1)%len(m.Questions)))
		}
		switch g.IntN(4) {
		case 0:
			r.Exclude = []int{1 + g.IntN(len(m.Causes)-1), 1 + g.IntN(len(m.Causes)-1)}
		case 1:
			r.Only = []int{0, g.IntN(len(m.Causes)), g.IntN(len(m.Causes))}
		case 2:
			r.Ask = []int{g.IntN(len(m.Questions))}
		case 3:
			r.Stop = g.IntN(len(m.Finals))
		}
		m.Rules = append(m.Rules, r)
	}
}

// dressedOptimum is the optimum by plain recursion over states, with belief,
// rules and walks as Believe and the model define them.
func dressedOptimum(t testing.TB, m *Model) float64 { return dressedOptimumFrom(t, m, m.NewState()) }

func dressedOptimumFrom(t testing.TB, m *Model, s State) float64 {
	memo := map[string]float64{}
	var value func(s State) float64
	value = func(s State) float64 {
		k := fmt.Sprint(stateKey(s), s.Place)
		if v, ok := memo[k]; ok {
			return v
		}
		b := m.Believe(s)
		if b.None {
			t.Fatal("a rule left no cause")
		}
		v := m.dressedValue(s, b, value)
		memo[k] = v
		return v
	}
	return value(s)
}

func (m *Model) dressedValue(s State, b Belief, value func(State) float64) float64 {
	if b.Stop >= 0 {
		return m.finalCost(b.Stop, b.P)
	}
	for _, q := range b.Ask {
		if !m.Questions[q].Silent {
			return m.dressedAsk(s, b, q, value)
		}
	}
	best := math.Inf(1)
	for r := range m.Repairs {
		if s.Trials[r] != Untried {
			continue
		}
		next := s.Clone()
		next.Trials[r], next.Place = Failed, moved(s.Place, m.Repairs[r].Place)
		v := m.Repairs[r].Cost + m.walk(s.Place, m.Repairs[r].Place)
		if fails := 1 - dot(b.P, m.Repairs[r].Fixes); fails > 1e-15 {
			v += fails * value(next)
		}
		best = math.Min(best, v)
	}
	for q := range m.Questions {
		if s.Answers[q] == Open && !m.Questions[q].Silent && s.Holds(m.Questions[q].When) {
			best = math.Min(best, m.dressedAsk(s, b, q, value))
		}
	}
	for f := range m.Finals {
		best = math.Min(best, m.finalCost(f, b.P))
	}
	return best
}

func (m *Model) dressedAsk(s State, b Belief, q int, value func(State) float64) float64 {
	v := m.Questions[q].Cost + m.walk(s.Place, m.Questions[q].Place)
	for a := range m.Questions[q].Answers {
		p := 0.0
		for c, x := range b.P {
			p += x * m.Questions[q].Given[c][a]
		}
		if p > 0 {
			next := s.Clone()
			next.Answers[q], next.Place = int16(a), moved(s.Place, m.Questions[q].Place)
			v += p * value(next)
		}
	}
	return v
}
