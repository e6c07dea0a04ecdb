package diagnose

import "math"

// split is the base policy where causes must be told apart: ask the question
// that gains most information a minute until one cause is left, but wherever
// repairs and finals alone cost no more, go on with those. v holds what they
// cost and is replaced where asking is cheaper. Beyond splitLimit states a
// branch is priced at all that is left to ask, which it cannot exceed, so the
// bound holds though it is no longer exact.
func (s *search) split(w []float64, g got, place int, v *value) {
	left := splitLimit
	s.splitTree(w, append(got(nil), g...), place, v, &left)
}

const splitLimit = 2000

func (s *search) splitTree(w []float64, g got, place int, v *value, left *int) {
	p := s.p
	q := p.sharpest(w, g, place)
	if q < 0 {
		return
	}
	if *left--; *left < 0 {
		v.replace(p.askAll(w, g), q)
		return
	}
	a := &p.asks[q]
	cost := a.cost + p.walk(place, a.place)
	next := make([]float64, len(w))
	for i := range a.base {
		chance := p.afterAnswer(w, g, q, i, next)
		if chance == 0 || only(next) {
			continue
		}
		g[q] = int16(i)
		s.stand(next, g)
		after := s.leaf(s.here, moved(place, a.place))
		s.splitTree(next, g, moved(place, a.place), &after, left)
		g[q] = open
		cost += float64(chance * after.hi)
	}
	v.replace(cost, q)
}

// replace takes asking q at the given cost if that is cheaper.
func (v *value) replace(cost float64, q int) {
	if less(cost, v.hi) {
		v.hi, v.first = cost, action{Ask, q}
	}
}

// askAll is the cost of asking everything that is left and then the dearest
// final; +Inf without a final unless the answers are sure to tell all apart.
func (p *problem) askAll(w []float64, g got) float64 {
	sum, far := 0.0, 0.0
	for _, row := range p.m.Walk {
		for _, v := range row {
			far = math.Max(far, v)
		}
	}
	for q := range p.asks {
		if g[q] == open {
			sum += p.asks[q].cost + far
		}
	}
	if len(p.ends) == 0 {
		if p.allApart(w, g) {
			return sum
		}
		return math.Inf(1)
	}
	most := 0.0
	for f := range p.ends {
		most = math.Max(most, p.endValue(f, w))
		for c, v := range w {
			if v > 0 {
				most = math.Max(most, p.ends[f].cost[c])
			}
		}
	}
	return sum + most
}

// allApart reports whether every two causes with weight have a question left
// without an answer that both can give.
func (p *problem) allApart(w []float64, g got) bool {
	for c := range w {
		for d := range c {
			if w[c] > 0 && w[d] > 0 && !p.apart(c, d, g) {
				return false
			}
		}
	}
	return true
}

func (p *problem) apart(c, d int, g got) bool {
	c, d = p.member[c][0], p.member[d][0]
	for q := range p.asks {
		if g[q] == open && len(p.asks[q].when) == 0 && disjoint(&p.m.Questions[p.asks[q].id], c, d) {
			return true
		}
	}
	return false
}

func only(w []float64) bool {
	alive := 0
	for _, v := range w {
		if v > 0 {
			alive++
		}
	}
	return alive <= 1
}

// sharpest is the question that gains most information a minute, -1 if none gains.
func (p *problem) sharpest(w []float64, g got, place int) int {
	best, top := -1, 0.0
	for q := range p.asks {
		if !p.may(g, q) || !p.informs(w, q) {
			continue
		}
		gain := p.rate(w, place, q)
		if best < 0 || gain > top*(1+1e-9) {
			best, top = q, gain
		}
	}
	return best
}
