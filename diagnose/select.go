package diagnose

import "sort"

// sweep expands n and, for as many of its best steps as widths says, what may
// come of each, and so on down: all that are compared are then looked at
// equally deep, which a best-first search alone would not do.
func (s *search) sweep(n *node, widths []int) {
	if n.edges == nil {
		s.expand(n)
	}
	if len(widths) > 0 {
		for _, e := range n.leading(widths[0]) {
			if e.kids == nil {
				s.open(n, e)
			}
			for _, k := range e.kids {
				if s.states < s.budget && !k.node.solved() {
					s.sweep(k.node, widths[1:])
				}
			}
		}
	}
	n.update()
}

// widths is how wide and deep the sweep goes for the budget.
func (s *search) widths() []int {
	switch {
	case s.budget >= 2000:
		return []int{8, 4}
	case s.budget >= 8:
		return []int{min(8, s.budget/4)}
	}
	return nil
}

// leading lists the k edges with the least upper bounds that are not settled.
func (n *node) leading(k int) []*edge {
	var list []*edge
	for i := range n.edges {
		if e := &n.edges[i]; less(e.lo, e.hi) {
			list = append(list, e)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].hi < list[j].hi })
	return list[:min(k, len(list))]
}

// selectHopeful goes to where the lower bound can be raised: by the steps that
// may turn out cheapest, and the outcomes that are most in doubt.
func (s *search) selectHopeful() *node {
	s.trail = s.trail[:0]
	return s.descend(s.root, (*node).promising, (*edge).widest)
}

// selectLikely goes to where the policy found so far can be improved: by its
// own steps to the leaf that matters most.
func (s *search) selectLikely() *node {
	s.trail = s.trail[:0]
	return s.descend(s.root, (*node).chosen, (*edge).mostDoubtful)
}

// selectUnder is selectHopeful with the first step given.
func (s *search) selectUnder(e *edge) *node {
	s.trail = append(s.trail[:0], s.root)
	if e.kids == nil {
		s.open(s.root, e)
	}
	if k := e.widest(); k != nil {
		return s.descend(k, (*node).promising, (*edge).widest)
	}
	return s.root
}

// descend follows steps and outcomes from n to a state that is not expanded,
// or where the way ends, and keeps the trail.
func (s *search) descend(n *node, step func(*node) *edge, outcome func(*edge) *node) *node {
	s.trail = append(s.trail, n)
	for n.edges != nil {
		e := step(n)
		if e == nil {
			break
		}
		if e.kids == nil {
			s.open(n, e)
		}
		next := outcome(e)
		if next == nil {
			break
		}
		n = next
		s.trail = append(s.trail, n)
	}
	return n
}

// promising is the edge with the least lower bound, nil if that is a step put
// off.
func (n *node) promising() *edge {
	var best *edge
	for i := range n.edges {
		e := &n.edges[i]
		if !less(e.lo, e.hi) || !less(e.lo, n.hi) {
			continue
		}
		if best == nil || e.lo < best.lo || e.lo == best.lo && e.hi < best.hi {
			best = e
		}
	}
	if len(n.later) > 0 && (best == nil || n.laterLo < best.lo) {
		return nil
	}
	return best
}

// widest is the outcome that contributes most to the gap between the bounds.
func (e *edge) widest() *node {
	var best *node
	gap := 0.0
	for _, k := range e.kids {
		if k.node.solved() {
			continue
		}
		if g := k.chance * (k.node.hi - k.node.lo); best == nil || g > gap {
			best, gap = k.node, g
		}
	}
	return best
}

// mostDoubtful is the outcome below which the policy can change most.
func (e *edge) mostDoubtful() *node {
	var best *node
	top := 0.0
	for _, k := range e.kids {
		if d := k.chance * k.node.doubt; d > top {
			best, top = k.node, d
		}
	}
	return best
}
