package diagnose

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// wideModel has many causes whose weights go down to 1e-300, and two-valued
// questions with rows between 1e-6 and one.
func wideModel(causes, questions int, r *rand.Rand) *Model {
	m := &Model{Start: -1}
	for c := range causes {
		m.Causes = append(m.Causes, Cause{ID: fmt.Sprintf("c%d", c), Prior: math.Pow(10, -300*r.Float64())})
	}
	for q := range questions {
		src := Question{ID: fmt.Sprintf("q%d", q), Cost: 1, Answers: []string{"yes", "no"}, Place: -1}
		for range causes {
			p := math.Pow(10, -6*r.Float64())
			if r.IntN(2) == 0 {
				p = 1 - p
			}
			src.Given = append(src.Given, []float64{p, 1 - p})
		}
		m.Questions = append(m.Questions, src)
	}
	end := Final{ID: "visit", Cost: make([]float64, causes)}
	for c := range end.Cost {
		end.Cost[c] = 60
	}
	m.Finals = []Final{end}
	return m
}

// exactBelief multiplies in 300-bit arithmetic, whose exponent does not run
// out.
func (m *Model) exactBelief(s State) []float64 {
	w, sum := make([]*big.Float, len(m.Causes)), big.NewFloat(0).SetPrec(300)
	for c := range w {
		w[c] = big.NewFloat(m.Causes[c].Prior).SetPrec(300)
		for q, a := range s.Answers {
			if a >= 0 {
				w[c].Mul(w[c], big.NewFloat(m.Questions[q].Given[c][a]))
			}
		}
		sum.Add(sum, w[c])
	}
	p := make([]float64, len(w))
	for c := range p {
		p[c], _ = new(big.Float).Quo(w[c], sum).Float64()
	}
	return p
}

// 400 causes, weights down to 1e-300, 300 answered facts: the belief is that
// of exact arithmetic, so the right cause wins, though the plain product of
// the likelihoods is far below the smallest float.
func TestBeliefOfManyFacts(t *testing.T) {
	for seed := range uint64(5) {
		r := rand.New(rand.NewPCG(seed, 1))
		m := wideModel(400, 300, r)
		s := m.NewState()
		for q := range s.Answers {
			s.Answers[q] = int16(r.IntN(2))
		}
		b, want := m.Believe(s), m.exactBelief(s)
		if b.None || !finite(b.LogEvidence) || b.LogEvidence > -745 {
			t.Errorf("seed %d: evidence %v, want less than the smallest float", seed, b.LogEvidence)
		}
		sum := 0.0
		for c := range want {
			sum += b.P[c]
			if !(math.Abs(b.P[c]-want[c]) <= 1e-9) {
				t.Errorf("seed %d, cause %d: %v, want %v", seed, c, b.P[c], want[c])
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("seed %d: chances sum to %v", seed, sum)
		}
	}
}

// Plans from such states are finite and bounded properly.
func TestPlanOfManyCauses(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	m := wideModel(400, 40, r)
	for c := range 60 {
		repair := RepairAction{ID: fmt.Sprintf("r%d", c), Cost: 1 + float64(c%7), Place: -1, Fixes: make([]float64, 400)}
		repair.Fixes[c], repair.Fixes[(c*7)%400] = 0.9, 1
		m.Repairs = append(m.Repairs, repair)
	}
	if err := m.Check(); err != nil {
		t.Fatal(err)
	}
	s := m.NewState()
	for q := range 41 {
		p, err := m.Plan(s, Options{Budget: 12})
		if err != nil {
			t.Fatal(err)
		}
		if !finite(p.Expected) || !finite(p.Lower) || p.Lower > p.Expected || p.Expected > 60+1e-9 || p.Lower < 0 {
			t.Errorf("after %d answers: %v to %v", q, p.Lower, p.Expected)
		}
		if q < 40 {
			s.Answers[q] = int16(r.IntN(2))
		}
	}
}

// A weight of 1e-300 is weight: when the answer rules out all others, it wins.
func TestSmallestWeightWins(t *testing.T) {
	m := NewModel([]string{"usual", "odd"}, []float64{1, 1e-300})
	m.Questions = []Question{{ID: "q", Answers: []string{"yes", "no"}, Place: -1, Given: [][]float64{{0, 1}, {1e-8, 1 - 1e-8}}}}
	m.Finals = []Final{{ID: "visit", Cost: []float64{10, 20}}}
	s := m.NewState()
	s.Answers[0] = 0
	if b := m.Believe(s); b.None || b.P[0] != 0 || b.P[1] != 1 {
		t.Errorf("belief %v, want all on the second", b.P)
	}
	p, err := m.Plan(s, Options{})
	if err != nil || p.Expected != 20 {
		t.Errorf("plan %v, %v; want 20", p.Expected, err)
	}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
