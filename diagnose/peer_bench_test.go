package diagnose

import (
	"math"
	"testing"
	"time"
)

// BenchmarkPeerOrders compares the cost of the planner's policy with the exact
// optimum, a one-step greedy order and chance over cost, on the same seeded
// random models, and its time with that of the exact solver of the test files.
// The figures are what a policy costs over the optimum, mean of the models.
func BenchmarkPeerOrders(b *testing.B) {
	const models = 100
	for b.Loop() {
		over := map[string]float64{}
		var ours, exact time.Duration
		for i := range uint64(models) {
			m := randomModel(3, i, Repair)
			begin := time.Now()
			best := optimum(m)
			exact += time.Since(begin)
			begin = time.Now()
			p, err := m.Plan(m.NewState(), Options{})
			if err != nil {
				b.Fatal(err)
			}
			ours += time.Since(begin)
			over["plan"] += p.Expected / best / models
			for name, policy := range map[string]Policy{"greedy": m.Greedy(), "chance": m.ByChance()} {
				cost, err := EvaluatePolicy(m, m.NewState(), policy)
				if err != nil {
					b.Fatal(err)
				}
				over[name] += cost / best / models
			}
		}
		if math.IsInf(over["greedy"], 0) || over["plan"] < 1-1e-9 {
			b.Fatalf("%v", over)
		}
		b.ReportMetric(over["plan"], "cost/optimum")
		b.ReportMetric(over["greedy"], "greedy-cost/optimum")
		b.ReportMetric(over["chance"], "chance-cost/optimum")
		b.ReportMetric(float64(ours.Microseconds())/1000/models, "ms")
		b.ReportMetric(float64(exact.Microseconds())/1000/models, "exact-ms")
	}
}
