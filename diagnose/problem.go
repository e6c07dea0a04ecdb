package diagnose

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
