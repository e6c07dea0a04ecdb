package diagnose

import "math"

// problem is a model as the search wants it, seen from one state: only causes
// with weight, only steps that are still possible, causes that nothing can
// tell apart joined into one, answers stored by column.
type problem struct {
	m      *Model
	goal   Goal
	n      int       // live causes after joining
	member [][]int   // model causes behind each live cause
	prior  []float64 // belief at the root, sums to one
	place  int

	asks  []ask
	tries []try
	ends  []end
	rules []liveRule

	account   []account   // per cause; its tries are in order of chance per minute
	slots     int         // extras of all finals
	endCost   []float64   // per cause: the cheapest final if the cause were known, +Inf if none
	perMinute [][]float64 // [place+1][try]: one over its cost with the walk
	localAsk  []int       // model question -> ask, -1 if it cannot be asked
	localTry  []int       // model repair -> try, -1
	saltAsk   [][]key     // per ask and answer
	saltTry   []key       // per try
	saltSpot  []key       // per place, the last for -1
	excludes  bool        // some rule may still exclude causes
	taken     []float64   // scratch of discount
}

// ask is a question that can still be asked.
type ask struct {
	id    int // model question
	cost  float64
	place int
	base  []float64   // per answer: chance for the causes that are not in odd
	odd   []int32     // causes with another row than base
	cells [][]float64 // [answer][place in odd]: their chances
	inner []float64   // per cause of odd: minus the entropy of its row, in nats
	plain float64     // the same of base
	when  []liveCondition
	twin  int    // an ask before this one that is the same in all but name, or -1
	watch bool   // rules look at it or put it, or its answer opens a question
	rouse []bool // per answer: some rule may hold because of it; nil if none looks
}

// try is a repair that can still be tried.
type try struct {
	id    int // model repair
	cost  float64
	place int
	on    []int32   // causes it may cure
	fixes []float64 // chance for each of them
	twin  int
}

type use struct {
	try int32
	fix float64
}

// end is a final action; take is the cost of taking each of its extras along.
type end struct {
	cost []float64
	take []float64
	miss [][]float64
}

type liveCondition struct {
	ask   int
	yes   []bool    // per answer
	share []float64 // per cause: chance of such an answer; only for rules that exclude
}

type liveRule struct {
	when []liveCondition
	keep []bool // per cause; nil if the rule excludes nothing
	ask  []int
	stop int
}

// key identifies a state of the search; 128 bits, so that two states do not
// share one by accident.
type key [2]uint64

func (k key) with(o key) key { return key{k[0] ^ o[0], k[1] ^ o[1]} }

// got is what has happened since the root: per ask the answer or open, and
// after those per try 1 if it failed.
type got []int16

const open = int16(-1)

func (p *problem) start() got {
	g := make(got, len(p.asks)+len(p.tries))
	for i := range p.asks {
		g[i] = open
	}
	return g
}

func (p *problem) tried(g got, r int) bool { return g[len(p.asks)+r] != 0 }

// newProblem compiles m as seen from s with belief b.
func newProblem(m *Model, s State, b Belief) *problem {
	p := &problem{m: m, goal: m.Goal}
	p.place = p.at(s.Place)
	asks, tries := m.openAsks(s, b), m.openTries(s, b)
	p.join(b, asks, tries)
	p.localAsk, p.localTry = fill(len(m.Questions), -1), fill(len(m.Repairs), -1)
	for i, q := range asks {
		p.localAsk[q] = i
	}
	for i, r := range tries {
		p.localTry[r] = i
	}
	p.addAsks(s, asks)
	p.addTries(tries)
	p.addEnds()
	p.addRules(s)
	p.markTwins()
	p.salt()
	return p
}

func fill(n, v int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = v
	}
	return list
}

// openAsks lists the questions that can be asked now or after other answers.
func (m *Model) openAsks(s State, b Belief) []int {
	can := make([]bool, len(m.Questions))
	for q := range m.Questions {
		can[q] = s.Answers[q] == Open && !m.Questions[q].Silent
	}
	for changed := true; changed; {
		changed = false
		for q := range m.Questions {
			if can[q] && !m.reachable(q, s, can) {
				can[q], changed = false, true
			}
		}
	}
	needed := m.openers(s, can)
	var list []int
	for q := range m.Questions {
		if can[q] && (needed[q] || m.walksMatter(m.Questions[q].Place) || m.tells(q, b)) {
			list = append(list, q)
		}
	}
	return list
}

// reachable reports whether every condition of q holds or may come to hold.
func (m *Model) reachable(q int, s State, can []bool) bool {
	for _, k := range m.Questions[q].When {
		if !s.meets(k) && !can[k.Question] {
			return m.forced(q, s)
		}
	}
	return true
}

// forced reports whether a rule may put question q in spite of its conditions.
func (m *Model) forced(q int, s State) bool {
	for i := range m.Rules {
		for _, a := range m.Rules[i].Ask {
			if a == q {
				return true
			}
		}
	}
	return false
}

// openers marks questions whose answers open others or decide rules.
func (m *Model) openers(s State, can []bool) []bool {
	needed := make([]bool, len(m.Questions))
	note := func(list []Condition) {
		for _, k := range list {
			if s.Answers[k.Question] == Open {
				needed[k.Question] = true
			}
		}
	}
	for q := range m.Questions {
		if can[q] {
			note(m.Questions[q].When)
		}
	}
	for i := range m.Rules {
		note(m.Rules[i].When)
		for _, q := range m.Rules[i].Ask {
			needed[q] = true
		}
	}
	return needed
}

// walksMatter reports whether going to place can shorten a later walk, which
// is so only where walks break the rule that a detour is never shorter.
func (m *Model) walksMatter(place int) bool {
	if place < 0 || m.Walk == nil {
		return false
	}
	for a := range m.Walk {
		for b := range m.Walk {
			if m.Walk[a][place]+m.Walk[place][b] < m.Walk[a][b] {
				return true
			}
		}
	}
	return false
}

// tells reports whether question q tells live causes apart at all.
func (m *Model) tells(q int, b Belief) bool {
	var first []float64
	for c, row := range m.Questions[q].Given {
		if b.P[c] == 0 {
			continue
		}
		if first == nil {
			first = row
			continue
		}
		for a := range row {
			if row[a] != first[a] {
				return true
			}
		}
	}
	return false
}

// openTries lists the repairs that are untried and may cure a live cause.
func (m *Model) openTries(s State, b Belief) []int {
	var list []int
	for r := range m.Repairs {
		if s.Trials[r] != Untried {
			continue
		}
		useful := m.walksMatter(m.Repairs[r].Place)
		for c, f := range m.Repairs[r].Fixes {
			useful = useful || f > 0 && b.P[c] > 0
		}
		if useful {
			list = append(list, r)
		}
	}
	return list
}

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

func (p *problem) addRules(s State) {
	for i := range p.m.Rules {
		src := &p.m.Rules[i]
		when, possible := p.live(src.When, s)
		if !possible {
			continue
		}
		r := liveRule{when: when, stop: src.Stop}
		for _, q := range src.Ask {
			if l := p.localAsk[q]; l >= 0 {
				p.asks[l].watch = true
				r.ask = append(r.ask, l)
			}
		}
		if len(when) > 0 && (src.Exclude != nil || src.Only != nil) {
			r.keep = p.keep(src)
			for j := range when {
				when[j].share = p.share(&when[j])
			}
			p.excludes, p.taken = true, make([]float64, p.n)
		}
		for _, k := range when {
			p.asks[k.ask].rousedBy(k.yes)
		}
		p.rules = append(p.rules, r)
	}
	for i := range p.asks {
		for _, k := range p.asks[i].when {
			p.asks[k.ask].watch = true
		}
	}
}

// rousedBy notes the answers that a rule waits for.
func (a *ask) rousedBy(yes []bool) {
	a.watch = true
	if a.rouse == nil {
		a.rouse = make([]bool, len(yes))
	}
	for i, y := range yes {
		a.rouse[i] = a.rouse[i] || y
	}
}

func (p *problem) keep(r *Rule) []bool {
	all := make([]bool, len(p.m.Causes))
	for c := range all {
		all[c] = r.Only == nil
	}
	for _, c := range r.Only {
		all[c] = true
	}
	for _, c := range r.Exclude {
		all[c] = false
	}
	keep := make([]bool, p.n)
	for c := range keep {
		keep[c] = all[p.member[c][0]]
	}
	return keep
}

// share is the chance, per cause, of an answer that meets k.
func (p *problem) share(k *liveCondition) []float64 {
	list := make([]float64, p.n)
	given := p.m.Questions[p.asks[k.ask].id].Given
	for c := range list {
		for a, v := range given[p.member[c][0]] {
			if k.yes[a] {
				list[c] += v
			}
		}
	}
	return list
}

// live keeps the conditions that are still open; false if one cannot hold.
func (p *problem) live(list []Condition, s State) ([]liveCondition, bool) {
	var out []liveCondition
	for _, k := range list {
		if s.meets(k) {
			continue
		}
		l := p.localAsk[k.Question]
		if l < 0 {
			return []liveCondition{{ask: -1}}, false
		}
		yes := make([]bool, len(p.m.Questions[k.Question].Answers))
		for _, a := range k.Answers {
			yes[a] = true
		}
		out = append(out, liveCondition{ask: l, yes: yes})
	}
	return out, true
}

// holds reports whether all conditions are met in g.
func (g got) holds(list []liveCondition) bool {
	for _, k := range list {
		if k.ask < 0 || g[k.ask] < 0 || !k.yes[g[k.ask]] {
			return false
		}
	}
	return true
}

// demand returns the final that a rule leaves alone in g, or -1, and the
// question that a rule puts before anything else, or -1.
func (p *problem) demand(g got) (stop, ask int) {
	stop, ask = -1, -1
	for i := range p.rules {
		r := &p.rules[i]
		if r.stop < 0 && len(r.ask) == 0 || !g.holds(r.when) {
			continue
		}
		if r.stop >= 0 && stop < 0 {
			stop = r.stop
		}
		for _, q := range r.ask {
			if ask < 0 && g[q] == open {
				ask = q
			}
		}
	}
	return stop, ask
}

// may reports whether ask q can be put in g (rules aside).
func (p *problem) may(g got, q int) bool {
	a := &p.asks[q]
	return g[q] == open && (a.twin < 0 || g[a.twin] != open) && g.holds(a.when)
}

// mayTry reports whether try r is left in g.
func (p *problem) mayTry(g got, r int) bool {
	t := &p.tries[r]
	return !p.tried(g, r) && (t.twin < 0 || p.tried(g, t.twin))
}

// walk is the minutes from place a to the place of a step; -1 is anywhere.
func (p *problem) walk(from, to int) float64 {
	if p.m.Walk == nil || from < 0 || to < 0 {
		return 0
	}
	return p.m.Walk[from][to]
}

// at is a place as the search sees it: all the same where nobody walks.
func (p *problem) at(place int) int {
	if p.m.Walk == nil {
		return -1
	}
	return place
}

func moved(from, to int) int {
	if to < 0 {
		return from
	}
	return to
}
