package diagnose

import "math"

// The base policy: try repairs in the order of chance over cost, stop at the
// prefix whose cheapest final makes the total least, ask nothing. Its cost is
// exact, so it is an upper bound at every leaf of the search. (Kadane and
// Simon 1977 for the order; the best cut is the call for service of Lín's
// paper of about 2015.)

// basis is what the base policy costs and how it begins.
type basis struct {
	cost  float64 // times the ledger's total; +Inf if it may not end
	first action
}

// queue is the tries of a ledger by the greatest chance over cost that they
// may have wherever the person stands. Weights only fall while tries fail, so
// what was once a limit stays one, and the list need not be sorted again.
type queue struct {
	try []int32
	top []float64 // the limit, by try
}

func newQueue(p *problem) *queue {
	q := &queue{try: make([]int32, len(p.tries)), top: make([]float64, len(p.tries))}
	for r := range q.try {
		q.try[r] = int32(r)
	}
	return q
}

// sort orders the queue for l, starting from the order of a similar ledger.
func (q *queue) sort(p *problem, l *ledger, from []int32) {
	q.try = q.try[:len(from)]
	free := p.perMinute[0]
	for i, r := range from {
		top := l.cure[r] * free[r]
		q.top[r] = top
		j := i
		for ; j > 0 && q.top[q.try[j-1]] < top; j-- {
			q.try[j] = q.try[j-1]
		}
		q.try[j] = r
	}
}

// next takes the try with the greatest chance over cost off the queue, the
// first of equals; -1 if none cures anything but rounding.
func (q *queue) next(p *problem, l *ledger, place int) int {
	best, at, floor := 0.0, -1, 1e-14*l.total
	per := p.perMinute[place+1]
	for i, r := range q.try {
		if q.top[r] < best {
			break
		}
		x := l.cure[r]
		if x <= floor {
			continue
		}
		if x *= per[r]; at < 0 || x > best*(1+tieRoom) || x >= best*(1-tieRoom) && r < q.try[at] {
			best, at = x, i
		}
	}
	if at < 0 {
		return -1
	}
	r := int(q.try[at])
	q.try = append(q.try[:at], q.try[at+1:]...)
	return r
}

// base values the base policy on the ledger, which it uses up; stop is the
// cheapest final f at once.
func (s *search) base(l *ledger, place int, stop float64, f int) basis {
	p, q := s.p, s.queue
	b := basis{stop, action{End, f}}
	if f < 0 {
		b.first = action{kind: Nothing}
	}
	q.sort(p, l, s.order.try)
	spent, begin, last := 0.0, -1, stop
	for l.alive > 0 {
		r := q.next(p, l, place)
		if r < 0 && len(p.ends) == 0 {
			r = p.recount(l, place)
		}
		if r < 0 || p.notWorth(l, r, place, last) {
			break
		}
		if begin < 0 {
			begin = r
		}
		spent += float64((p.tries[r].cost + p.walk(place, p.tries[r].place)) * l.total)
		place = moved(place, p.tries[r].place)
		l.fail(p, r, s.v)
		cost := spent
		if l.alive > 1 || l.alive == 1 && p.goal == Repair {
			last, _ = l.stop(p)
			cost += last
		}
		if less(cost, b.cost) {
			b.cost, b.first = cost, action{Try, begin}
		}
		if spent+l.known >= b.cost {
			break
		}
	}
	return b
}

// notWorth reports whether try r, the best by chance over cost, and those
// after it are unlikely to pay, each saving the average cost of the cheapest
// final, stop, for what it cures. Tries that cure D of the weight W at no more
// than r's rate cost at least (W - D/2) D over the rate, and D is at most what
// is not firm. Where finals cost the same whatever the cause this is exact.
func (p *problem) notWorth(l *ledger, r, place int, stop float64) bool {
	return len(p.ends) > 0 && p.goal == Repair &&
		float64(l.cure[r]*p.perMinute[place+1][r]*stop) < float64(l.total*(l.total+l.firm)/2)
}

// recount sums afresh where only tiny weights are left, and picks again.
func (p *problem) recount(l *ledger, place int) int {
	best, top := -1, 0.0
	for r, per := range p.perMinute[place+1] {
		if math.IsInf(l.cure[r], -1) {
			continue
		}
		l.cure[r] = 0
		t := &p.tries[r]
		for i, c := range t.on {
			l.cure[r] += float64(l.w[c] * t.fixes[i])
		}
		if x := l.cure[r] * per; l.cure[r] > 0 && (best < 0 || x > top) {
			best, top = r, x
		}
	}
	return best
}

// less is "cheaper" with room for rounding, so that ties stay ties.
func less(a, b float64) bool {
	if math.IsInf(b, 1) {
		return !math.IsInf(a, 1)
	}
	return a < b-tieRoom*(1+math.Abs(b))
}

// tieRoom is how far two values may be apart and still count as equal.
const tieRoom = 1e-12

func dot(a, b []float64) float64 {
	b = b[:len(a)]
	sum := 0.0
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}
