package drawing

import (
	"container/heap"
	"fmt"

	"faultbook/diagnose"
)

// MaxSteps is how many states are planned at most for one tree: about as many
// steps as a patient reader can still use, and seconds of work.
const MaxSteps = 400

// spot is a state of the policy within a growing tree.
type spot struct {
	state  diagnose.State
	belief diagnose.Belief
	share  float64
	depth  int
	order  int // in which it was found; breaks ties
	parent *spot
	answer int // of the parent's question; -1 after a remedy

	known  bool // the policy has been asked; else it is a cut for now
	action diagnose.Action
	lost   bool    // the facts leave no cause: nothing to plan
	cut    bool    // cut by pruning, or by the depth
	cured  float64 // share that the remedy cures
	kids   []*spot
}

// grower follows a policy, the likeliest state first.
type grower struct {
	model  *diagnose.Model
	policy diagnose.Policy
	cover  float64
	depth  int // steps on a branch at most; 0 for no limit
	steps  int // states planned at most
	open   frontier
	found  int
	kept   float64
	limit  Limit

	size  sizes
	likes map[string]int // see intern
}

// grow returns the root of a tree that keeps at least cover, unless a limit
// forbids.
func (g *grower) grow(s diagnose.State) (*spot, error) {
	root := &spot{state: s, belief: g.model.Believe(s), share: 1, answer: -1}
	if err := g.found1(root); err != nil {
		return nil, err
	}
	deep := false
	for planned := 0; len(g.open) > 0 && g.kept < g.cover-rounding; planned++ {
		if planned == g.steps {
			g.limit = BySteps
			return root, nil
		}
		at := heap.Pop(&g.open).(*spot)
		if err := g.plan(at); err != nil {
			return nil, err
		}
		deep = deep || at.cut
	}
	if deep && g.kept < g.cover-rounding {
		g.limit = ByDepth
	}
	return root, nil
}

// rounding is what sums of shares may be off.
const rounding = 1e-9

// found1 takes in a new state. One that a safety rule stops or that leaves no
// cause needs no plan and is an end at once.
func (g *grower) found1(s *spot) error {
	g.found++
	s.order = g.found
	switch {
	case s.belief.None:
		s.known, s.lost = true, true
		g.kept += s.share
	case s.belief.Stop >= 0:
		return g.plan(s)
	default:
		heap.Push(&g.open, s)
	}
	return nil
}

// plan asks the policy and branches on what may come of its step.
func (g *grower) plan(s *spot) error {
	a, err := g.policy.Next(s.state)
	if err != nil {
		return fmt.Errorf("plan a step of the tree: %w", err)
	}
	s.action, s.known = a, true
	if a.Kind == diagnose.End || a.Kind == diagnose.Nothing {
		g.kept += s.share
		return nil
	}
	if g.depth > 0 && s.depth >= g.depth {
		s.cut = true
		return nil
	}
	if a.Kind == diagnose.Try {
		return g.branchTry(s)
	}
	return g.branchAsk(s)
}

func (g *grower) branchTry(s *spot) error {
	r := &g.model.Repairs[s.action.Index]
	works := 0.0
	for c, p := range s.belief.P {
		works += float64(p * r.Fixes[c])
	}
	s.cured = s.share * works
	g.kept += s.cured
	next := s.state.Clone()
	next.Trials[s.action.Index] = diagnose.Failed
	return g.kid(s, -1, 1-works, next, r.Place)
}

func (g *grower) branchAsk(s *spot) error {
	q := &g.model.Questions[s.action.Index]
	for a := range q.Answers {
		chance := 0.0
		for c, p := range s.belief.P {
			chance += float64(p * q.Given[c][a])
		}
		next := s.state.Clone()
		next.Answers[s.action.Index] = int16(a)
		if err := g.kid(s, a, chance, next, q.Place); err != nil {
			return err
		}
	}
	return nil
}

// kid adds what follows an outcome, if it can come about at all.
func (g *grower) kid(s *spot, answer int, chance float64, next diagnose.State, place int) error {
	if chance <= 0 {
		return nil
	}
	if place >= 0 {
		next.Place = place
	}
	k := &spot{state: next, belief: g.model.Believe(next), share: s.share * chance, depth: s.depth + 1, parent: s, answer: answer}
	s.kids = append(s.kids, k)
	return g.found1(k)
}

// frontier holds the states not planned yet, likeliest first, ties to the one
// found first.
type frontier []*spot

func (f frontier) Len() int { return len(f) }
func (f frontier) Less(i, j int) bool {
	if f[i].share != f[j].share {
		return f[i].share > f[j].share
	}
	return f[i].order < f[j].order
}
func (f frontier) Swap(i, j int) { f[i], f[j] = f[j], f[i] }
func (f *frontier) Push(x any)   { *f = append(*f, x.(*spot)) }
func (f *frontier) Pop() any {
	old := *f
	x := old[len(old)-1]
	*f = old[:len(old)-1]
	return x
}
