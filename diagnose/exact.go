package diagnose

import "math"

// Exact dynamic programming: where the states that can ever follow are few,
// every step of every one of them is followed to its end, each state once.
// All first steps then have their exact cost, not only the best.

// exactStates is how many states are few.
const exactStates = 2000

// stateBound is at least the number of states that can follow the root: each
// question open or answered, each repair untried or failed.
func (p *problem) stateBound() float64 {
	n := math.Exp2(float64(len(p.tries)))
	for i := range p.asks {
		n *= float64(len(p.asks[i].base) + 1)
	}
	return n
}

// solve makes the bounds of n and of all that follows meet.
func (s *search) solve(n *node) {
	if n.edges != nil || s.p.goal == Identify && only(n.w) {
		return
	}
	s.expand(n)
	if n.later != nil {
		s.widen(n)
	}
	for i := range n.edges {
		e := &n.edges[i]
		if e.kids == nil {
			s.open(n, e)
		}
		for _, k := range e.kids {
			s.solve(k.node)
		}
	}
	n.update()
}
