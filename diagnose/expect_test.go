package diagnose

import (
	"fmt"
	"math"
	"testing"
)

// Followed in full, the expected cost is that of EvaluatePolicy; sampled, it
// is off by what its standard error says.
func TestExpect(t *testing.T) {
	far, n := 0.0, 0
	for i := range uint64(60) {
		for _, m := range []*Model{randomModel(5, i, Repair), dressedModel(5, i, 6)} {
			policy := m.Greedy()
			want, err := EvaluatePolicy(m, m.NewState(), policy)
			if err != nil {
				t.Fatal(err)
			}
			full, err := m.Expect(m.NewState(), policy, 0, 1)
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("model %d", i), full.Minutes, want)
			if full.Error != 0 {
				t.Errorf("model %d: error %v of a figure without samples", i, full.Error)
			}
			part, err := m.Expect(m.NewState(), policy, 0.5, 1)
			if err != nil {
				t.Fatal(err)
			}
			if part.Error > 0 {
				far += math.Abs(part.Minutes-want) / part.Error
				n++
			}
		}
	}
	// Of two samples the standard error is a poor figure, so only the mean
	// over many models is held.
	t.Logf("%d sampled figures, off by %.2f standard errors on average", n, far/float64(n))
	if n < 20 || far/float64(n) > 3 {
		t.Errorf("%d sampled figures are off by %.2f standard errors on average", n, far/float64(n))
	}
}
