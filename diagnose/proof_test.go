package diagnose

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// The bound by clusters is never above the optimum that an oracle works out by
// plain recursion, at the opening and at states that follow, whatever the
// model has: zero chances, ties, walks, conditions, rules, extras, gains.
func TestProofIsBelowTheOptimum(t *testing.T) {
	kinds := map[string]func(n uint64) *Model{
		"plain":     func(n uint64) *Model { return randomModel(5, n, Repair) },
		"dressed":   func(n uint64) *Model { return dressedModel(6, n, 4) },
		"excluding": excludingModel,
		"opening":   openingModel,
	}
	for name, make := range kinds {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			stronger := 0
			for n := range uint64(500) {
				m := make(n)
				if len(m.Questions) > 4 {
					m.Questions = m.Questions[:4]
				}
				stronger += holdProof(t, fmt.Sprintf("%s %d", name, n), m, n)
			}
			t.Logf("%d bounds stronger than perfect information", stronger)
			if stronger < 100 {
				t.Errorf("only %d bounds are stronger than perfect information", stronger)
			}
		})
	}
}

// TestProofOnCuts is the same on parts cut from the book's models.
func TestProofOnCuts(t *testing.T) {
	for name, m := range frozenModels(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(8, hashOf(name)))
			for n := range uint64(110) {
				holdProof(t, fmt.Sprint(name, " ", n), cut(m, 5, 3, 3, r), n)
			}
		})
	}
}

// holdProof holds the bounds of m, by clusters of two or three, against the
// optimum, at the opening and after some steps; it counts the states where
// they are stronger than perfect information.
func holdProof(t *testing.T, name string, m *Model, n uint64) int {
	t.Helper()
	f := m.Prove(m.NewState(), ProofOptions{Seats: 2 + int(n%2), Deep: int(n % 3)})
	if f == nil {
		t.Fatalf("%s: no proof", name)
	}
	r, s, stronger := rand.New(rand.NewPCG(77, n)), m.NewState(), 0
	for range 3 {
		b := m.Believe(s)
		if b.Stop >= 0 {
			break
		}
		best := dressedOptimumFrom(t, m, s)
		room := 1e-9 * (1 + math.Abs(best))
		x := m.Bounds(s, f)
		if x.Clusters > best+room {
			t.Errorf("%s: bound %v is above the optimum %v in %v", name, x.Clusters, best, s)
		}
		if x.Clusters > x.Known+1e-6 {
			stronger++
		}
		p, err := m.Plan(s, Options{Budget: 1 + int(n%20), Proof: f})
		if err != nil {
			t.Fatal(err)
		}
		if p.Lower > best+room || p.Expected < best-room {
			t.Errorf("%s: optimum %v is not within [%v, %v]", name, best, p.Lower, p.Expected)
		}
		a := m.anyStep(s, b, Action{}, r)
		if len(b.Ask) > 0 || a.Kind == Nothing || !m.happen(&s, b, a, r) {
			break
		}
	}
	return stronger
}

// excludingModel has many rules that exclude, with one condition or two.
func excludingModel(n uint64) *Model {
	m := dressedModel(9, n, 4)
	g := &maker{rand.New(rand.NewPCG(10, n))}
	m.Rules = nil
	for i := range 3 {
		q := g.IntN(len(m.Questions))
		r := Rule{ID: fmt.Sprintf("rule%d", i), When: []Condition{g.condition(m, q)}, Stop: -1}
		if g.chance(0.5) {
			r.When = append(r.When, g.condition(m, (q+1)%len(m.Questions)))
		}
		if g.chance(0.5) {
			r.Exclude = []int{1 + g.IntN(len(m.Causes)-1), 1 + g.IntN(len(m.Causes)-1)}
		} else {
			r.Only = []int{0, g.IntN(len(m.Causes)), g.IntN(len(m.Causes))}
		}
		m.Rules = append(m.Rules, r)
	}
	return m
}

// openingModel has conditions on nearly all questions, and rules that put
// questions or stop.
func openingModel(n uint64) *Model {
	m := dressedModel(11, n, 4)
	g := &maker{rand.New(rand.NewPCG(12, n))}
	for q := 1; q < len(m.Questions); q++ {
		m.Questions[q].When = []Condition{g.condition(m, g.IntN(q))}
	}
	m.Rules = []Rule{
		{ID: "first", Ask: []int{g.IntN(len(m.Questions))}, Stop: -1},
		{ID: "stop", When: []Condition{g.condition(m, 0)}, Stop: g.IntN(len(m.Finals))},
	}
	return m
}

// On the book's models, where perfect information says little, the bound by
// clusters is held to what it reached when it was made, less a little.
func TestProofOnTheBook(t *testing.T) {
	for name, least := range map[string]float64{"few-causes": 1.16, "middling": 1.19, "visits": 1.13} {
		m := frozenModels(t)[name]
		f := m.Prove(m.NewState(), ProofOptions{Seats: 3, Deep: 2})
		x := m.Bounds(m.NewState(), f)
		t.Logf("%s: %.2f minutes as if the cause were known, %.2f by clusters", name, x.Known, x.Clusters)
		if x.Clusters < least*x.Known {
			t.Errorf("%s: bound %v is below %v times %v", name, x.Clusters, least, x.Known)
		}
	}
}

// A proof is not made where it has nothing to say.
func TestNoProof(t *testing.T) {
	m := randomModel(1, 1, Identify)
	if m.Prove(m.NewState(), ProofOptions{}) != nil {
		t.Error("a proof for goal Identify")
	}
	m = randomModel(1, 1, Repair)
	m.Finals = nil
	if m.Prove(m.NewState(), ProofOptions{}) != nil {
		t.Error("a proof without finals")
	}
}

// A belief is the sum of the corners that it is located at, and interpolation
// is below a concave function.
func TestLattice(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	concave := func(w []float64) float64 { // positively homogeneous as well
		most, sum := 0.0, 0.0
		for i, x := range w {
			most = math.Max(most, x*float64(1+i))
			sum += math.Sqrt(x * w[(i+1)%len(w)])
		}
		return sum - most
	}
	for k := 1; k <= 5; k++ {
		grid := newLattice(k)
		for range 500 {
			w := make([]float64, k)
			for i := range w {
				if r.IntN(4) > 0 {
					w[i] = 3 * r.ExpFloat64() * math.Pow(10, -float64(r.IntN(5)))
				}
			}
			got, low := make([]float64, k), 0.0
			for _, c := range grid.locate(w, nil) {
				if c.part < 0 || c.at < 0 {
					t.Fatalf("%v: corner %v", w, c)
				}
				for i, x := range grid.points[c.at] {
					got[i] += c.part * x
				}
				low += c.part * concave(grid.points[c.at])
			}
			for i := range w {
				if math.Abs(got[i]-w[i]) > 1e-12*(1+w[i]) {
					t.Fatalf("%v located at %v", w, got)
				}
			}
			if low > concave(w)+1e-9 {
				t.Fatalf("%v: interpolated %v, function %v", w, low, concave(w))
			}
		}
	}
}

// The rows that are left are chances, and give nothing to answers that could
// let a rule take the cause.
func TestRelaxedRows(t *testing.T) {
	lost := 0
	for n := range uint64(100) {
		m := excludingModel(n)
		s := m.NewState()
		r := m.relax(s, m.Believe(s))
		for q := range m.Questions {
			for _, c := range r.live {
				if r.kept[q] == nil || r.kept[q][c] <= 0 {
					continue
				}
				sum := 0.0
				for a, v := range r.row(q, c) {
					sum += v
					if r.lost[q][c] != nil && r.lost[q][c][a] {
						lost++
						if v != 0 {
							t.Errorf("model %d: cause %d gives answer %d to question %d, which is left out", n, c, a, q)
						}
					}
				}
				if math.Abs(sum-1) > 1e-9 {
					t.Errorf("model %d: row of cause %d at question %d sums to %v", n, c, q, sum)
				}
			}
		}
	}
	if lost == 0 {
		t.Error("no answer is left out anywhere")
	}
}
