package diagnose

import "math"

// seating is a proof as one search uses it.
type seating struct {
	proof *Proof
	state State
	seats [][]place   // per cause of the problem
	tries [][]int     // per cluster and its repair: the try, -1 if it is none
	done  []uint32    // per cluster: repairs that had failed at the root
	kappa []float64   // per cause: the part that no rule will take
	mass  [][]float64 // per cluster and seat: scratch
}

// place is a seat and the part, 0..1, of a cause of the problem that sits
// there: causes that the problem has joined may sit apart.
type place struct {
	seat
	part float64
}

// seat prepares the proof, which may be nil, for a problem seen from s with
// belief b.
func (f *Proof) seat(p *problem, s State, b Belief) *seating {
	if f == nil {
		return nil
	}
	t := &seating{proof: f, state: s, kappa: make([]float64, p.n)}
	for _, list := range p.member {
		t.seats = append(t.seats, f.places(list, b))
	}
	for _, k := range f.clusters {
		tries, done := make([]int, len(k.tries)), uint32(0)
		for i, r := range k.tries {
			tries[i] = p.localTry[r.id]
			if s.Trials[r.id] != Untried {
				done |= 1 << i
			}
		}
		t.tries, t.done = append(t.tries, tries), append(t.done, done)
		t.mass = append(t.mass, make([]float64, len(k.causes)))
	}
	return t
}

// places are the seats of causes that the problem has made one of.
func (f *Proof) places(causes []int, b Belief) []place {
	total := 0.0
	for _, c := range causes {
		total += b.P[c]
	}
	var list []place
	for _, c := range causes {
		list = append(list, place{f.seats[c], b.P[c] / total})
	}
	return list
}

// stand makes g the state that bounds are for: it works out what no rule will
// take.
func (t *seating) stand(p *problem, g got) {
	for c := range t.kappa {
		t.kappa[c] = 1
	}
	r := t.proof.relaxed
	if len(r.watched) == 0 {
		return
	}
	for q := range p.asks {
		if kept := r.kept[p.asks[q].id]; g[q] == open && kept != nil {
			for c := range t.kappa {
				t.kappa[c] *= kept[p.member[c][0]]
			}
		}
	}
	for _, w := range r.watched {
		if !t.threatens(p, g, w) {
			continue
		}
		for c := range t.kappa {
			if w.rule.takes(p.member[c][0]) {
				t.kappa[c] = 0
			}
		}
	}
}

// threatens reports whether the condition of w that leaves answers out is met
// while the rule may still come to hold.
func (t *seating) threatens(p *problem, g got, w watched) bool {
	for i := range w.rule.When {
		k := &w.rule.When[i]
		a := t.state.Answers[k.Question]
		if l := p.localAsk[k.Question]; l >= 0 {
			a = g[l]
		}
		met := contains(k.Answers, int(a))
		if !met && (a != open || k == w.key) {
			return false
		}
	}
	return true
}

// lower bounds the cost of what the ledger holds, times its total, in the
// state stood in.
func (t *seating) lower(l *ledger) float64 {
	for _, m := range t.mass {
		clear(m)
	}
	rest := 0.0
	for c, w := range l.w {
		if w > 0 {
			x := float64(w * t.kappa[c])
			rest += w - x
			for _, s := range t.seats[c] {
				t.mass[s.cluster][s.at] += float64(x * s.part)
			}
		}
	}
	sum := float64(rest * t.proof.relaxed.floor)
	for i, k := range t.proof.clusters {
		set := t.done[i]
		for r, try := range t.tries[i] {
			if try >= 0 && math.IsInf(l.cure[try], -1) {
				set |= 1 << r
			}
		}
		sum += k.lower(t.mass[i], set)
	}
	return sum - float64(roundOff*(math.Abs(sum)+l.total))
}

// roundOff is more than all rounding in a bound together, as a share of it.
const roundOff = 1e-9

// Bounds are proven lower bounds of one state, in minutes, from the plainest
// to the strongest.
type Bounds struct {
	Known    float64 // as if the cause were known
	Clusters float64 // as if only the cluster of the cause were known; at least Known
}

// Bounds gives the bounds of s without any search. s must be the state that
// f was made for or one that can follow it; without a proof, f nil, both are
// the same. They are zero where the case is over or a rule ends it.
func (m *Model) Bounds(s State, f *Proof) Bounds {
	b := m.Believe(s)
	if b.None || b.Stop >= 0 {
		return Bounds{}
	}
	p := newProblem(m, s, b)
	r := newSearch(p, 1, f.seat(p, s, b))
	r.stand(p.prior, p.start())
	out := Bounds{r.here.known, r.here.known}
	if r.seating != nil {
		out.Clusters = math.Max(out.Known, r.seating.lower(r.here))
	}
	return out
}
