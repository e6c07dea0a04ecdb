package diagnose

import "math"

// join keeps the causes with weight and, with goal Repair, makes one of those
// that no open question, repair, final or rule tells apart ("lumping"): the
// expected cost is the same and the search is smaller.
func (p *problem) join(b Belief, asks, tries []int) {
	byPrint := map[uint64][]int{}
	for c, w := range b.P {
		if w == 0 {
			continue
		}
		at := -1
		if p.goal == Repair {
			h := p.m.print(c, asks, tries)
			for _, l := range byPrint[h] {
				if p.m.alike(p.member[l][0], c, asks, tries) {
					at = l
					break
				}
			}
			if at < 0 {
				byPrint[h] = append(byPrint[h], len(p.member))
			}
		}
		if at < 0 {
			at = len(p.member)
			p.member = append(p.member, nil)
			p.prior = append(p.prior, 0)
		}
		p.member[at] = append(p.member[at], c)
		p.prior[at] += w
	}
	p.n = len(p.member)
}

// printed is how many questions count for a print; more only cost time.
const printed = 8

// print is a number that is equal for causes that are alike.
func (m *Model) print(c int, asks, tries []int) uint64 {
	h := uint64(14695981039346656037)
	mix := func(v float64) { h = (h ^ math.Float64bits(v)) * 1099511628211 }
	for _, q := range asks[:min(len(asks), printed)] {
		for _, v := range m.Questions[q].Given[c] {
			mix(v)
		}
	}
	for _, r := range tries {
		mix(m.Repairs[r].Fixes[c])
	}
	for i := range m.Finals {
		mix(m.Finals[i].Cost[c])
	}
	return h
}

func (m *Model) alike(c, d int, asks, tries []int) bool {
	for _, q := range asks {
		if g := m.Questions[q].Given; !sameRow(g[c], g[d]) {
			return false
		}
	}
	for _, r := range tries {
		if f := m.Repairs[r].Fixes; f[c] != f[d] {
			return false
		}
	}
	for i := range m.Finals {
		f := &m.Finals[i]
		if f.Cost[c] != f.Cost[d] {
			return false
		}
		for _, x := range f.Extras {
			if x.Miss[c] != x.Miss[d] {
				return false
			}
		}
	}
	return m.sameRules(c, d)
}

func (m *Model) sameRules(c, d int) bool {
	for i := range m.Rules {
		r := &m.Rules[i]
		if contains(r.Exclude, c) != contains(r.Exclude, d) || contains(r.Only, c) != contains(r.Only, d) {
			return false
		}
	}
	return true
}

func contains(list []int, v int) bool {
	for _, x := range list {
		if x == v {
			return true
		}
	}
	return false
}

// markTwins finds steps that are the same in all but name, so that the search
// takes them in the order of the model only.
func (p *problem) markTwins() {
	for i := range p.tries {
		for j := i - 1; j >= 0; j-- {
			if sameTry(&p.tries[i], &p.tries[j]) {
				p.tries[i].twin = j
				break
			}
		}
	}
	for i := range p.asks {
		for j := i - 1; j >= 0; j-- {
			if sameAsk(&p.asks[i], &p.asks[j]) {
				p.asks[i].twin = j
				break
			}
		}
	}
}

func sameTry(a, b *try) bool {
	if a.cost != b.cost || a.place != b.place || len(a.on) != len(b.on) {
		return false
	}
	for i := range a.on {
		if a.on[i] != b.on[i] || a.fixes[i] != b.fixes[i] {
			return false
		}
	}
	return true
}

func sameAsk(a, b *ask) bool {
	if a.cost != b.cost || a.place != b.place || a.watch || b.watch || len(a.when)+len(b.when) > 0 ||
		len(a.odd) != len(b.odd) || len(a.base) != len(b.base) || !sameRow(a.base, b.base) {
		return false
	}
	for o, c := range a.odd {
		if c != b.odd[o] {
			return false
		}
		for i := range a.cells {
			if a.cells[i][o] != b.cells[i][o] {
				return false
			}
		}
	}
	return true
}

// salt gives every answer, try and place its part of a key: splitmix64 over a
// running number, the same on every machine (Zobrist's hashing of positions).
func (p *problem) salt() {
	seed := uint64(0)
	draw := func() uint64 {
		seed += 0x9e3779b97f4a7c15
		z := seed
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		return z ^ z>>31
	}
	for i := range p.asks {
		list := make([]key, len(p.asks[i].base))
		for a := range list {
			list[a] = key{draw(), draw()}
		}
		p.saltAsk = append(p.saltAsk, list)
	}
	for range p.tries {
		p.saltTry = append(p.saltTry, key{draw(), draw()})
	}
	for range len(p.m.Walk) + 1 {
		p.saltSpot = append(p.saltSpot, key{draw(), draw()})
	}
}

func (p *problem) spot(place int) key {
	return p.saltSpot[p.at(place)+1]
}
