package diagnose

import "math"

func (p *problem) addAsks(s State, list []int) {
	p.asks = make([]ask, len(list))
	for i, q := range list {
		src := &p.m.Questions[q]
		a := &p.asks[i]
		*a = ask{id: q, cost: src.Cost, place: p.at(src.Place), twin: -1}
		a.when, _ = p.live(src.When, s)
		p.pickBase(a, src)
		a.plain = nats(a.base)
		a.cells = make([][]float64, len(a.base))
		slab := make([]float64, (len(a.base)+1)*len(a.odd))
		for j := range a.cells {
			a.cells[j], slab = slab[:len(a.odd):len(a.odd)], slab[len(a.odd):]
		}
		a.inner = slab
		for o, c := range a.odd {
			row := src.Given[p.member[c][0]]
			for j, v := range row {
				a.cells[j][o] = v
			}
			a.inner[o] = nats(row)
		}
	}
}

// pickBase takes as base the row that most causes share, if one is shared by
// more than half (Boyer and Moore's vote); any row would do. Causes with
// another row are odd.
func (p *problem) pickBase(a *ask, src *Question) {
	votes := 0
	for c := range p.member {
		row := src.Given[p.member[c][0]]
		switch {
		case votes == 0:
			a.base, votes = row, 1
		case sameRow(row, a.base):
			votes++
		default:
			votes--
		}
	}
	for c := range p.member {
		if !sameRow(src.Given[p.member[c][0]], a.base) {
			a.odd = append(a.odd, int32(c))
		}
	}
}

func sameRow(a, b []float64) bool {
	if &a[0] == &b[0] {
		return true
	}
	for i, v := range a {
		if v != b[i] {
			return false
		}
	}
	return true
}

func (p *problem) addTries(list []int) {
	p.tries = make([]try, len(list))
	p.account = make([]account, p.n)
	for i, r := range list {
		src := &p.m.Repairs[r]
		t := try{id: r, cost: src.Cost, place: p.at(src.Place), twin: -1}
		for c := range p.member {
			if f := src.Fixes[p.member[c][0]]; f > 0 {
				t.on, t.fixes = append(t.on, int32(c)), append(t.fixes, f)
				p.account[c].tries = append(p.account[c].tries, use{int32(i), f})
			}
		}
		p.tries[i] = t
	}
	for c := range p.account {
		a := &p.account[c]
		p.sortUses(a.tries)
		a.firm = 1
		for _, u := range a.tries {
			a.firm *= 1 - u.fix
		}
	}
	p.perMinute = make([][]float64, len(p.m.Walk)+1)
	for place := range p.perMinute {
		p.perMinute[place] = make([]float64, len(list))
		for r := range p.tries {
			p.perMinute[place][r] = 1 / (p.tries[r].cost + p.walk(place-1, p.tries[r].place))
		}
	}
}

// sortUses orders by chance over cost, best first; insertion keeps ties in
// the order of the model.
func (p *problem) sortUses(list []use) {
	for i := 1; i < len(list); i++ {
		for j := i; j > 0 && list[j].fix*p.tries[list[j-1].try].cost > list[j-1].fix*p.tries[list[j].try].cost; j-- {
			list[j], list[j-1] = list[j-1], list[j]
		}
	}
}

func (p *problem) addEnds() {
	p.endCost = make([]float64, p.n)
	for c := range p.endCost {
		p.endCost[c] = math.Inf(1)
		p.account[c].ends = make([]float64, len(p.m.Finals))
	}
	p.ends = make([]end, len(p.m.Finals))
	for i := range p.m.Finals {
		src := &p.m.Finals[i]
		e := end{cost: p.pick(src.Cost)}
		for _, x := range src.Extras {
			e.take, e.miss = append(e.take, x.Take), append(e.miss, p.pick(x.Miss))
		}
		for c := range e.cost {
			p.addEnd(c, i, &e)
		}
		p.slots += len(e.take)
		p.ends[i] = e
	}
}

// addEnd enters final i into the account of cause c.
func (p *problem) addEnd(c, i int, e *end) {
	a, least := &p.account[c], e.cost[c]
	a.ends[i] = e.cost[c]
	for x, take := range e.take {
		miss := e.miss[x][c]
		if miss > 0 {
			a.miss = append(a.miss, slotted{p.slots + x, miss})
		}
		least += math.Min(take, miss)
	}
	p.endCost[c] = math.Min(p.endCost[c], least)
}

func (p *problem) pick(perCause []float64) []float64 {
	list := make([]float64, p.n)
	for c := range list {
		list[c] = perCause[p.member[c][0]]
	}
	return list
}
