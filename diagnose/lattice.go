package diagnose

import "sort"

// lattice is a fixed set of points of the simplex of beliefs over a few causes,
// with a triangulation: a concave function is bounded from below by linear
// interpolation between its values at the points (Lovejoy 1991, with
// Freudenthal's triangulation). A belief is seen by its suffix sums, which
// fall from one; each is cut by the same knots, dense at both ends because
// that is where answers lead.
type lattice struct {
	k      int
	points [][]float64 // beliefs, each sums to one
	index  []int32     // place of a point by its digits, -1 for none
}

var knots = []float64{0, 0.012, 0.035, 0.075, 0.13, 0.21, 0.32, 0.44, 0.56, 0.68, 0.79, 0.87, 0.925, 0.965, 0.988, 1}

// corner is a point of the lattice and its part in an interpolation.
type corner struct {
	at   int32
	part float64
}

// newLattice is the lattice over k causes, k at least 1.
func newLattice(k int) *lattice {
	t := &lattice{k: k}
	size := 1
	for range k - 1 {
		size *= len(knots)
	}
	t.index = make([]int32, size)
	for i := range t.index {
		t.index[i] = -1
	}
	digits := make([]int, k-1)
	var fill func(j, most, code int)
	fill = func(j, most, code int) {
		if j == k-1 {
			t.index[code] = int32(len(t.points))
			t.points = append(t.points, belief(digits))
			return
		}
		for d := 0; d <= most; d++ {
			digits[j] = d
			fill(j+1, d, code*len(knots)+d)
		}
	}
	fill(0, len(knots)-1, 0)
	return t
}

// belief turns the digits of suffix sums into chances.
func belief(digits []int) []float64 {
	b, above := make([]float64, len(digits)+1), 1.0
	for j, d := range digits {
		b[j] = above - knots[d]
		above = knots[d]
	}
	b[len(digits)] = above
	return b
}

// locate writes w, of any sum, as a sum of points: their parts sum to that of
// w and all are zero or more. It appends to list, nothing where w is zero.
func (t *lattice) locate(w []float64, list []corner) []corner {
	total := 0.0
	for _, v := range w {
		total += v
	}
	if !(total > 0) {
		return list
	}
	if t.k == 1 {
		return append(list, corner{0, total})
	}
	var cell [maxSeats]int
	var frac [maxSeats]float64
	var order [maxSeats]int
	suffix := 0.0
	for j := t.k - 2; j >= 0; j-- {
		suffix += w[j+1]
		cell[j], frac[j] = locateKnot(suffix / total)
	}
	code := 0
	for j := range t.k - 1 {
		code = code*len(knots) + cell[j]
		i := j
		for ; i > 0 && frac[order[i-1]] < frac[j]; i-- {
			order[i] = order[i-1]
		}
		order[i] = j
	}
	before := 1.0
	for _, j := range order[:t.k-1] {
		if part := before - frac[j]; part > 0 {
			list = append(list, corner{t.index[code], float64(part * total)})
		}
		before = frac[j]
		step := 1
		for range t.k - 2 - j {
			step *= len(knots)
		}
		code += step
	}
	if before > 0 {
		list = append(list, corner{t.index[code], float64(before * total)})
	}
	return list
}

// locateKnot is the interval of knots that y, 0..1, lies in and how far in it.
func locateKnot(y float64) (int, float64) {
	if y >= 1 {
		return len(knots) - 2, 1
	}
	i := sort.SearchFloat64s(knots, y)
	if i > 0 {
		i--
	}
	return i, (y - knots[i]) / (knots[i+1] - knots[i])
}
