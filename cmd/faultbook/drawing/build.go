package drawing

import (
	"fmt"

	"faultbook/diagnose"
	"faultbook/kb"
)

// Setting says which tree is wanted.
type Setting struct {
	Symptom string
	Who     kb.Who
	// Cover is the share of the calls to keep, above 0 and at most 1.
	Cover float64
	// Depth is the number of steps on a branch at most; 0 for no limit.
	Depth int
	// Counts gives the closed calls of a symptom that ended in the cause; nil to
	// go by the book alone.
	Counts func(symptom, cause string) float64
	// OnePage prunes on until the tree fits on one printed page.
	OnePage bool
}

// Build makes the tree of a symptom. It errs where the book has no such
// symptom or the engine cannot plan for it. The same book and setting give the
// same tree always.
func Build(b *kb.Book, set Setting) (*Tree, error) {
	c, err := kb.Compile(b, kb.Setting{Symptoms: []kb.Weighted{{ID: set.Symptom, Chance: 1}}, Who: set.Who, Counts: set.Counts})
	if err != nil {
		return nil, err
	}
	m := c.Model
	o := diagnose.Options{Budget: m.CallBudget()}
	plan, err := m.Plan(m.NewState(), o)
	if err != nil {
		return nil, fmt.Errorf("plan a call for %s: %w", set.Symptom, err)
	}
	g := &grower{model: m, policy: c.Planned(o), cover: set.Cover, depth: set.Depth, steps: MaxSteps, size: sizesOf(c, set.Who)}
	if set.OnePage {
		g.steps = pageSteps
	}
	grown, err := g.grow(m.NewState())
	if err != nil {
		return nil, err
	}
	root := g.twigOf(grown)
	for next := root; next != nil; next = g.prune(root, set.Cover) {
		root = next
	}
	d := drawer{g, b, c, set, plan.Expected}
	if set.OnePage {
		root = d.fit(root)
	}
	return d.draw(root), nil
}

// drawer words a tree again and again while it is made to fit a page.
type drawer struct {
	*grower
	book     *kb.Book
	compiled *kb.Compiled
	set      Setting
	expected float64
}

// pageSteps is MaxSteps for one page, which holds some twenty steps: three
// times as many to choose from made pages better by one call in a hundred.
const pageSteps = 120

// lastTrees is how many of the trees that were a little too long are made to
// fit by small moves.
const lastTrees = 12

// fit shortens root until it fits one page. The weakest move at the very end
// may save far more lines than are wanted, so small moves are tried from the
// last trees that were too long, and the best result is taken.
func (d *drawer) fit(root *twig) *twig {
	var long []*twig
	for t := root; ; {
		if d.excess(t) <= 0 {
			root = t
			break
		}
		long = append(long, t)
		next := d.weakest(t, func(*move) bool { return true })
		if next == nil {
			return t
		}
		t = next
	}
	if len(long) > 0 {
		d.limit = ByPage
	}
	for _, t := range long[max(0, len(long)-lastTrees):] {
		if t = d.fitBySmall(t); t != nil && t.burden.good > root.burden.good+rounding {
			root = t
		}
	}
	return root
}

// fitBySmall shortens t by moves that save no more lines than are wanted; nil
// if there are none left before it fits.
func (d *drawer) fitBySmall(t *twig) *twig {
	for t != nil {
		over := d.excess(t)
		if over <= 0 {
			break
		}
		t = d.weakest(t, func(m *move) bool { return m.rows <= over+2 })
	}
	return t
}

// farTooLong is a number of lines that no page holds, whatever their texts.
const farTooLong = 500

// excess is how many lines of a column t is too long for a page.
func (d *drawer) excess(t *twig) int {
	if t.burden.rows > farTooLong {
		return farTooLong
	}
	return d.draw(t).excess()
}

// draw words what pruning has left.
func (d *drawer) draw(root *twig) *Tree {
	e := kb.Get[kb.Symptom](d.book, d.set.Symptom)
	t := &Tree{Symptom: e.ID, Title: e.Title, Who: string(d.set.Who), Asked: d.set.Cover, Limit: d.limit,
		Expected: d.expected, Cautions: []Caution{}}
	w := &wording{drawer: d, tree: t, caution: map[string]int{}}
	t.Dangers = w.dangers()
	w.words(root)
	if t.Kept >= t.Asked-rounding {
		t.Limit = ""
	}
	return t
}
