package diagnose

import (
	"math"
	"sort"
)

// Of many steps, those looked at first: the questions that gain most a minute
// and the repairs with the best chance over cost.
const (
	fewSteps = 32 // up to here all are looked at
	topAsks  = 12
	topTries = 10
	rootMore = 4 // times as many at the root
)

// shortlist parts steps, which are in the order of the model, into those to
// look at now and those for later.
func (s *search) shortlist(n *node, steps []action) (now, later []action) {
	score := make([]float64, len(steps))
	var asks, tries []float64
	for i, a := range steps {
		if a.kind == Try {
			score[i] = s.here.cure[a.index] * s.p.perMinute[n.place+1][a.index]
			tries = append(tries, score[i])
		} else {
			score[i] = s.p.rate(n.w, n.place, a.index)
			asks = append(asks, score[i])
		}
	}
	more := 1
	if n == s.root {
		more = rootMore
	}
	minAsk, minTry := nth(asks, more*topAsks), nth(tries, more*topTries)
	for i, a := range steps {
		least := minAsk
		if a.kind == Try {
			least = minTry
		}
		if score[i] >= least {
			now = append(now, a)
		} else {
			later = append(later, a)
		}
	}
	return now, later
}

// nth is the k-th greatest of list, which it sorts; -Inf if there are fewer.
func nth(list []float64, k int) float64 {
	if len(list) <= k {
		return math.Inf(-1)
	}
	sort.Float64s(list)
	return list[len(list)-k]
}

// rate is the information of ask q about the cause, in nats a minute, under
// belief w.
func (p *problem) rate(w []float64, place, q int) float64 {
	a := &p.asks[q]
	odd, gain := 0.0, 0.0
	for o, c := range a.odd {
		odd += w[c]
		gain += float64(w[c] * a.inner[o])
	}
	rest := math.Max(0, 1-odd)
	gain += float64(rest * a.plain)
	for i, cells := range a.cells {
		chance := float64(rest * a.base[i])
		for o, c := range a.odd {
			chance += float64(w[c] * cells[o])
		}
		if chance > 0 {
			gain -= float64(chance * math.Log(chance))
		}
	}
	return gain / (a.cost + p.walk(place, a.place) + 1e-9)
}

// nats is minus the entropy of a row.
func nats(row []float64) float64 {
	sum := 0.0
	for _, v := range row {
		if v > 0 {
			sum += float64(v * math.Log(v))
		}
	}
	return sum
}
