package diagnose

import (
	"math"
	"math/bits"
)

// A cluster is a few causes with all that can be done about them, as if they
// alone were possible. What it costs at least is worked out at the points of a
// lattice of beliefs, for each small set of repairs that failed.
type cluster struct {
	causes []int  // of the model, at most maxSeats
	tries  []crew // repairs that may cure one of them, at most maxTries
	asks   []probe
	ends   []end // finals by seat
	grid   *lattice
	deep   int                  // sets of failed repairs are told apart up to this many
	value  map[uint32][]float64 // by set of failed repairs: lower bounds per point

	afterAsk, afterTry [][][]corner // by point and step, while solving
}

const (
	maxSeats = 6
	maxTries = 30
)

// crew is a repair as a cluster sees it.
type crew struct {
	id    int // model repair
	cost  float64
	fixes []float64 // by seat
}

// probe is a question as a cluster sees it.
type probe struct {
	id   int // model question
	cost float64
	rows [][]float64 // by answer and seat
}

// known is the least cost for the cause at a seat if it were known and the
// repairs of set had failed: the others by chance over cost, then a final.
func (k *cluster) known(set uint32, seat int) float64 {
	best := math.Inf(1)
	for f := range k.ends {
		best = math.Min(best, k.endAt(f, seat))
	}
	var use [maxTries]int
	n := 0
	for r := range k.tries {
		if set>>r&1 == 0 && k.tries[r].fixes[seat] > 0 {
			i := n
			for ; i > 0 && k.better(r, use[i-1], seat); i-- {
				use[i] = use[i-1]
			}
			use[i] = r
			n++
		}
	}
	for i := n - 1; i >= 0; i-- {
		t := &k.tries[use[i]]
		best = math.Min(best, t.cost+float64((1-t.fixes[seat])*best))
	}
	return best
}

// better reports whether repair a has more chance over cost than b at a seat.
func (k *cluster) better(a, b, seat int) bool {
	x, y := &k.tries[a], &k.tries[b]
	return x.fixes[seat]*y.cost > y.fixes[seat]*x.cost
}

func (k *cluster) endAt(f, seat int) float64 {
	e := &k.ends[f]
	sum := e.cost[seat]
	for x, take := range e.take {
		sum += math.Min(take, e.miss[x][seat])
	}
	return sum
}

// stop is the cheapest final on belief b.
func (k *cluster) stop(b []float64) float64 {
	best := math.Inf(1)
	for f := range k.ends {
		e := &k.ends[f]
		sum := dot(b, e.cost)
		for x, take := range e.take {
			sum += math.Min(take, dot(b, e.miss[x]))
		}
		best = math.Min(best, sum)
	}
	return best
}

// knownSum is what w costs if the cause were known.
func (k *cluster) knownSum(w []float64, set uint32) float64 {
	sum := 0.0
	for i, x := range w {
		if x > 0 {
			sum += float64(x * k.known(set, i))
		}
	}
	return sum
}

// locateSteps finds once what every answer and every failed repair makes of
// each point: by point and step the corners of all outcomes together.
func (k *cluster) locateSteps() {
	w := make([]float64, len(k.causes))
	for _, b := range k.grid.points {
		asks, tries := make([][]corner, len(k.asks)), make([][]corner, len(k.tries))
		for q := range k.asks {
			for _, row := range k.asks[q].rows {
				for i, v := range b {
					w[i] = float64(v * row[i])
				}
				asks[q] = k.grid.locate(w, asks[q])
			}
		}
		for r := range k.tries {
			for i, v := range b {
				w[i] = v - float64(v*k.tries[r].fixes[i])
			}
			tries[r] = k.grid.locate(w, tries[r])
		}
		k.afterAsk, k.afterTry = append(k.afterAsk, asks), append(k.afterTry, tries)
	}
}

// sets calls do for every set of repairs of at most deep, larger ones first,
// because smaller ones lead to them.
func (k *cluster) sets(do func(set uint32)) {
	for size := min(k.deep, len(k.tries)); size >= 0; size-- {
		k.choose(0, 0, size, do)
	}
}

func (k *cluster) choose(from int, set uint32, more int, do func(uint32)) {
	if more == 0 {
		do(set)
		return
	}
	for r := from; r <= len(k.tries)-more; r++ {
		k.choose(r+1, set|1<<r, more-1, do)
	}
}

// solve fills in the values. They start from perfect information, which is
// linear and below the truth. Every sweep replaces them by the cheapest step
// onto such values, read off from below by interpolation. So they stay below
// the truth whenever the sweeps end. Questions may be put again here, which can
// only cost less.
func (k *cluster) solve() {
	k.value = map[uint32][]float64{}
	k.sets(func(set uint32) {
		v, known := make([]float64, len(k.grid.points)), make([]float64, len(k.causes))
		for i := range known {
			known[i] = k.known(set, i)
		}
		for i, b := range k.grid.points {
			v[i] = dot(b, known)
		}
		k.value[set] = v
		k.sweep(set, v)
	})
}

const (
	mostSweeps = 60
	settled    = 1e-3 // minutes; a sweep that raises no value by more is the last
)

func (k *cluster) sweep(set uint32, v []float64) {
	limit := make([]float64, len(v)) // the cheapest step that is no question
	for i, b := range k.grid.points {
		limit[i] = k.stop(b)
		for r := range k.tries {
			if set>>r&1 == 0 {
				limit[i] = math.Min(limit[i], k.attempt(set, i, r))
			}
		}
	}
	for range mostSweeps {
		most := 0.0
		for i := range v {
			best := limit[i]
			for q := range k.asks {
				best = math.Min(best, k.put(v, i, q))
			}
			if best > v[i] {
				most = math.Max(most, best-v[i])
				v[i] = best
			}
		}
		if most < settled {
			return
		}
	}
}

// put is question q at a point, onto the values v.
func (k *cluster) put(v []float64, point, q int) float64 {
	sum := k.asks[q].cost
	for _, c := range k.afterAsk[point][q] {
		sum += float64(c.part * v[c.at])
	}
	return sum
}

// attempt is repair r at a point. What follows sets that are not told apart is
// as if the cause were known.
func (k *cluster) attempt(set uint32, point, r int) float64 {
	sum, next := k.tries[r].cost, set|1<<r
	if v := k.value[next]; v != nil {
		for _, c := range k.afterTry[point][r] {
			sum += float64(c.part * v[c.at])
		}
		return sum
	}
	for i, x := range k.grid.points[point] {
		if left := 1 - k.tries[r].fixes[i]; x > 0 && left > 0 {
			sum += float64(float64(x*left) * k.known(next, i))
		}
	}
	return sum
}

// lower bounds the cost on w, of any sum, after the repairs of set failed.
func (k *cluster) lower(w []float64, set uint32) float64 {
	known := k.knownSum(w, set)
	for bits.OnesCount32(set) > k.deep { // with a repair more to try it costs no more
		set &= set - 1
	}
	sum := 0.0
	var room [maxSeats]corner
	for _, c := range k.grid.locate(w, room[:0]) {
		sum += float64(c.part * k.value[set][c.at])
	}
	return math.Max(known, sum)
}
