package diagnose

import "math"

// Proof bounds the cost from below at the state that it was made for and at
// every state that can follow. It parts the causes into clusters: whoever were
// told in which cluster the cause lies would need at least the sum of what the
// clusters need, each for its own weight, because the least cost is concave in
// the weights and grows with them in proportion (Smallwood and Sondik 1973).
// Plan uses it as Options.Proof. It is not safe for several goroutines.
type Proof struct {
	relaxed  *relaxed
	clusters []*cluster
	seats    []seat // per cause of the model
}

// seat is the place of a cause in a cluster.
type seat struct{ cluster, at int }

// ProofOptions bound the work of a proof.
type ProofOptions struct {
	Seats int // causes of a cluster, 1 to 6; 0 means 4
	Deep  int // failed repairs that are told apart, zero or more
}

// Prove prepares a lower bound for s and all states that can follow it; nil
// where it has nothing to say: with goal Identify, without finals, in a
// contradiction, and where a cluster has more than 30 repairs. It takes
// seconds for models of the size of the book's.
func (m *Model) Prove(s State, o ProofOptions) *Proof {
	b := m.Believe(s)
	if m.Goal == Identify || len(m.Finals) == 0 || b.None {
		return nil
	}
	if o.Seats <= 0 {
		o.Seats = 4
	}
	f := &Proof{relaxed: m.relax(s, b), seats: make([]seat, len(m.Causes))}
	for i, list := range f.relaxed.part(b.P, min(o.Seats, maxSeats)) {
		k := f.relaxed.cluster(list, o.Deep)
		if len(k.tries) > maxTries {
			return nil
		}
		for j, c := range list {
			f.seats[c] = seat{i, j}
		}
		k.work(newLattice(len(list)))
		f.clusters = append(f.clusters, k)
	}
	return f
}

// work works out the values of the cluster on a lattice.
func (k *cluster) work(grid *lattice) {
	k.grid = grid
	k.locateSteps()
	k.solve()
	k.afterAsk, k.afterTry = nil, nil
}

// cluster makes the cluster of some causes, not solved yet.
func (r *relaxed) cluster(causes []int, deep int) *cluster {
	k := &cluster{causes: causes, deep: deep}
	for _, t := range r.tries {
		fixes, useful := pickSeats(r.m.Repairs[t].Fixes, causes)
		if useful {
			k.tries = append(k.tries, crew{t, r.m.Repairs[t].Cost, fixes})
		}
	}
	for _, q := range r.asks {
		k.addProbe(r, q)
	}
	for i := range r.m.Finals {
		f := &r.m.Finals[i]
		cost, _ := pickSeats(f.Cost, causes)
		e := end{cost: cost}
		for _, x := range f.Extras {
			if miss, useful := pickSeats(x.Miss, causes); useful {
				e.take, e.miss = append(e.take, x.Take), append(e.miss, miss)
			}
		}
		k.ends = append(k.ends, e)
	}
	return k
}

func pickSeats(list []float64, causes []int) (picked []float64, useful bool) {
	for _, c := range causes {
		picked = append(picked, list[c])
		useful = useful || list[c] != 0
	}
	return picked, useful
}

// addProbe takes in question q if it tells causes of the cluster apart.
// Answers whose chances stand in proportion tell the same and become one.
func (k *cluster) addProbe(r *relaxed, q int) {
	p := probe{id: q, cost: r.m.Questions[q].Cost}
	rows := make([][]float64, len(k.causes))
	for i, c := range k.causes {
		rows[i] = r.row(q, c)
	}
	for a := range r.m.Questions[q].Answers {
		col := make([]float64, len(k.causes))
		for i := range rows {
			col[i] = rows[i][a]
		}
		p.addColumn(col)
	}
	if len(p.rows) > 1 {
		k.asks = append(k.asks, p)
	}
}

func (p *probe) addColumn(col []float64) {
	for _, old := range p.rows {
		if proportional(old, col) {
			for i, v := range col {
				old[i] += v
			}
			return
		}
	}
	p.rows = append(p.rows, col)
}

func proportional(a, b []float64) bool {
	for i := range a {
		for j := range i {
			if math.Abs(a[i]*b[j]-a[j]*b[i]) > 1e-15 {
				return false
			}
		}
	}
	return true
}
