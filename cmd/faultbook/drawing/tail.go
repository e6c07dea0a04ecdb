package drawing

import (
	"math"

	"faultbook/diagnose"
)

// maxTail is how many remedies a cut names at most: what fits on three lines.
const maxTail = 6

// minHelp is the share of the calls at a cut that a remedy there must help.
const minHelp = 0.03

// tail is what paper offers where the tree is cut: remedies to try in turn
// without further questions, then a handover.
type tail struct {
	tries  []int
	helped []float64 // share of the calls that each of tries cures
	final  int
	extras []int
	left   []float64 // share of each cause when all have failed
}

// cured is the share of all calls that the remedies cure.
func (t tail) cured() float64 { return sum(t.helped) }

// owned is the share of all calls that the handover at the end takes to who
// owns the cause: no other handover would cost less.
func (g *grower) owned(t tail) float64 {
	if t.final < 0 {
		return 0
	}
	total := 0.0
	for c, x := range t.left {
		least := math.Inf(1)
		for f := range g.model.Finals {
			least = math.Min(least, g.model.Finals[f].Cost[c])
		}
		if g.model.Finals[t.final].Cost[c] <= least {
			total += x
		}
	}
	return total
}

// tail picks the remedies of the best chance for their minutes, as long as
// trying is worth more than handing over at once. weight is the share of each
// cause here; trials says what was tried before. Walks are left out: they are
// the same for most remedies and the order hardly hangs on them.
func (g *grower) tail(weight []float64, trials []diagnose.Trial) tail {
	t := tail{left: append([]float64{}, weight...)}
	used := make([]bool, len(g.model.Repairs))
	for len(t.tries) < maxTail {
		best, helped := g.bestTry(t.left, trials, used)
		if best < 0 {
			break
		}
		final, _ := g.handOver(t.left)
		total := sum(t.left)
		if helped < minHelp*total || g.model.Repairs[best].Cost*total >= helped*final.cost/total {
			break
		}
		used[best] = true
		t.tries, t.helped = append(t.tries, best), append(t.helped, helped)
		for c := range t.left {
			t.left[c] -= float64(t.left[c] * g.model.Repairs[best].Fixes[c])
		}
	}
	final, _ := g.handOver(t.left)
	t.final, t.extras = final.index, final.extras
	return t
}

// follow is what a given tail does for other weights.
func (g *grower) follow(weight []float64, given tail) tail {
	t := given
	t.helped, t.left = nil, append([]float64{}, weight...)
	for _, r := range given.tries {
		t.helped = append(t.helped, dot(t.left, g.model.Repairs[r].Fixes))
		for c := range t.left {
			t.left[c] -= float64(t.left[c] * g.model.Repairs[r].Fixes[c])
		}
	}
	return t
}

// bestTry is the remedy of the highest chance over cost, -1 for none; ties go
// to the first.
func (g *grower) bestTry(weight []float64, trials []diagnose.Trial, used []bool) (int, float64) {
	best, rate, share := -1, 0.0, 0.0
	for r := range g.model.Repairs {
		if used[r] || trials[r] != diagnose.Untried {
			continue
		}
		helped := dot(weight, g.model.Repairs[r].Fixes)
		if x := helped / max(g.model.Repairs[r].Cost, 0.1); x > rate*(1+rounding) {
			best, rate, share = r, x, helped
		}
	}
	return best, share
}

// choice is a handover with its expected minutes under weights, the minutes
// times the share of calls.
type choice struct {
	index  int
	extras []int
	cost   float64
}

// handOver is the handover of least expected minutes under weights, with the
// parts that are worth taking along; ties go to the first.
func (g *grower) handOver(weight []float64) (choice, bool) {
	best := choice{index: -1, cost: math.Inf(1)}
	total := sum(weight)
	if total <= 0 {
		return best, false
	}
	for f := range g.model.Finals {
		final := &g.model.Finals[f]
		cost := dot(weight, final.Cost)
		for _, x := range final.Extras {
			cost += math.Min(x.Take*total, dot(weight, x.Miss))
		}
		if cost < best.cost-rounding*math.Abs(cost) {
			best.index, best.cost = f, cost
		}
	}
	if best.index < 0 {
		return best, false
	}
	best.extras = g.extras(best.index, weight)
	return best, true
}

// extras are the parts that are worth taking along with handover f.
func (g *grower) extras(f int, weight []float64) []int {
	return g.model.Extras(f, diagnose.Belief{P: scaled(weight, 1/sum(weight))})
}

func scaled(p []float64, k float64) []float64 {
	out := make([]float64, len(p))
	for c, x := range p {
		out[c] = float64(x * k)
	}
	return out
}

func sum(list []float64) float64 {
	total := 0.0
	for _, x := range list {
		total += x
	}
	return total
}

func dot(p, q []float64) float64 {
	total := 0.0
	for i, x := range p {
		total += float64(x * q[i])
	}
	return total
}
