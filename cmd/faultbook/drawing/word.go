package drawing

import (
	"slices"
	"sort"

	"faultbook/kb"
)

// wording turns a merged tree into texts of the book.
type wording struct {
	*drawer
	tree    *Tree
	number  int
	caution map[string]int // number in tree.Cautions
}

// tree words everything below t and counts the ends.
func (w *wording) words(t *twig) {
	w.tree.Root = w.node(t)
	w.tree.Steps = w.number
	w.tree.Root.Walk(func(n *Node) {
		switch {
		case n.Kind == Cut:
			w.tree.CutShare += n.Share
		case !n.isStep():
			w.tree.Kept += n.Share
		}
	})
}

func (w *wording) node(t *twig) *Node {
	n := &Node{Kind: t.kind, Share: t.share}
	switch t.kind {
	case Ask:
		w.ask(n, t)
	case Try:
		w.try(n, t)
	case Stop:
		w.stop(n, t)
	case Cut:
		w.cut(n, t)
	default:
		w.end(n, t)
	}
	return n
}

func (w *wording) step(n *Node) {
	w.number++
	n.Number = w.number
}

func (w *wording) ask(n *Node, t *twig) {
	w.step(n)
	q := w.compiled.Questions[t.action.Index]
	n.ID, n.Say, n.Minutes, n.Place = q.ID, question(q, w.set.Who), q.Minutes, q.Place
	groups := w.joined(t.groups)
	for i, x := range groups {
		b := Branch{}
		for _, a := range x.answers {
			b.On = append(b.On, q.Answers[a].Say)
		}
		b.Rest = len(b.On) > 2 && i == len(groups)-1
		b.To = w.node(x.to)
		n.Branches = append(n.Branches, b)
	}
}

// joined puts the small cuts of a question into one branch, after the others,
// with a tail that suits all of them together.
func (w *wording) joined(groups []group) []group {
	var list, small []group
	for _, x := range groups {
		if x.to.small() {
			small = append(small, x)
		} else {
			list = append(list, x)
		}
	}
	if len(small) == 0 {
		return list
	}
	rest := small[0]
	for _, x := range small[1:] {
		rest = group{append(slices.Clone(rest.answers), x.answers...), w.cutBoth(rest.to, x.to)}
	}
	slices.Sort(rest.answers)
	return append(list, rest)
}

// What may come of a remedy.
const (
	helps     = "it helps"
	doesNot   = "it does not help"
	cautionIf = 0.1  // chance from which the cautions of a cause are named
	showCause = 0.05 // chance from which a cause is named
	topCauses = 3    // causes named at a handover or cut at most
	topCured  = 2    // and where it is cured
)

func (w *wording) try(n *Node, t *twig) {
	w.step(n)
	r := w.compiled.Remedies[t.action.Index]
	n.ID, n.Say, n.Minutes, n.Place = r.ID, r.Title, r.Minutes, r.Place
	n.Parts = w.parts(r.Parts)
	n.Cautions = w.cautions(r.Cautions)
	cured := &Node{Kind: Cured}
	cured.Share, cured.Causes = sum(t.cured), w.causes(t.cured, topCured)
	n.Branches = []Branch{{On: []string{helps}, To: cured}}
	if t.next != nil {
		n.Branches = append(n.Branches, Branch{On: []string{doesNot}, To: w.node(t.next)})
	}
}

// end words a planned handover.
func (w *wording) end(n *Node, t *twig) {
	w.final(n, t.action.Index, t.action.Extras)
	n.Causes = w.causes(t.weight, topCauses)
	for _, c := range n.Causes {
		if e := kb.Get[kb.Cause](w.book, c.ID); e != nil && c.Chance >= cautionIf {
			n.Cautions = append(n.Cautions, w.cautions(e.Cautions)...)
		}
	}
	n.Cautions = unique(n.Cautions)
}

// cut words what to do without the program.
func (w *wording) cut(n *Node, t *twig) {
	for i, r := range t.tail.tries {
		e := w.compiled.Remedies[r]
		n.Tries = append(n.Tries, Attempt{e.ID, e.Title, t.tail.helped[i] / t.share, e.Minutes, w.cautions(e.Cautions)})
	}
	w.tree.Tailed += t.tail.cured()
	w.tree.Owned += w.owned(t.tail)
	w.final(n, t.tail.final, t.tail.extras)
	n.Causes = w.causes(t.weight, topCauses)
}

// final names a handover; the one for what the book does not know where there
// is none.
func (w *wording) final(n *Node, f int, extras []int) {
	h := w.fallback()
	if f >= 0 && f < len(w.compiled.Handovers) {
		h = w.compiled.Handovers[f]
		ids := []string{}
		for _, x := range extras {
			ids = append(ids, w.model.Finals[f].Extras[x].ID)
		}
		n.Parts = w.parts(ids)
	}
	n.ID, n.Say, n.Minutes = h.ID, h.Title, h.Minutes
}

func (w *wording) stop(n *Node, t *twig) {
	rule := w.compiled.Rules[t.rule]
	n.ID, n.Say = rule.ID, rule.Stop.Say
	n.Cautions = w.cautions([]string{rule.Stop.Caution})
	h := w.compiled.Handovers[t.action.Index]
	n.To, n.Minutes = h.Title, h.Minutes
}

// fallback is the handover for what the book does not know: the first visit.
func (w *wording) fallback() *kb.Handover {
	list := kb.All[kb.Handover](w.book)
	for _, h := range list {
		if h.Visit {
			return h
		}
	}
	if len(list) > 0 {
		return list[0]
	}
	return &kb.Handover{Head: kb.Head{ID: "visit", Title: "A visit"}}
}

// causes are the likeliest n under weights that need not sum to one.
func (w *wording) causes(weight []float64, n int) []Cause {
	total := sum(weight)
	if total <= 0 {
		return nil
	}
	chance := map[string]float64{}
	var ids []string
	for c, x := range weight {
		id := w.compiled.Hypotheses[c].Cause
		if _, ok := chance[id]; !ok {
			ids = append(ids, id)
		}
		chance[id] += x / total
	}
	sort.SliceStable(ids, func(i, j int) bool { return chance[ids[i]] > chance[ids[j]]+rounding })
	var list []Cause
	for _, id := range ids[:min(n, len(ids))] {
		if chance[id] >= showCause {
			list = append(list, Cause{id, w.causeTitle(id), chance[id]})
		}
	}
	return list
}

func (w *wording) causeTitle(id string) string {
	if e := kb.Get[kb.Cause](w.book, id); e != nil {
		return e.Title
	}
	return "Something else, not in the book"
}

func (w *wording) parts(ids []string) []string {
	var list []string
	for _, id := range ids {
		if p := kb.Get[kb.Part](w.book, id); p != nil {
			list = append(list, p.Title)
		}
	}
	return list
}

// cautions numbers the cautions in the order in which the tree names them.
func (w *wording) cautions(ids []string) []int {
	var list []int
	for _, id := range ids {
		e := kb.Get[kb.Caution](w.book, id)
		if e == nil {
			continue
		}
		if w.caution[id] == 0 {
			w.tree.Cautions = append(w.tree.Cautions, Caution{id, e.Title, e.Say, e.Defer})
			w.caution[id] = len(w.tree.Cautions)
		}
		list = append(list, w.caution[id])
	}
	return list
}

// dangers are the hazards of all safety rules by who takes over, in the order
// of the rules.
func (w *wording) dangers() []Danger {
	list := []Danger{}
	at := map[string]int{}
	for _, r := range kb.All[kb.Rule](w.book) {
		if r.Stop == nil {
			continue
		}
		name, to := r.Title, r.Stop.Handover
		if c := kb.Get[kb.Caution](w.book, r.Stop.Caution); c != nil {
			name = c.Title
		}
		if h := kb.Get[kb.Handover](w.book, to); h != nil {
			to = h.Title
		}
		i, ok := at[to]
		if !ok {
			i = len(list)
			at[to] = i
			list = append(list, Danger{To: to})
		}
		if !slices.Contains(list[i].If, name) {
			list[i].If = append(list[i].If, name)
		}
	}
	return list
}

func unique(list []int) []int {
	var out []int
	seen := map[int]bool{}
	for _, x := range list {
		if !seen[x] {
			seen[x] = true
			out = append(out, x)
		}
	}
	return out
}
