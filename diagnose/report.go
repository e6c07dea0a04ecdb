package diagnose

import "sort"

// settle makes the upper bounds along the policy found exact: it follows the
// best steps down to the leaves, where the base policy takes over. Two paths
// of one policy never meet again, because they part by an answer, so nothing
// is counted twice.
func (s *search) settle(n *node) float64 {
	if n.edges == nil {
		return n.hi
	}
	e := n.chosen()
	if e == nil {
		return n.hi
	}
	if e.kids == nil {
		s.open(n, e)
	}
	e.hi = e.cost
	for _, k := range e.kids {
		e.hi += float64(k.chance * s.settle(k.node))
	}
	n.hi = e.hi
	return n.hi
}

// plan reads the result off a finished search.
func (r *run) plan() Plan {
	if r.search == nil {
		p := Plan{First: r.over, Expected: r.cost, Lower: r.cost, Exact: true}
		if r.over.Kind != Nothing {
			p.Choices = []Choice{{r.over, r.cost, r.cost}}
		}
		return p
	}
	s := r.search
	n := s.root
	p := Plan{Expected: n.hi, Lower: min(n.lo, n.hi), Exact: !less(n.lo, n.hi), States: s.states}
	for i := range n.edges {
		e := &n.edges[i]
		p.Choices = append(p.Choices, Choice{r.action(e.act), e.hi, e.lo})
	}
	sort.SliceStable(p.Choices, func(i, j int) bool { return less(p.Choices[i].Expected, p.Choices[j].Expected) })
	p.First = r.action(n.best)
	return p
}

// action names a step of the search by the model's indices.
func (r *run) action(a action) Action {
	p := r.search.p
	switch a.kind {
	case Try:
		return Action{Kind: Try, Index: p.tries[a.index].id}
	case Ask:
		return Action{Kind: Ask, Index: p.asks[a.index].id}
	case End:
		return Action{Kind: End, Index: a.index, Extras: r.m.extras(a.index, r.belief.P)}
	}
	return Action{Kind: Nothing}
}
