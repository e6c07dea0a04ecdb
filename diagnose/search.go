package diagnose

import "math"

// search is a best-first AND/OR search over the states that can follow the
// root. A node is a state (OR: a step is chosen); an edge is a step; its kids
// are what may come of it (AND: each has its chance). Every node carries a
// proven lower bound and the exact cost of a policy as upper bound. States
// that are reached in several ways are shared.
type search struct {
	p      *problem
	root   *node
	nodes  map[key]*node
	budget int
	states int     // expanded so far
	trail  []*node // from the root to the state in hand

	// scratch, all for the state last stood in
	v            []float64 // cost per cause if it were known
	w            []float64
	leastAsk     float64 // cost of the cheapest question left
	here, next   *ledger
	queue, order *queue
	seating      *seating // a stronger bound; nil for none
}

type node struct {
	w       []float64 // belief, sums to one
	got     got
	key     key
	place   int
	lo, hi  float64
	best    action   // first step of the policy that costs hi
	edges   []edge   // nil until expanded
	later   []action // steps put off: they look unpromising
	laterLo float64  // no policy that begins with one of those costs less
	doubt   float64  // the most that one leaf of the policy below may matter
}

type edge struct {
	act    action
	cost   float64 // minutes of the step with its walk
	lo, hi float64
	kids   []kid // nil until the edge is followed
}

// kid is one outcome: its chance and the state it leads to. Outcomes that end
// the case are left out.
type kid struct {
	chance float64
	node   *node
}

func newSearch(p *problem, budget int, t *seating) *search {
	s := &search{p: p, nodes: map[key]*node{}, budget: budget, seating: t,
		queue: newQueue(p), order: newQueue(p), here: newLedger(p), next: newLedger(p)}
	s.v, s.w = make([]float64, p.n), make([]float64, p.n)
	s.root = s.add(p.prior, p.start(), p.spot(p.place), p.place)
	return s
}

// loop is the whole search. Few states are all followed to their end. Else it
// looks at the first steps, compares the best of them one or two steps deeper,
// and then goes down to one state after another, by turns where the policy
// found can be improved and where the bound can be raised, expands it and
// brings the new bounds up; until the bounds meet and ties are settled, or the
// budget is used.
func (s *search) loop() {
	if s.p.stateBound() <= float64(min(s.budget, exactStates)) {
		s.solve(s.root)
		return
	}
	s.sweep(s.root, s.widths())
	for turn := 0; s.states < s.budget; turn++ {
		n := s.root
		switch rival := s.rival(); {
		case rival != nil:
			n = s.selectUnder(rival)
		case n.solved():
			return
		case turn%s.p.patience() == 0 || n.doubt == 0:
			n = s.selectHopeful()
		default:
			n = s.selectLikely()
		}
		s.expand(n)
		s.backUp()
	}
}

// patience is how many turns improve the policy for one that raises the lower
// bound. Where there is much to choose from the bounds will not meet, and a
// better policy is worth more than a better proof.
func (p *problem) patience() int {
	if len(p.asks)+len(p.tries) > fewSteps {
		return 8
	}
	return 2
}

// solved reports whether the node's bounds have met.
func (n *node) solved() bool {
	return n.hi == n.lo || n.edges != nil && !less(n.lo, n.hi)
}

// rival is a first step that the rule for ties would put before the best, as
// long as it may still turn out as good; nil if the bounds have not met or
// there is none.
func (s *search) rival() *edge {
	n := s.root
	if !n.solved() {
		return nil
	}
	for i := range n.edges {
		e := &n.edges[i]
		if e.act.before(n.best) && less(e.lo, e.hi) && !less(n.hi, e.lo) {
			return e
		}
	}
	return nil
}

// before is the rule for ties: repairs, then questions, then finals, and the
// one named first.
func (a action) before(b action) bool {
	if a.kind != b.kind {
		return a.kind == Try || a.kind == Ask && b.kind == End
	}
	return a.index < b.index
}

// backUp recomputes the nodes of the trail from the deepest up.
func (s *search) backUp() {
	for i := len(s.trail) - 1; i >= 0; i-- {
		s.trail[i].update()
	}
}

// update brings up the bounds of what is below n.
func (n *node) update() {
	if n.edges == nil {
		return
	}
	lo, hi := math.Inf(1), math.Inf(1)
	if len(n.later) > 0 {
		lo = n.laterLo
	}
	for i := range n.edges {
		e := &n.edges[i]
		e.update()
		lo = math.Min(lo, e.lo)
		if less(e.hi, hi) || !less(hi, e.hi) && e.act.before(n.best) {
			hi, n.best = math.Min(e.hi, hi), e.act
		}
	}
	n.hi = hi
	n.lo = math.Min(math.Max(n.lo, lo), hi)
	n.doubt = 0
	if e := n.chosen(); e != nil {
		n.doubt = e.doubt()
	}
}

// update brings up the bounds of what the edge leads to.
func (e *edge) update() {
	if e.kids == nil {
		return
	}
	lo, hi := e.cost, e.cost
	for _, k := range e.kids {
		lo += float64(k.chance * k.node.lo)
		hi += float64(k.chance * k.node.hi)
	}
	e.lo, e.hi = math.Max(e.lo, lo), hi
}

// doubt is the most that one state below e, not expanded yet, may change its
// upper bound.
func (e *edge) doubt() float64 {
	if e.kids == nil {
		return e.hi - e.lo
	}
	most := 0.0
	for _, k := range e.kids {
		most = math.Max(most, k.chance*k.node.doubt)
	}
	return most
}

// chosen is the edge of the policy found; nil where no step leads anywhere.
func (n *node) chosen() *edge {
	for i := range n.edges {
		if n.edges[i].act == n.best {
			return &n.edges[i]
		}
	}
	return nil
}
