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
