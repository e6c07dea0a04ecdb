package diagnose

import (
	"math"
	"slices"
	"sort"
	"testing"
)

// Properties that need no example; each follows from the definition of the
// optimum. They are tried on random models that are planned exactly.

func exactly(t *testing.T, m *Model) Plan {
	t.Helper()
	p := mustPlan(t, m, 100000)
	if !p.Exact {
		t.Fatal("a small model was not planned exactly")
	}
	return p
}

func eachRandom(t *testing.T, goal Goal, visit func(t *testing.T, m *Model, cost float64)) {
	t.Helper()
	for n := range uint64(60) {
		m := randomModel(5, n, goal)
		m.Questions = m.Questions[:min(4, len(m.Questions))]
		m.Repairs = m.Repairs[:min(4, len(m.Repairs))]
		visit(t, m, exactly(t, m).Expected)
		if t.Failed() {
			t.Fatalf("model %d of seed 5, goal %d", n, goal)
		}
	}
}

// One more step to choose from never makes the optimum dearer, a dearer step
// never cheaper: the old policy is still there.
func TestMoreStepsNeverCostMore(t *testing.T) {
	eachRandom(t, Repair, func(t *testing.T, m *Model, cost float64) {
		fewer := *m
		fewer.Questions = m.Questions[:len(m.Questions)-1]
		if v := exactly(t, &fewer).Expected; v < cost-1e-9 {
			t.Errorf("with a question less %v, with it %v", v, cost)
		}
		fewer = *m
		fewer.Repairs = m.Repairs[:len(m.Repairs)-1]
		if v := exactly(t, &fewer).Expected; v < cost-1e-9 {
			t.Errorf("with a repair less %v, with it %v", v, cost)
		}
		dearer := *m
		dearer.Questions = slices.Clone(m.Questions)
		dearer.Questions[0].Cost += 2
		if v := exactly(t, &dearer).Expected; v < cost-1e-9 {
			t.Errorf("with a dearer question %v, before %v", v, cost)
		}
	})
}

// All priors times k: same step, same cost. All costs times k: same step,
// cost times k.
func TestScaling(t *testing.T) {
	eachRandom(t, Repair, func(t *testing.T, m *Model, cost float64) {
		first := exactly(t, m).First
		heavy := *m
		heavy.Causes = slices.Clone(m.Causes)
		for c := range heavy.Causes {
			heavy.Causes[c].Prior *= 1024
		}
		p := exactly(t, &heavy)
		near(t, "with heavy priors", p.Expected, cost)
		if p.First.Kind != first.Kind || p.First.Index != first.Index {
			t.Errorf("with heavy priors %v, before %v", p.First, first)
		}
		dear := *m
		dear.Questions, dear.Repairs = slices.Clone(m.Questions), slices.Clone(m.Repairs)
		for q := range dear.Questions {
			dear.Questions[q].Cost *= 4
		}
		for r := range dear.Repairs {
			dear.Repairs[r].Cost *= 4
		}
		dear.Finals = slices.Clone(m.Finals)
		for f := range dear.Finals {
			dear.Finals[f].Cost = slices.Clone(m.Finals[f].Cost)
			for c := range dear.Finals[f].Cost {
				dear.Finals[f].Cost[c] *= 4
			}
		}
		p = exactly(t, &dear)
		near(t, "with dear steps", p.Expected, 4*cost)
		if p.First.Kind != first.Kind || p.First.Index != first.Index {
			t.Errorf("with dear steps %v, before %v", p.First, first)
		}
	})
}

// The order of causes, questions and answers changes nothing but ties.
func TestOrderOfTheModel(t *testing.T) {
	eachRandom(t, Repair, func(t *testing.T, m *Model, cost float64) {
		turned := &Model{Start: -1, Causes: slices.Clone(m.Causes), Finals: slices.Clone(m.Finals)}
		slices.Reverse(turned.Causes)
		for _, q := range m.Questions {
			q.Given = slices.Clone(q.Given)
			slices.Reverse(q.Given)
			q.Answers = slices.Clone(q.Answers)
			slices.Reverse(q.Answers)
			for c := range q.Given {
				q.Given[c] = slices.Clone(q.Given[c])
				slices.Reverse(q.Given[c])
			}
			turned.Questions = append(turned.Questions, q)
		}
		slices.Reverse(turned.Questions)
		for _, r := range m.Repairs {
			r.Fixes = slices.Clone(r.Fixes)
			slices.Reverse(r.Fixes)
			turned.Repairs = append(turned.Repairs, r)
		}
		for f := range turned.Finals {
			turned.Finals[f].Cost = slices.Clone(turned.Finals[f].Cost)
			slices.Reverse(turned.Finals[f].Cost)
		}
		near(t, "turned round", exactly(t, turned).Expected, cost)
	})
}

// Goal repair: a cause parted into two with the same rows changes nothing.
func TestPartedCause(t *testing.T) {
	eachRandom(t, Repair, func(t *testing.T, m *Model, cost float64) {
		parted := *m
		parted.Causes = append(slices.Clone(m.Causes), Cause{ID: "part", Prior: m.Causes[0].Prior / 3})
		parted.Causes[0].Prior *= 2. / 3
		parted.Questions, parted.Repairs, parted.Finals = slices.Clone(m.Questions), slices.Clone(m.Repairs), slices.Clone(m.Finals)
		for q := range parted.Questions {
			parted.Questions[q].Given = append(slices.Clone(m.Questions[q].Given), m.Questions[q].Given[0])
		}
		for r := range parted.Repairs {
			parted.Repairs[r].Fixes = append(slices.Clone(m.Repairs[r].Fixes), m.Repairs[r].Fixes[0])
		}
		for f := range parted.Finals {
			parted.Finals[f].Cost = append(slices.Clone(m.Finals[f].Cost), m.Finals[f].Cost[0])
		}
		near(t, "with a cause parted", exactly(t, &parted).Expected, cost)
	})
}

// A question whose rows are all equal tells nothing and is never asked.
func TestUselessQuestionIsNeverAsked(t *testing.T) {
	eachRandom(t, Repair, func(t *testing.T, m *Model, cost float64) {
		with := *m
		useless := Question{ID: "useless", Cost: 0.5, Answers: []string{"yes", "no"}, Place: -1}
		for range m.Causes {
			useless.Given = append(useless.Given, []float64{0.4, 0.6})
		}
		with.Questions = append(slices.Clone(m.Questions), useless)
		policy, plan, err := with.Policy(with.NewState(), Options{Budget: 100000})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "with a useless question", plan.Expected, cost)
		asked := false
		watch := PolicyFunc(func(s State) (Action, error) {
			a, err := policy.Next(s)
			asked = asked || a.Kind == Ask && a.Index == len(m.Questions)
			return a, err
		})
		if _, err := EvaluatePolicy(&with, with.NewState(), watch); err != nil || asked {
			t.Errorf("asked %v, %v", asked, err)
		}
	})
}

// Knowing the cause beforehand can only help.
func TestPerfectInformationBound(t *testing.T) {
	eachRandom(t, Repair, func(t *testing.T, m *Model, cost float64) {
		sum, known := 0.0, 0.0
		for _, c := range m.Causes {
			sum += c.Prior
		}
		for c := range m.Causes {
			if m.Causes[c].Prior == 0 {
				continue
			}
			alone := *m
			alone.Causes = slices.Clone(m.Causes)
			for d := range alone.Causes {
				if d != c {
					alone.Causes[d].Prior = 0
				}
			}
			known += m.Causes[c].Prior / sum * exactly(t, &alone).Expected
		}
		if known > cost+1e-9 {
			t.Errorf("with the cause known %v, without %v", known, cost)
		}
	})
}

// Single fault, sure and separate repairs, no questions, one final: chance
// over cost with the best cut is optimal (Simon and Kadane 1975; Kadane and
// Simon 1977; for the cut Lín, about 2015).
func TestChanceOverCostIsOptimalWithoutQuestions(t *testing.T) {
	for n := range uint64(60) {
		m := randomModel(6, n, Repair)
		m.Questions = nil
		for i := range m.Repairs {
			clear(m.Repairs[i].Fixes)
			m.Repairs[i].Fixes[i] = 1
		}
		p, sum := make([]float64, len(m.Causes)), 0.0
		for c := range p {
			p[c] = m.Causes[c].Prior
			sum += p[c]
		}
		order := make([]int, len(m.Repairs))
		for i := range order {
			order[i] = i
		}
		sort.SliceStable(order, func(i, j int) bool {
			a, b := order[i], order[j]
			return p[a]*m.Repairs[b].Cost > p[b]*m.Repairs[a].Cost
		})
		best, spent, left := m.Finals[0].Cost[0], 0.0, 1.0
		for _, r := range order {
			spent += left * m.Repairs[r].Cost
			left -= p[r] / sum
			best = math.Min(best, spent+left*m.Finals[0].Cost[0])
		}
		near(t, "chance over cost", exactly(t, m).Expected, best)
	}
}

// Unit costs, yes/no answers, goal identify: at least the length of Huffman's
// code for the priors, which is at least their entropy (Huffman 1952; both are
// bounds of Pattipati and Alexandridis 1990).
func TestHuffmanAndEntropyBounds(t *testing.T) {
	tried := 0
	for n := range uint64(200) {
		m := randomModel(7, n, Identify)
		m.Finals = nil
		for q := range m.Questions {
			m.Questions[q].Cost = 1
			if len(m.Questions[q].Answers) > 2 {
				m.Questions[q] = joinAnswers(m.Questions[q])
			}
		}
		p, err := m.Plan(m.NewState(), Options{Budget: 100000})
		if err != nil {
			continue // the questions do not tell all causes apart
		}
		tried++
		w, entropy, sum := make([]float64, len(m.Causes)), 0.0, 0.0
		for _, c := range m.Causes {
			sum += c.Prior
		}
		for c := range w {
			w[c] = m.Causes[c].Prior / sum
			if w[c] > 0 {
				entropy -= w[c] * math.Log2(w[c])
			}
		}
		length := codeLength(w, 2)
		if p.Expected < length-1e-9 || length < entropy-1e-9 {
			t.Errorf("model %d: cost %v, code %v, entropy %v", n, p.Expected, length, entropy)
		}
	}
	if tried < 10 {
		t.Errorf("only %d models could be told apart", tried)
	}
}

// joinAnswers makes the last answers of q one.
func joinAnswers(q Question) Question {
	given := make([][]float64, len(q.Given))
	for c, row := range q.Given {
		given[c] = []float64{row[0], 1 - row[0]}
	}
	q.Answers, q.Given = []string{"first", "other"}, given
	return q
}

// Looking one question ahead and then chance over cost is never worse than
// chance over cost alone (the roll-out argument), and the planner is better
// than both on average.
func TestAgainstGreedyAndChance(t *testing.T) {
	greedy, chance, planner, n := 0.0, 0.0, 0.0, 0
	for i := range uint64(80) {
		m := randomModel(8, i, Repair)
		best := exactly(t, m).Expected
		if best == 0 {
			continue
		}
		cost := func(p Policy) float64 {
			v, err := EvaluatePolicy(m, m.NewState(), p)
			if err != nil {
				t.Fatal(err)
			}
			return v / best
		}
		g, c, p := cost(m.Greedy()), cost(m.ByChance()), cost(m.Planned(Options{Budget: 30}))
		if g > c+1e-9 || p > c+1e-9 {
			t.Errorf("model %d: greedy %v, planner %v, chance over cost %v", i, g, p, c)
		}
		greedy, chance, planner, n = greedy+g, chance+c, planner+p, n+1
	}
	k := float64(n)
	t.Logf("over the optimum: planner with 30 states %.3f %%, greedy %.3f %%, chance over cost %.3f %%",
		100*(planner/k-1), 100*(greedy/k-1), 100*(chance/k-1))
	if planner > greedy-0.002*k {
		t.Errorf("planner %.5f, greedy %.5f: not clearly better", planner/k, greedy/k)
	}
}
