package drawing

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"faultbook/diagnose"
	"faultbook/kb"
)

// builtinTrees calls visit with the card of each symptom for each person, or
// of a few in a short run.
func builtinTrees(t *testing.T, visit func(*testing.T, *kb.Book, Setting, *Tree)) {
	b, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	symptoms := b.IDs(kb.KindSymptom)
	if testing.Short() {
		symptoms = []string{"F-01", "F-12", "F-18"}
	}
	for _, who := range []kb.Who{kb.WhoCaller, kb.WhoTechnician} {
		for _, id := range symptoms {
			t.Run(fmt.Sprintf("%s %s", id, who), func(t *testing.T) {
				t.Parallel()
				set := Setting{Symptom: id, Who: who, Cover: 0.8, OnePage: true}
				visit(t, b, set, build(t, b, set))
			})
		}
	}
}

// TestBuiltin: every symptom of the book comes out in every format, whole.
func TestBuiltin(t *testing.T) {
	builtinTrees(t, func(t *testing.T, b *kb.Book, set Setting, tree *Tree) {
		checkShares(t, tree)
		checkNumbers(t, tree)
		if h := tree.Card().height(); h > pageHeight {
			t.Errorf("the card is %.0f points high, a page holds %.0f", h, pageHeight)
		}
		if short := tree.Kept < 0.8-rounding; short != (tree.Limit != "") {
			t.Errorf("keeps %v, limit %q", tree.Kept, tree.Limit)
		}
		for _, f := range formats() {
			text := drawn(t, tree, f)
			if len(text) < 500 {
				t.Errorf("%s: %d bytes", f.suffix, len(text))
			}
			if f.suffix == ".svg" || f.suffix == ".html" {
				if err := wellFormed(text); err != nil {
					t.Errorf("%s: %v", f.suffix, err)
				}
			}
		}
	})
}

// checkShares holds that every call is accounted for: at each step, and over
// all ends.
func checkShares(t *testing.T, tree *Tree) {
	t.Helper()
	kept, cut := 0.0, 0.0
	tree.Root.Walk(func(n *Node) {
		below := 0.0
		for _, b := range n.Branches {
			below += b.To.Share
		}
		switch {
		case n.isStep() && math.Abs(below-n.Share) > 1e-9:
			t.Errorf("step %d: %v come, %v go on", n.Number, n.Share, below)
		case n.Kind == Cut:
			cut += n.Share
		case !n.isStep():
			kept += n.Share
		}
	})
	if math.Abs(kept+cut-1) > 1e-9 || math.Abs(kept-tree.Kept) > 1e-9 || math.Abs(cut-tree.CutShare) > 1e-9 {
		t.Errorf("ends: %v kept, %v cut; said: %v, %v", kept, cut, tree.Kept, tree.CutShare)
	}
	if tree.Tailed < 0 || tree.Owned < 0 || tree.Tailed+tree.Owned > cut+1e-9 {
		t.Errorf("%v cured and %v rightly handed over at cuts of %v", tree.Tailed, tree.Owned, cut)
	}
}

// checkNumbers holds that steps are numbered in reading order and that all
// cautions that are referred to stand there.
func checkNumbers(t *testing.T, tree *Tree) {
	t.Helper()
	next := 1
	tree.Root.Walk(func(n *Node) {
		if n.isStep() {
			if n.Number != next {
				t.Errorf("step %d stands where %d should", n.Number, next)
			}
			next++
		}
		for _, c := range n.Cautions {
			if c < 1 || c > len(tree.Cautions) {
				t.Errorf("step %d: there is no caution %d", n.Number, c)
			}
		}
	})
	if next != tree.Steps+1 {
		t.Errorf("%d steps, said: %d", next-1, tree.Steps)
	}
}

// TestSame: the same book and setting give the same bytes.
func TestSame(t *testing.T) {
	b, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	set := Setting{Symptom: "F-12", Who: kb.WhoCaller, Cover: 0.8, OnePage: true}
	one, two := build(t, b, set), build(t, b, set)
	for _, f := range formats() {
		if drawn(t, one, f) != drawn(t, two, f) {
			t.Errorf("%s differs from run to run", f.suffix)
		}
	}
}

// follower walks a drawn tree beside the policy of a call.
type follower struct {
	t        *testing.T
	c        *kb.Compiled
	policy   diagnose.Policy
	compared int
}

// TestFollowsTheCall: at each step of the tree the policy of a call does the
// same, and at each handover and stop too, for each of the answers that share
// a branch. A question that decides nothing on the tree is left out there; the
// policy is then answered with each of its answers in turn.
func TestFollowsTheCall(t *testing.T) {
	b, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"F-11", "F-18", "F-21"} {
		set := Setting{Symptom: id, Who: kb.WhoCaller, Cover: 0.8, OnePage: true}
		c, err := kb.Compile(b, kb.Setting{Symptoms: []kb.Weighted{{ID: id, Chance: 1}}, Who: set.Who})
		if err != nil {
			t.Fatal(err)
		}
		f := &follower{t, c, c.Planned(diagnose.Options{Budget: c.Model.CallBudget()}), 0}
		f.node(build(t, b, set).Root, c.Model.NewState())
		if f.compared < 15 {
			t.Errorf("%s: only %d steps and ends were compared", id, f.compared)
		}
	}
}

func (f *follower) node(n *Node, s diagnose.State) {
	if n.Kind == Cut || f.c.Model.Believe(s).None {
		return
	}
	a, err := f.policy.Next(s)
	if err != nil {
		f.t.Fatal(err)
	}
	id := [...]func() string{
		diagnose.Ask: func() string { return f.c.Questions[a.Index].ID },
		diagnose.Try: func() string { return f.c.Remedies[a.Index].ID },
		diagnose.End: func() string { return f.c.Handovers[a.Index].ID },
	}[a.Kind]()
	if a.Kind == diagnose.Ask && id != n.ID {
		for answer := range f.c.Questions[a.Index].Answers {
			f.node(n, f.answered(s, a.Index, answer))
		}
		return
	}
	f.compared++
	if n.Kind != Stop && id != n.ID || n.Kind == Stop && n.To != f.c.Handovers[a.Index].Title {
		f.t.Errorf("step %d: the tree says %s, a call %s", n.Number, n.ID, id)
		return
	}
	for _, b := range n.Branches {
		for _, label := range b.On {
			switch n.Kind {
			case Ask:
				answer := slices.IndexFunc(f.c.Questions[a.Index].Answers, func(x kb.Answer) bool { return x.Say == label })
				f.node(b.To, f.answered(s, a.Index, answer))
			case Try:
				if label == doesNot {
					next := s.Clone()
					next.Trials[a.Index] = diagnose.Failed
					f.node(b.To, f.moved(next, f.c.Model.Repairs[a.Index].Place))
				}
			}
		}
	}
}

func (f *follower) answered(s diagnose.State, q, a int) diagnose.State {
	next := s.Clone()
	next.Answers[q] = int16(a)
	return f.moved(next, f.c.Model.Questions[q].Place)
}

func (f *follower) moved(s diagnose.State, place int) diagnose.State {
	if place >= 0 {
		s.Place = place
	}
	return s
}

// TestSharesByPaths works the shares of a tree out another way: for each cause
// the product of the chances along the path, without any belief. Rules that
// exclude causes take calls out of the belief that paths still count, so they
// are made to exclude nothing here.
func TestSharesByPaths(t *testing.T) {
	b := withoutExclusions(t)
	c, err := kb.Compile(b, kb.Setting{Symptoms: []kb.Weighted{{ID: "F-18", Chance: 1}}, Who: kb.WhoCaller})
	if err != nil {
		t.Fatal(err)
	}
	prior, total := []float64{}, 0.0
	for _, x := range c.Model.Causes {
		prior = append(prior, x.Prior)
		total += x.Prior
	}
	p := paths{t, c}
	tree := build(t, b, Setting{Symptom: "F-18", Who: kb.WhoCaller, Cover: 0.8})
	p.walk(tree.Root, scaled(prior, 1/total))
	if tree.Steps < 20 {
		t.Errorf("only %d steps were looked at", tree.Steps)
	}
}

// withoutExclusions is the built-in book with the excluding rules replaced by
// rules of the same name that name a cause which is not there.
func withoutExclusions(t *testing.T) *kb.Book {
	t.Helper()
	b, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	over := kb.Empty()
	for _, r := range kb.All[kb.Rule](b) {
		if len(r.Exclude)+len(r.Only) == 0 {
			continue
		}
		text := fmt.Sprintf("kind: rule\nid: %s\ntitle: no effect\nwhen: [{question: %s, is: [%q]}]\nexclude: [none]\n", r.ID, r.When[0].Question, r.When[0].Is[0])
		if err := over.Add(strings.NewReader(text), r.ID+".yaml"); err != nil {
			t.Fatal(err)
		}
	}
	return kb.Overlay(b, over)
}

// paths multiplies along the paths of a tree.
type paths struct {
	t *testing.T
	c *kb.Compiled
}

// walk compares the share of n with the weights of the causes that come there.
func (p paths) walk(n *Node, w []float64) {
	if math.Abs(sum(w)-n.Share) > 1e-9 {
		p.t.Errorf("%s %d %s: share %v, by paths %v", n.Kind, n.Number, n.ID, n.Share, sum(w))
	}
	for _, b := range n.Branches {
		next := make([]float64, len(w))
		for _, label := range b.On {
			for x, v := range w {
				next[x] += v * p.chance(n, label, x)
			}
		}
		p.walk(b.To, next)
	}
}

// chance is that of an outcome of n if the cause is x.
func (p paths) chance(n *Node, label string, x int) float64 {
	if n.Kind == Try {
		r := slices.IndexFunc(p.c.Remedies, func(r *kb.Remedy) bool { return r.ID == n.ID })
		if fixes := p.c.Model.Repairs[r].Fixes[x]; label == helps {
			return fixes
		} else {
			return 1 - fixes
		}
	}
	q := slices.IndexFunc(p.c.Questions, func(q *kb.Question) bool { return q.ID == n.ID })
	a := slices.IndexFunc(p.c.Questions[q].Answers, func(a kb.Answer) bool { return a.Say == label })
	return p.c.Model.Questions[q].Given[x][a]
}
