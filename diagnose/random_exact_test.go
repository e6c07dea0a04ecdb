package diagnose

import (
	"math"
	"testing"
)

// TestRandomAgainstExact compares the planner with the exact solver of the test
// files on seeded random models: never below the optimum, bounds never above
// it, and as near as promised.
func TestRandomAgainstExact(t *testing.T) {
	for _, c := range []struct {
		budget      int
		mean, worst float64
	}{{0, 1.0005, 1.01}, {200, 1.003, 1.04}} {
		for _, goal := range []Goal{Repair, Identify} {
			sum, worst, n := 0.0, 1.0, 0
			for i := range uint64(150) {
				m := randomModel(1, i, goal)
				opt := optimum(m)
				p, err := m.Plan(m.NewState(), Options{Budget: c.budget})
				if err != nil {
					t.Fatalf("model %d: %v", i, err)
				}
				ratio := 1.0
				if opt != 0 {
					ratio = p.Expected / opt
				}
				if ratio < 1-1e-9 || p.Lower > opt+1e-9*math.Abs(opt) {
					t.Errorf("model %d: cost %v, bound %v, optimum %v", i, p.Expected, p.Lower, opt)
				}
				sum, worst, n = sum+ratio, math.Max(worst, ratio), n+1
			}
			t.Logf("budget %d, goal %d: mean %.6f, worst %.6f of %d models", c.budget, goal, sum/float64(n), worst, n)
			if sum/float64(n) > c.mean || worst > c.worst {
				t.Errorf("budget %d, goal %d: mean %.6f, worst %.6f; promised %.4f and %.2f", c.budget, goal, sum/float64(n), worst, c.mean, c.worst)
			}
		}
	}
}

// TestTextbookPosteriors are Bayes updates of published screening examples:
// prevalence, sensitivity, false positives, chance of being ill after one and
// after two positive results, computed exactly from the published figures.
func TestTextbookPosteriors(t *testing.T) {
	for _, c := range []struct {
		name                 string
		p, s, f, once, twice float64
		negative             float64
	}{
		{"mammography problem after Eddy 1982; 7.8 % published", 0.01, 0.80, 0.096, 0.077640, 0.412269, 0.002230},
		{"Eddy 1982, original figures; from memory", 0.01, 0.792, 0.096, 0.076923, 0.407407, 0.002319},
		{"Gigerenzer, Calculated Risks, 2002; 9 % published", 0.008, 0.90, 0.07, 0.093946, 0.571388, 0.000866},
		{"Casscells et al. 1978; from memory; a negative result excludes", 0.001, 1, 0.05, 0.019627, 0.285919, 0},
		{"taxi cab problem, Kahneman and Tversky; 41 %, from memory", 0.15, 0.80, 0.20, 0.413793, 0.738462, 0.042254},
	} {
		m := NewModel([]string{"ill", "well"}, []float64{c.p, 1 - c.p})
		for _, id := range []string{"first", "second"} {
			m.Questions = append(m.Questions, Question{ID: id, Answers: []string{"positive", "negative"},
				Given: [][]float64{{c.s, 1 - c.s}, {c.f, 1 - c.f}}, Place: -1})
		}
		s := m.NewState()
		check := func(what string, want float64) {
			if got := m.Believe(s).P[0]; math.Abs(got-want) > 5e-7 {
				t.Errorf("%s, %s: %v, want %v", c.name, what, got, want)
			}
		}
		s.Answers[0] = 0
		check("positive", c.once)
		s.Answers[1] = 0
		check("twice positive", c.twice)
		s.Answers = []int16{1, Open}
		check("negative", c.negative)
	}
}
