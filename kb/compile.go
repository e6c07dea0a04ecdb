package kb

import (
	"fmt"
	"slices"
	"sort"

	"faultbook/diagnose"
)

// SomethingElse is the group of the implicit cause that every symptom has:
// every question answers it by its default row and only a handover ends it.
const SomethingElse = "something-else"

// Weighted is an id with its chance, 0..1.
type Weighted struct {
	ID     string
	Chance float64
}

// Setting says for which call a model is made.
type Setting struct {
	// Symptoms in play with their chances; they need not sum to one.
	Symptoms []Weighted
	// Who is on the line; decides what can be asked and done.
	Who Who
	// Counts gives the closed calls of a symptom that ended in the cause; nil
	// for none. Total over the causes of a symptom is taken from it too.
	Counts func(symptom, cause string) float64
	// Excluded causes have no weight: found already, or not in this room.
	Excluded map[string]bool
	// Instrument questions were answered by a reading or a sum, which is trusted
	// as an instrument whatever the sense of the question.
	Instrument map[string]bool
	// Weights make causes likelier or less likely by a factor, as a room's sheet
	// says; within a symptom the causes together keep their weight.
	Weights map[string]float64
	// Trust in the answer of a question, 0 to 1, where it is not that of who is
	// on the line: an answer from a room's sheet ages.
	Trust map[string]float64
	// Walk gives the minutes between the places of Places, nil for the usual.
	Walk [][]float64
	// Told is how the questions so far were answered.
	Told Told
}

// Hypothesis is one cause under one symptom; Cause is SomethingElse for the
// implicit one.
type Hypothesis struct{ Symptom, Cause string }

// Compiled is a model of the engine together with what its indices mean.
type Compiled struct {
	Model      *diagnose.Model
	Hypotheses []Hypothesis
	Questions  []*Question
	Remedies   []*Remedy
	Handovers  []*Handover
	Rules      []*Rule
	places     []string
	index      map[string]int // question id to index
}

// Minutes of talk around each step, beside its own (common practice, no
// source): a question is put and understood; a remedy is agreed, read out,
// waited for and reported.
const (
	talkQuestion = 0.25
	talkRemedy   = 1
)

// patience is what a remedy costs beyond the minutes on the clock: something is
// changed in the room and must be put back, and a caller who has tried three
// things in vain trusts the fourth less. It stands in minutes, because the
// planner weighs minutes, but nobody waits for them: reported minutes are
// without it (common practice, no source; chosen by rehearsal, see
// DEVELOPERS.md).
const patience = 3

// pseudoCalls is how many calls the book's own weights count for, a symptom.
const pseudoCalls = 20

// Compile makes the engine's model of the book for one setting.
func Compile(b *Book, s Setting) (*Compiled, error) {
	c := &compiler{book: b, set: s, out: &Compiled{Model: &diagnose.Model{Start: -1}, places: Places()}}
	if err := c.hypotheses(); err != nil {
		return nil, err
	}
	c.questions()
	c.remedies()
	c.handovers()
	c.rules()
	c.out.Model.Walk = c.set.Walk
	if c.set.Walk == nil {
		c.out.Model.Walk = walks()
	}
	if err := c.out.Model.Check(); err != nil {
		return nil, fmt.Errorf("compile the book: %w", err)
	}
	return c.out, nil
}

type compiler struct {
	book *Book
	set  Setting
	out  *Compiled
	row  map[string]int // as Compiled.index
}

// Walks are the usual minutes between the places of Places.
func Walks() [][]float64 { return walks() }

// walks are minutes between the places of Places(), common practice, no
// source: the table and the screen are a few steps apart, the rack stands in a
// cupboard, a ceiling needs a ladder fetched, the closet is down the hall.
func walks() [][]float64 {
	return [][]float64{
		{0, 0.5, 0.5, 2, 6, 5},
		{0.5, 0, 0.5, 2, 6, 5},
		{0.5, 0.5, 0, 2, 6, 5},
		{2, 2, 2, 0, 6, 5},
		{6, 6, 6, 6, 0, 8},
		{5, 5, 5, 5, 8, 0},
	}
}

func (c *compiler) hypotheses() error {
	total := 0.0
	for _, w := range c.set.Symptoms {
		if Get[Symptom](c.book, w.ID) == nil {
			return fmt.Errorf("there is no symptom %q%s", w.ID, nearest(w.ID, c.book.IDs(KindSymptom)))
		}
		total += w.Chance
	}
	if !(total > 0) {
		return fmt.Errorf("no symptom is set")
	}
	for _, w := range c.set.Symptoms {
		if w.Chance <= 0 {
			continue
		}
		for _, p := range weighed(Priors(c.book, w.ID, c.set.Counts), c.set.Weights) {
			if c.set.Excluded[p.ID] {
				continue
			}
			c.out.Hypotheses = append(c.out.Hypotheses, Hypothesis{w.ID, p.ID})
			c.out.Model.Causes = append(c.out.Model.Causes, diagnose.Cause{
				ID: w.ID + "/" + p.ID, Group: p.ID, Prior: p.Chance * w.Chance / total})
		}
	}
	return nil
}

func sortedKeys(set map[string]bool) []string {
	list := make([]string, 0, len(set))
	for k := range set {
		list = append(list, k)
	}
	sort.Strings(list)
	return list
}

// clear is the chance from which a symptom's own row says a fact outright.
const clear = 0.9

// remedies takes in what the person on the line may do for some hypothesis.
func (c *compiler) remedies() {
	cures := map[string][]float64{}
	for h, hyp := range c.out.Hypotheses {
		cause := Get[Cause](c.book, hyp.Cause)
		if cause == nil {
			continue
		}
		for _, r := range cause.Remedies {
			if cures[r.ID] == nil {
				cures[r.ID] = make([]float64, len(c.out.Hypotheses))
			}
			if !slices.Contains(Get[Symptom](c.book, hyp.Symptom).Pointless, r.ID) {
				cures[r.ID][h] = float64(r.CureChance())
			}
		}
	}
	for _, r := range All[Remedy](c.book) {
		fixes := cures[r.ID]
		if fixes == nil || !r.Who.allowed(c.set.Who) {
			continue
		}
		c.out.Remedies = append(c.out.Remedies, r)
		c.out.Model.Repairs = append(c.out.Model.Repairs, diagnose.RepairAction{
			ID: r.ID, Cost: r.Minutes + talkRemedy + patience, Place: c.out.Place(r.Place), Fixes: fixes})
	}
}

// first puts the questions that the likeliest symptom begins with, by a rule
// without conditions; one that waits for an answer, as soon as that is given.
func (c *compiler) first() {
	likeliest := c.set.Symptoms[0]
	for _, w := range c.set.Symptoms {
		if w.Chance > likeliest.Chance {
			likeliest = w
		}
	}
	rule := diagnose.Rule{ID: "first", Stop: -1}
	for _, id := range Get[Symptom](c.book, likeliest.ID).First {
		i, ok := c.row[id]
		if !ok {
			continue
		}
		if when := c.out.Questions[i].When; len(when) > 0 { // due once its gate is open
			c.putFirst(diagnose.Rule{ID: "first-" + id, When: c.conditions(when), Ask: []int{i}, Stop: -1})
			continue
		}
		rule.Ask = append(rule.Ask, i)
	}
	if len(rule.Ask) > 0 {
		c.putFirst(rule)
	}
}

func (c *compiler) putFirst(rule diagnose.Rule) {
	c.out.Rules = append(c.out.Rules, &Rule{Head: Head{ID: rule.ID}})
	c.out.Model.Rules = append(c.out.Model.Rules, rule)
}

// allowed reports whether somebody who is on the line may do what w may do.
func (w Who) allowed(line Who) bool {
	return w == WhoCaller || w == WhoTechnician && line == WhoTechnician
}

func (c *compiler) rules() {
	c.first()
	of := map[string][]int{}
	for h, hyp := range c.out.Hypotheses {
		of[hyp.Cause] = append(of[hyp.Cause], h)
	}
	for _, r := range All[Rule](c.book) {
		out := diagnose.Rule{ID: r.ID, When: c.conditions(r.When), Stop: -1}
		if len(out.When) != len(r.When) {
			continue
		}
		for _, id := range r.Exclude {
			out.Exclude = append(out.Exclude, of[id]...)
		}
		if len(r.Only) > 0 {
			out.Only = []int{}
			for _, id := range append([]string{SomethingElse}, r.Only...) {
				out.Only = append(out.Only, of[id]...)
			}
		}
		for _, id := range r.Ask {
			if i, ok := c.row[id]; ok {
				out.Ask = append(out.Ask, i)
			}
		}
		if r.Stop != nil {
			out.Stop = c.handoverIndex(r.Stop.Handover)
		}
		c.out.Rules = append(c.out.Rules, r)
		c.out.Model.Rules = append(c.out.Model.Rules, out)
	}
}

func (c *compiler) handoverIndex(id string) int {
	for i, h := range c.out.Handovers {
		if h.ID == id {
			return i
		}
	}
	return -1
}

// Place is the index of a place in the model, -1 for anywhere.
func (c *Compiled) Place(name string) int {
	for i, p := range c.places {
		if p == name {
			return i
		}
	}
	return -1
}

// Answer is the index of an answer's value, diagnose.Unknown where the
// question has no such answer (any more).
func (c *Compiled) Answer(question int, value string) int {
	if a := c.Questions[question].answer(value); a >= 0 {
		return a
	}
	return int(diagnose.Unknown)
}
