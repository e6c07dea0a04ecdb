package drawing

import (
	"fmt"
	"strings"

	"faultbook/diagnose"
)

// twig is a node of the tree while it is pruned. Twigs are not changed once
// made: a shorter tree is a new one that shares what stayed.
type twig struct {
	kind   Kind
	action diagnose.Action  // of a step or handover
	rule   int              // of a stop
	trials []diagnose.Trial // remedies tried on the way here
	share  float64
	weight []float64 // share of each cause here
	kids   []kid     // of a question: one for each answer that is possible
	next   *twig     // of a remedy that does not help; nil if it always does
	cured  []float64 // of a remedy: share of each cause that it cures
	tail   tail      // of a cut

	like   int     // equal for twigs that print alike but for the figures
	burden burden  // of what stands below the line that leads here
	chars  int     // of an end: the characters on that line
	groups []group // of the kids
	moves  []move  // see movesOf
	moved  bool    // moves have been worked out
}

// kid is what follows an answer of a question.
type kid struct {
	answer int
	to     *twig
}

// burden is what a part of the tree is good for and how much it takes to
// print.
type burden struct {
	kept float64 // share of calls that end as with the program
	good float64 // kept, and tailWorth times cured at cuts
	rows int     // printed lines, roughly
}

// plus adds up parts.
func (b burden) plus(o burden) burden {
	return burden{b.kept + o.kept, b.good + o.good, b.rows + o.rows}
}

// lineChars is how many characters go on a line of the card, roughly.
const lineChars = 62

// rowsFor is the lines that characters take.
func rowsFor(chars int) int { return 1 + chars/lineChars }

// tailWorth is what a call is worth that ends cured by the remedies at a cut,
// beside one that ends as with the program: they are tried without a question.
const tailWorth = 0.6

// smallCut is the share of all calls below which a cut has no line of its own
// but joins the others below its question.
const smallCut = 0.01

// twigOf makes a twig of everything below s.
func (g *grower) twigOf(s *spot) *twig {
	t := &twig{action: s.action, trials: s.state.Trials, share: s.share, weight: scaled(s.belief.P, s.share)}
	switch {
	case !s.known || s.cut:
		return g.cutOf(t)
	case s.lost:
		t.kind, t.action.Index = HandOver, -1
	case s.belief.Stop >= 0:
		t.kind, t.rule = Stop, g.stopRule(s.state)
	case s.action.Kind == diagnose.End:
		t.kind = HandOver
	case s.action.Kind == diagnose.Try:
		t.kind, t.cured = Try, make([]float64, len(t.weight))
		for c, w := range t.weight {
			t.cured[c] = float64(w * g.model.Repairs[s.action.Index].Fixes[c])
		}
		for _, k := range s.kids {
			t.next = g.twigOf(k)
		}
	default:
		t.kind = Ask
		for _, k := range s.kids {
			t.kids = append(t.kids, kid{k.answer, g.twigOf(k)})
		}
	}
	return g.finish(t)
}

// stopRule is the first safety rule that holds.
func (g *grower) stopRule(s diagnose.State) int {
	for i, r := range g.model.Rules {
		if r.Stop >= 0 && s.Holds(r.When) {
			return i
		}
	}
	return -1
}

// cutOf makes a cut in the place of t.
func (g *grower) cutOf(t *twig) *twig {
	return g.cutLike(t, g.tail(t.weight, t.trials))
}

// cutLike is cutOf with the remedies and handover of a given tail.
func (g *grower) cutLike(t *twig, like tail) *twig {
	return g.finish(&twig{kind: Cut, trials: t.trials, share: t.share, weight: t.weight, tail: g.follow(t.weight, like)})
}

// finish names and weighs a new twig. A question whose answers all print alike
// decides nothing any more: what follows it takes its place.
func (g *grower) finish(t *twig) *twig {
	switch t.kind {
	case Ask:
		t.groups = t.grouped()
		if len(t.groups) == 1 && t.groups[0].to.kind != Stop {
			return t.groups[0].to
		}
		t.burden = g.weighAsk(t)
	case Try:
		got := sum(t.cured)
		t.burden = burden{got, got, g.size.head(t) + rowsFor(2*causeChars)}
		if t.next != nil {
			t.burden = t.burden.plus(t.next.burden)
			t.burden.rows += rowsFor(len(doesNot) + t.next.chars)
		}
	case Cut:
		t.burden = burden{good: tailWorth * t.tail.cured()}
		t.chars = g.size.cut(t)
	default:
		t.burden = burden{t.share, t.share, 0}
		t.chars = g.size.end(t)
	}
	t.like = g.intern(t)
	return t
}

// weighAsk adds up the branches. The small cuts share a line.
func (g *grower) weighAsk(t *twig) burden {
	b := burden{rows: g.size.head(t)}
	rest := 0
	for _, x := range t.groups {
		b = b.plus(x.to.burden)
		if x.to.small() {
			rest = rowsFor(20 + x.to.chars)
		} else {
			b.rows += rowsFor(g.size.labels(t, x.answers) + x.to.chars)
		}
	}
	b.rows += rest
	return b
}

func (t *twig) small() bool { return t.kind == Cut && t.share < smallCut }

// intern gives twigs that print alike the same number.
func (g *grower) intern(t *twig) int {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %d %v %d %v %d %v", t.kind, t.action.Index, t.action.Extras, t.rule, t.tail.tries, t.tail.final, t.tail.extras)
	for _, k := range t.kids {
		fmt.Fprintf(&b, " %d:%d", k.answer, k.to.like)
	}
	if t.next != nil {
		fmt.Fprintf(&b, " %d", t.next.like)
	}
	if g.likes == nil {
		g.likes = map[string]int{}
	}
	id, ok := g.likes[b.String()]
	if !ok {
		id = len(g.likes) + 1
		g.likes[b.String()] = id
	}
	return id
}

// group is the answers of a question that lead to the same.
type group struct {
	answers []int
	to      *twig // all of them together
}

// grouped joins the answers that print alike, each where the first of its like
// stands.
func (t *twig) grouped() []group {
	var list []group
	at := map[int]int{}
	for _, k := range t.kids {
		if i, ok := at[k.to.like]; ok {
			list[i].answers = append(list[i].answers, k.answer)
			list[i].to = list[i].to.and(k.to)
			continue
		}
		at[k.to.like] = len(list)
		list = append(list, group{[]int{k.answer}, k.to})
	}
	return list
}

// and is the calls of two twigs that print alike, together.
func (t *twig) and(o *twig) *twig {
	u := t.fresh()
	u.share += o.share
	u.weight = added(t.weight, o.weight)
	u.cured = added(t.cured, o.cured)
	u.tail.helped = added(t.tail.helped, o.tail.helped)
	u.tail.left = added(t.tail.left, o.tail.left)
	u.burden.kept += o.burden.kept
	u.burden.good += o.burden.good
	u.kids = nil
	for i, k := range t.kids {
		u.kids = append(u.kids, kid{k.answer, k.to.and(o.kids[i].to)})
	}
	if t.next != nil {
		u.next = t.next.and(o.next)
	}
	u.groups = u.grouped()
	return u
}

// fresh is a copy to be changed; what was worked out for t is left out.
func (t *twig) fresh() *twig {
	u := *t
	u.groups, u.moves, u.moved = nil, nil, false
	return &u
}

func added(a, b []float64) []float64 {
	if a == nil {
		return nil
	}
	out := make([]float64, len(a))
	for i := range a {
		out[i] = a[i] + b[i]
	}
	return out
}
