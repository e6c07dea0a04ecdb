package diagnose

import "math"

// expand looks at every step from n and bounds what follows, without keeping
// the states that follow. Where there are many steps only the likelier are
// looked at; the others follow when n is expanded again.
func (s *search) expand(n *node) {
	s.states++
	if n.edges != nil {
		s.widen(n)
		return
	}
	n.edges = []edge{}
	stop, must := s.p.demand(n.got)
	switch {
	case stop >= 0:
		n.edges = append(n.edges, s.finish(n, stop))
		return
	case must >= 0:
		n.edges = append(n.edges, s.follow(n, action{Ask, must}))
		return
	}
	s.stand(n.w, n.got)
	steps := s.steps(n)
	if len(steps) > fewSteps {
		n.laterLo = s.lower(s.here, math.Inf(1))
		steps, n.later = s.shortlist(n, steps)
	}
	n.edges = make([]edge, 0, len(steps)+len(s.p.ends))
	for _, a := range steps {
		n.edges = append(n.edges, s.step(n, a))
	}
	for f := range s.p.ends {
		n.edges = append(n.edges, s.finish(n, f))
	}
}

// widen looks at the steps that were put off.
func (s *search) widen(n *node) {
	s.stand(n.w, n.got)
	for _, a := range n.later {
		n.edges = append(n.edges, s.step(n, a))
	}
	n.later = nil
}

// steps lists the tries and asks that are possible in n and can change
// something; s stands in n.
func (s *search) steps(n *node) []action {
	p := s.p
	list := make([]action, 0, len(p.tries)+len(p.asks))
	for r := range p.tries {
		if p.mayTry(n.got, r) && s.here.cure[r] > 0 {
			list = append(list, action{Try, r})
		}
	}
	for q := range p.asks {
		if p.may(n.got, q) && (p.asks[q].watch || p.informs(n.w, q)) {
			list = append(list, action{Ask, q})
		}
	}
	return list
}

func (s *search) step(n *node, a action) edge {
	if a.kind == Try {
		return s.attempt(n, a.index)
	}
	return s.put(n, a.index)
}

// stand makes w and g the state that the scratch figures are for.
func (s *search) stand(w []float64, g got) {
	s.p.knownCosts(g, s.v)
	s.leastAsk = s.p.cheapestAsk(g)
	s.here.load(s.p, w, g, s.v)
	if s.seating != nil {
		s.seating.stand(s.p, g)
	}
	s.order.sort(s.p, s.here, s.order.try)
}

// finish is the edge of a final.
func (s *search) finish(n *node, f int) edge {
	v := s.p.endValue(f, n.w)
	return edge{act: action{End, f}, lo: v, hi: v, kids: []kid{}, cost: v}
}

// attempt is the edge of try r.
func (s *search) attempt(n *node, r int) edge {
	p := s.p
	e := s.edge(n, action{Try, r})
	if known := s.nodes[s.keyAfter(n, e.act, 0)]; known != nil {
		chance := p.afterTry(n.w, r, s.w)
		e.add(chance, known.lo, known.hi)
		return e
	}
	if p.goal == Identify {
		return s.follow(n, e.act)
	}
	l := s.next
	l.copyFrom(s.here)
	l.fail(p, r, s.v)
	slot := len(p.asks) + r
	n.got[slot] = 1
	for _, c := range p.tries[r].on { // what it leaves over has one repair less
		if l.w[c] > 0 && !p.excludes {
			l.raise(p, int(c), p.knownCost(n.got, int(c))-s.v[c])
		}
	}
	n.got[slot] = 0
	v := s.leaf(l, moved(n.place, p.tries[r].place))
	e.add(1, v.lo, v.hi)
	return e
}

// put is the edge of ask q.
func (s *search) put(n *node, q int) edge {
	p, a := s.p, &s.p.asks[q]
	if p.goal == Identify {
		return s.follow(n, action{Ask, q})
	}
	e := s.edge(n, action{Ask, q})
	place := moved(n.place, a.place)
	for i, base := range a.base {
		if known := s.nodes[s.keyAfter(n, e.act, i)]; known != nil {
			e.add(a.chance(n.w, i), known.lo, known.hi)
			continue
		}
		if a.rouse != nil && a.rouse[i] {
			continue
		}
		l, scale := s.next, base
		if base > 0 {
			s.answer(l, a, i)
		} else {
			a.apply(n.w, i, s.w)
			l.load(p, s.w, n.got, s.v)
			scale = 1
		}
		if l.alive > 0 {
			v := s.leaf(l, place)
			e.add(scale, v.lo, v.hi)
		}
	}
	if a.rouse != nil {
		s.roused(n, q, &e)
	}
	return e
}

// roused adds to e the answers of q that some rule waits for. They are valued
// as states of their own, which moves the scratch figures and costs more.
func (s *search) roused(n *node, q int, e *edge) {
	p, a := s.p, &s.p.asks[q]
	place, w := moved(n.place, a.place), make([]float64, p.n)
	for i, rouse := range a.rouse {
		if !rouse || s.nodes[s.keyAfter(n, e.act, i)] != nil {
			continue
		}
		if chance := p.afterAnswer(n.w, n.got, q, i, w); chance > 0 {
			n.got[q] = int16(i)
			v := s.value(w, n.got, place)
			n.got[q] = open
			e.add(chance, v.lo, v.hi)
		}
	}
	s.stand(n.w, n.got)
}

// answer makes l the ledger after answer i to a, divided by the chance that
// the base row gives it, so that only the odd causes change.
func (s *search) answer(l *ledger, a *ask, i int) {
	l.copyFrom(s.here)
	cells, per := a.cells[i], 1/a.base[i]
	for o, c := range a.odd {
		if w := l.w[c]; w > 0 {
			l.set(s.p, int(c), float64(float64(w*cells[o])*per), s.v[c])
		}
	}
}

// follow is the edge of a whose kids are made at once.
func (s *search) follow(n *node, a action) edge {
	e := s.edge(n, a)
	s.open(n, &e)
	s.stand(n.w, n.got) // valuing the kids has moved the scratch figures
	e.lo = math.Inf(-1)
	e.update()
	return e
}

func (s *search) edge(n *node, a action) edge {
	cost, place := s.p.price(a)
	cost += s.p.walk(n.place, place)
	return edge{act: a, cost: cost, lo: cost, hi: cost}
}

// add counts an outcome of the given weight.
func (e *edge) add(weight, lo, hi float64) {
	e.lo += float64(weight * lo)
	e.hi += float64(weight * hi)
}

func (p *problem) price(a action) (cost float64, place int) {
	if a.kind == Try {
		return p.tries[a.index].cost, p.tries[a.index].place
	}
	return p.asks[a.index].cost, p.asks[a.index].place
}

// keyAfter is the key of the state after a in n, with the given answer.
func (s *search) keyAfter(n *node, a action, answer int) key {
	_, at := s.p.price(a)
	k := n.key.with(s.p.spot(n.place)).with(s.p.spot(moved(n.place, at)))
	if a.kind == Try {
		return k.with(s.p.saltTry[a.index])
	}
	return k.with(s.p.saltAsk[a.index][answer])
}

// open makes the kids of an edge that is followed for the first time.
func (s *search) open(n *node, e *edge) {
	p, i := s.p, e.act.index
	_, at := p.price(e.act)
	place := moved(n.place, at)
	e.kids = []kid{}
	w := make([]float64, p.n)
	if e.act.kind == Try {
		if chance := p.afterTry(n.w, i, w); chance > 0 {
			n.got[len(p.asks)+i] = 1
			e.kids = append(e.kids, kid{chance, s.add(w, n.got, s.keyAfter(n, e.act, 0), place)})
			n.got[len(p.asks)+i] = 0
		}
		return
	}
	for a := range p.asks[i].base {
		if chance := p.afterAnswer(n.w, n.got, i, a, w); chance > 0 {
			n.got[i] = int16(a)
			e.kids = append(e.kids, kid{chance, s.add(w, n.got, s.keyAfter(n, e.act, a), place)})
			n.got[i] = open
		}
	}
}

// add returns the node of a state, new or known. w sums to one; w and g are
// copied.
func (s *search) add(w []float64, g got, k key, place int) *node {
	if n := s.nodes[k]; n != nil {
		return n
	}
	n := &node{w: append([]float64(nil), w...), got: append(got(nil), g...), key: k, place: place}
	v := s.value(n.w, n.got, place)
	n.lo, n.hi, n.best = v.lo, v.hi, v.first
	n.doubt = n.hi - n.lo
	s.nodes[k] = n
	return n
}

// value bounds any state, rules obeyed.
func (s *search) value(w []float64, g got, place int) value {
	stop, must := s.p.demand(g)
	if stop >= 0 {
		v := s.p.endValue(stop, w)
		return value{v, v, action{End, stop}}
	}
	if must >= 0 {
		return s.mustAsk(w, g, place, must)
	}
	s.stand(w, g)
	v := s.leaf(s.here, place)
	if s.p.goal == Identify && !only(w) {
		s.split(w, g, place, &v)
		if len(s.p.tries)+len(s.p.ends) == 0 && !s.p.excludes {
			v.lo = math.Min(v.hi, math.Max(v.lo, s.p.codeCost(w, g)))
		}
	}
	return v
}

// mustAsk values a state in which a rule puts question q first.
func (s *search) mustAsk(w []float64, g got, place, q int) value {
	a := &s.p.asks[q]
	cost := a.cost + s.p.walk(place, a.place)
	v := value{cost, cost, action{Ask, q}}
	next := make([]float64, len(w))
	for i := range a.base {
		chance := s.p.afterAnswer(w, g, q, i, next)
		if chance == 0 {
			continue
		}
		g[q] = int16(i)
		k := s.value(next, g, moved(place, a.place))
		g[q] = open
		v.lo += chance * k.lo
		v.hi += chance * k.hi
	}
	return v
}
