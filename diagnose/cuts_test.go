package diagnose

import (
	"math"
	"math/rand/v2"
	"testing"
)

// cut keeps some causes, questions and repairs of a model of the book, so that
// its optimum can be worked out by the oracle. Rules and conditions go.
func cut(m *Model, causes, questions, repairs int, r *rand.Rand) *Model {
	keep := r.Perm(len(m.Causes))[:causes]
	pick := func(list []float64) []float64 {
		var out []float64
		for _, c := range keep {
			out = append(out, list[c])
		}
		return out
	}
	out := &Model{Start: m.Start, Walk: m.Walk}
	for _, c := range keep {
		out.Causes = append(out.Causes, m.Causes[c])
	}
	for _, i := range r.Perm(len(m.Questions)) {
		q := m.Questions[i]
		given := q.Given
		q.Given, q.When = nil, nil
		for _, c := range keep {
			q.Given = append(q.Given, given[c])
		}
		differs := false
		for _, row := range q.Given {
			differs = differs || !sameRow(row, q.Given[0])
		}
		if differs && !q.Silent && len(out.Questions) < questions {
			out.Questions = append(out.Questions, q)
		}
	}
	for _, i := range r.Perm(len(m.Repairs)) {
		a := m.Repairs[i]
		a.Fixes = pick(a.Fixes)
		most := 0.0
		for _, v := range a.Fixes {
			most = math.Max(most, v)
		}
		if most > 0 && len(out.Repairs) < repairs {
			out.Repairs = append(out.Repairs, a)
		}
	}
	for _, f := range m.Finals {
		extras := f.Extras
		f.Cost, f.Extras = pick(f.Cost), nil
		for _, x := range extras {
			x.Miss = pick(x.Miss)
			f.Extras = append(f.Extras, x)
		}
		out.Finals = append(out.Finals, f)
	}
	return out
}

// What a call does is held against the optimum on parts of the book's models,
// small enough to be solved exactly: planned anew at every step with the few
// states that there is time for. The margin is wider than on the random models,
// because the rows of the book are noisy and its handovers part in many ways;
// looking one question ahead alone does about four times worse.
func TestCutsOfTheBook(t *testing.T) {
	sum, greedy, worst, n := 0.0, 0.0, 1.0, 0
	for name, m := range frozenModels(t) {
		r := rand.New(rand.NewPCG(2, hashOf(name)))
		for range 6 {
			small := cut(m, 6, 5, 4, r)
			best := dressedOptimum(t, small)
			cost := func(p Policy) float64 {
				v, err := EvaluatePolicy(small, small.NewState(), p)
				if err != nil {
					t.Fatal(err)
				}
				return v / best
			}
			x := cost(small.Planned(Options{Budget: 40}))
			if x < 1-1e-9 {
				t.Errorf("%s: %v of the optimum", name, x)
			}
			sum, greedy, worst, n = sum+x, greedy+cost(small.Greedy()), math.Max(worst, x), n+1
		}
	}
	k := float64(n)
	t.Logf("%d models: %.4f of the optimum, worst %.4f; greedy %.4f", n, sum/k, worst, greedy/k)
	if sum/k > 1.005 || worst > 1.04 || 2*(sum/k-1) > greedy/k-1 {
		t.Errorf("%d models: %.4f of the optimum on average, worst %.4f; greedy %.4f", n, sum/k, worst, greedy/k)
	}
}
