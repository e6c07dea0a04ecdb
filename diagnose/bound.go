package diagnose

import "math"

// value is what is known of a state without expanding it.
type value struct {
	lo, hi float64
	first  action // first step of the policy that costs hi
}

// knownCosts fills v with the least cost for each cause if it were known
// (Vomlelová and Vomlel's bound).
func (p *problem) knownCosts(g got, v []float64) {
	for c := range v {
		v[c] = p.knownCost(g, c)
	}
	if p.excludes {
		p.discount(g, v)
	}
}

// knownCost is the least cost if the cause were c: its repairs that are left
// in g by chance over cost, then its cheapest final; walks are left out.
func (p *problem) knownCost(g got, c int) float64 {
	best := p.endCost[c]
	if p.goal == Identify {
		return math.Min(0, best)
	}
	list := p.account[c].tries
	for i := len(list) - 1; i >= 0; i-- {
		u := list[i]
		if p.tried(g, int(u.try)) {
			continue
		}
		left := 0.0
		if u.fix < 1 {
			left = float64((1 - u.fix) * best)
		}
		best = math.Min(best, p.tries[u.try].cost+left)
	}
	if math.IsInf(best, 1) { // nothing ends it any more, so it has no weight
		return 0
	}
	return best
}

// discount allows for rules that may still take a cause's weight and give it
// to others: of the weight of cause c at most the chance, under c, that some
// rule against it comes to hold, and that weight then costs at least what the
// cheapest cause costs.
func (p *problem) discount(g got, v []float64) {
	least := math.Inf(1)
	for c, x := range v {
		least = math.Min(least, x)
		p.taken[c] = 0
	}
	for i := range p.rules {
		r := &p.rules[i]
		for c, keep := range r.keep {
			if !keep {
				p.taken[c] += r.chance(g, c)
			}
		}
	}
	for c, share := range p.taken {
		v[c] -= float64(math.Min(1, share) * (v[c] - least))
	}
}

// chance is how likely r comes to hold in g if all that it looks at is asked
// and the cause is c.
func (r *liveRule) chance(g got, c int) float64 {
	p := 1.0
	for i := range r.when {
		k := &r.when[i]
		switch a := g[k.ask]; {
		case a == open:
			p *= k.share[c]
		case !k.yes[a]:
			return 0
		}
	}
	return p
}

// leaf bounds what the ledger holds in a state without rules to obey, times
// the ledger's total: from above by the base policy, from below by perfect
// information after one step. It uses the ledger up.
func (s *search) leaf(l *ledger, place int) value {
	if l.alive == 0 || l.alive == 1 && s.p.goal == Identify {
		return value{first: action{kind: Nothing}}
	}
	stop, f := l.stop(s.p)
	lo := s.lower(l, stop)
	b := s.base(l, place, stop, f)
	return value{lo: math.Min(lo, b.cost), hi: b.cost, first: b.first}
}

// lower is the bound from below: either the case ends now at the price of
// stop, or some step is paid for first and then the cause is as good as known.
func (s *search) lower(l *ledger, stop float64) float64 {
	lo := math.Min(stop, float64(s.leastAsk*l.total)+l.known)
	for r, cure := range l.cure {
		if cure <= 0 {
			continue
		}
		if x := float64(s.p.tries[r].cost*l.total) + l.known - l.relief[r]; x < lo {
			lo = x
		}
	}
	lo = math.Max(l.known, lo)
	if s.seating != nil {
		lo = math.Max(lo, s.seating.lower(l))
	}
	return lo
}

// cheapestAsk is the cost of the cheapest question left in g, +Inf if none.
func (p *problem) cheapestAsk(g got) float64 {
	least := math.Inf(1)
	for q := range p.asks {
		if g[q] == open {
			least = math.Min(least, p.asks[q].cost)
		}
	}
	return least
}
