package diagnose

import "math"

// afterTry fills w with the belief after try r failed and returns the chance
// of that.
func (p *problem) afterTry(from []float64, r int, w []float64) float64 {
	copy(w, from)
	t := &p.tries[r]
	for i, c := range t.on {
		w[c] -= float64(from[c] * t.fixes[i])
	}
	return normalise(w)
}

// afterAnswer fills w with the belief after answer a to ask q, rules applied,
// and returns the chance of the answer.
func (p *problem) afterAnswer(from []float64, g got, q, a int, w []float64) float64 {
	p.asks[q].apply(from, a, w)
	chance := normalise(w)
	if chance > 0 && p.excludes && p.asks[q].watch {
		before := g[q]
		g[q] = int16(a)
		p.exclude(g, w)
		g[q] = before
	}
	return chance
}

// apply fills w with the weights of from times the chance of answer i.
func (a *ask) apply(from []float64, i int, w []float64) {
	base, cells := a.base[i], a.cells[i]
	w = w[:len(from)]
	for c, v := range from {
		w[c] = float64(v * base)
	}
	for o, c := range a.odd {
		w[c] = float64(from[c] * cells[o])
	}
}

// chance is the chance of answer i under belief w, which sums to one.
func (a *ask) chance(w []float64, i int) float64 {
	sum, odd := 0.0, 0.0
	for o, c := range a.odd {
		odd += w[c]
		sum += float64(w[c] * a.cells[i][o])
	}
	return sum + float64(math.Max(0, 1-odd)*a.base[i])
}

// exclude applies the rules that hold in g; a rule that would leave no cause
// at all is passed over.
func (p *problem) exclude(g got, w []float64) {
	for i := range p.rules {
		r := &p.rules[i]
		if r.keep == nil || !g.holds(r.when) {
			continue
		}
		left := 0.0
		for c, v := range w {
			if r.keep[c] {
				left += v
			}
		}
		if left == 0 {
			continue
		}
		for c := range w {
			if !r.keep[c] {
				w[c] = 0
			}
		}
		normalise(w)
	}
}

// normalise scales w to sum one and returns the sum before.
func normalise(w []float64) float64 {
	sum := 0.0
	for _, v := range w {
		sum += v
	}
	if sum == 0 {
		return 0
	}
	k := 1 / sum
	if math.IsInf(k, 0) { // sum is among the smallest floats
		for c := range w {
			w[c] /= sum
		}
		return sum
	}
	for c := range w {
		w[c] = float64(w[c] * k)
	}
	return sum
}

// informs reports whether ask q can change belief w at all.
func (p *problem) informs(w []float64, q int) bool {
	a := &p.asks[q]
	first, plain := -1, 0
	for _, v := range w {
		if v > 0 {
			plain++
		}
	}
	for o, c := range a.odd {
		if w[c] == 0 {
			continue
		}
		plain--
		if first < 0 {
			first = o
			continue
		}
		for _, cells := range a.cells {
			if cells[o] != cells[first] {
				return true
			}
		}
	}
	return first >= 0 && plain > 0
}

func (p *problem) endValue(f int, w []float64) float64 {
	e := &p.ends[f]
	sum := dot(w, e.cost)
	for x, take := range e.take {
		sum += math.Min(take, dot(w, e.miss[x]))
	}
	return sum
}
