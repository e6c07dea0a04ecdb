package diagnose

import "math"

// ledger holds weights over the causes together with every sum over them
// that valuing a state needs, so that a change to a few causes costs a few
// additions. Weights need not sum to one.
type ledger struct {
	w      []float64
	total  float64   // sum of w
	alive  int       // causes with weight
	known  float64   // cost if the cause were known: sum of w times v
	firm   float64   // weight that all tries together would leave
	cure   []float64 // per try: weight that it would cure; -Inf once tried
	relief []float64 // per try: the part of known that goes with it
	end    []float64 // per final: its cost, extras left
	miss   []float64 // per extra of all finals: cost of leaving it
}

// account is what one unit of a cause's weight adds to the sums.
type account struct {
	tries []use
	firm  float64   // chance that no try cures it
	ends  []float64 // per final
	miss  []slotted // extras that it needs
}

type slotted struct {
	slot int
	cost float64
}

func newLedger(p *problem) *ledger {
	n, t, f := p.n, len(p.tries), len(p.ends)
	slab := make([]float64, n+2*t+f+p.slots)
	cut := func(k int) []float64 {
		part := slab[:k:k]
		slab = slab[k:]
		return part
	}
	return &ledger{w: cut(n), cure: cut(t), relief: cut(t), end: cut(f), miss: cut(p.slots)}
}

func (l *ledger) copyFrom(o *ledger) {
	copy(l.w, o.w)
	copy(l.cure, o.cure)
	copy(l.relief, o.relief)
	copy(l.end, o.end)
	copy(l.miss, o.miss)
	l.total, l.alive, l.known, l.firm = o.total, o.alive, o.known, o.firm
}

// load fills the ledger from weights w in state g; v is the cost of each
// cause if it were known.
func (l *ledger) load(p *problem, w []float64, g got, v []float64) {
	clear(l.cure)
	clear(l.relief)
	clear(l.end)
	clear(l.miss)
	copy(l.w, w)
	l.total, l.alive, l.known, l.firm = 0, 0, 0, 0
	for c, x := range w {
		if x == 0 {
			continue
		}
		l.alive++
		l.post(p, c, x, v[c])
	}
	for r := range p.tries {
		if p.tried(g, r) {
			l.strike(r)
		}
	}
}

// strike takes a try off the list; whatever is posted later, it stays so.
func (l *ledger) strike(r int) { l.cure[r] = math.Inf(-1) }

// post adds weight x of cause c to the sums, but not to w.
func (l *ledger) post(p *problem, c int, x, v float64) {
	a := &p.account[c]
	l.total += x
	xv := float64(x * v)
	l.known += xv
	l.firm += float64(x * a.firm)
	for _, u := range a.tries {
		l.cure[u.try] += float64(x * u.fix)
		l.relief[u.try] += float64(xv * u.fix)
	}
	for f, cost := range a.ends {
		l.end[f] += float64(x * cost)
	}
	for _, m := range a.miss {
		l.miss[m.slot] += float64(x * m.cost)
	}
}

// set changes the weight of cause c to x.
func (l *ledger) set(p *problem, c int, x, v float64) {
	old := l.w[c]
	if old == x {
		return
	}
	if x == 0 {
		l.alive--
	}
	l.w[c] = x
	l.post(p, c, x-old, v)
}

// raise allows for v of cause c being dv more than when it was posted.
func (l *ledger) raise(p *problem, c int, dv float64) {
	x := float64(l.w[c] * dv)
	l.known += x
	for _, u := range p.account[c].tries {
		l.relief[u.try] += float64(x * u.fix)
	}
}

// fail takes out of the ledger what try r cures and strikes it.
func (l *ledger) fail(p *problem, r int, v []float64) {
	t := &p.tries[r]
	for i, c := range t.on {
		if x := l.w[c]; x > 0 {
			l.set(p, int(c), x-float64(x*t.fixes[i]), v[c])
		}
	}
	l.strike(r)
}

// stop is the cheapest final on what the ledger holds, +Inf and -1 if none.
func (l *ledger) stop(p *problem) (float64, int) {
	best, at, slot := math.Inf(1), -1, 0
	for f := range p.ends {
		v, take := l.end[f], p.ends[f].take
		miss := l.miss[slot : slot+len(take)]
		slot += len(take)
		for x := 0; x < len(miss) && v < best; x++ {
			if t := float64(take[x] * l.total); t < miss[x] {
				v += t
			} else {
				v += miss[x]
			}
		}
		if v < best && less(v, best) {
			best, at = v, f
		}
	}
	return best, at
}
