package diagnose

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// Where both policies are the same all is followed in full, and the expected
// cost is that of EvaluatePolicy, which shares no code with it.
func TestVersusInFull(t *testing.T) {
	for i := range uint64(60) {
		for _, m := range []*Model{randomModel(5, i, Repair), dressedModel(5, i, 6)} {
			policy := m.Greedy()
			want := costOf(t, m, policy)
			got, err := m.Versus(m.NewState(), policy, policy, Cases{N: math.MaxInt32})
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("model %d", i), got.First.Minutes, want)
			near(t, fmt.Sprintf("model %d", i), got.Second.Minutes, want)
			if got.First.Error != 0 || got.More != (Expectation{}) {
				t.Errorf("model %d: %+v, but nothing was drawn", i, got)
			}
		}
	}
}

// Sampled, both figures and their difference are off by what their standard
// errors say, without a guess and with a bad one; a good one makes them small.
func TestVersusSampled(t *testing.T) {
	models := partingModels(t)
	costs := make([][3]float64, len(models))
	for i, m := range models {
		first, second := costOf(t, m, m.Planned(Options{Budget: 8})), costOf(t, m, m.Greedy())
		costs[i] = [3]float64{first, second, second - first}
	}
	plain := 0.0
	for _, x := range []struct {
		name  string
		guess func(*Model, State) (float64, error)
		share float64 // of the error without a guess, at most
		off   float64 // of its errors that a figure may be off by; where few cases differ from the guess, those few decide
	}{
		{"none", nil, 1, 1.5},
		{"bad", func(_ *Model, s State) (float64, error) { return float64(hashOf(s.key()) % 10), nil }, 3, 1.5},
		{"good", func(m *Model, s State) (float64, error) {
			p, err := m.Plan(s, Options{Budget: 1})
			return p.Expected, err
		}, 0.2, 2},
	} {
		var off, errors [3]float64
		for i, m := range models {
			cases := Cases{N: 100, Seed: uint64(i)}
			if x.guess != nil {
				cases.Guess = func(s State) (float64, error) { return x.guess(m, s) }
			}
			want := costs[i]
			for k, got := range versusOf(t, m, m.Planned(Options{Budget: 8}), m.Greedy(), cases) {
				off[k] += (got.Minutes - want[k]) * (got.Minutes - want[k])
				errors[k] += got.Error * got.Error
			}
		}
		n := float64(len(models))
		t.Logf("guess %s, %d models: errors %.3f, %.3f, %.3f minutes; off by %.2f, %.2f, %.2f of them", x.name, len(models),
			math.Sqrt(errors[0]/n), math.Sqrt(errors[1]/n), math.Sqrt(errors[2]/n),
			math.Sqrt(off[0]/errors[0]), math.Sqrt(off[1]/errors[1]), math.Sqrt(off[2]/errors[2]))
		for k := range off {
			if r := math.Sqrt(off[k] / errors[k]); !(r < x.off && r > 0.6) {
				t.Errorf("guess %s: figure %d is off by %.2f of its standard error", x.name, k, r)
			}
		}
		if plain == 0 {
			plain = errors[0]
		}
		if math.Sqrt(errors[0]/plain) > x.share+1e-9 {
			t.Errorf("guess %s: errors are %.2f of those without", x.name, math.Sqrt(errors[0]/plain))
		}
	}
}

// partingModels are parts of the book's models on which the planner and the
// greedy way part, and not at the end only.
func partingModels(t *testing.T) []*Model {
	t.Helper()
	var list []*Model
	models := frozenModels(t)
	for _, name := range []string{"few-causes", "many-causes", "middling", "two-symptoms", "visits"} {
		r := rand.New(rand.NewPCG(3, hashOf(name)))
		for range 8 {
			m := cut(models[name], 6, 6, 4, r)
			first := versusOf(t, m, m.Planned(Options{Budget: 8}), m.Greedy(), Cases{N: 40})
			if first[2].Error > 0.01 {
				list = append(list, m)
			}
		}
	}
	if len(list) < 20 {
		t.Fatalf("only %d models", len(list))
	}
	return list
}

func costOf(t *testing.T, m *Model, p Policy) float64 {
	t.Helper()
	v, err := EvaluatePolicy(m, m.NewState(), p)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func versusOf(t *testing.T, m *Model, first, second Policy, cases Cases) [3]Expectation {
	t.Helper()
	p, err := m.Versus(m.NewState(), first, second, cases)
	if err != nil {
		t.Fatal(err)
	}
	return [3]Expectation{p.First, p.Second, p.More}
}
