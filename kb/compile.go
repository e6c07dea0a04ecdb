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
	c := &compiler{book: b, set: s, out: &Compiled{Model: &diagnose.Model{Start: -1}, places: places()}}
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

// walks are minutes between the places of places(), common practice, no
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

// weighed multiplies causes by their factors; all causes together, and
// SomethingElse, keep the weight that they had.
func weighed(list []Weighted, factors map[string]float64) []Weighted {
	if len(factors) == 0 {
		return list
	}
	before, after := 0.0, 0.0
	for i, w := range list {
		if w.ID == SomethingElse {
			continue
		}
		before += w.Chance
		if f, ok := factors[w.ID]; ok {
			list[i].Chance *= f
		}
		after += list[i].Chance
	}
	if after == 0 {
		return list
	}
	for i := range list {
		if list[i].ID != SomethingElse {
			list[i].Chance *= before / after
		}
	}
	return list
}

// Priors are the chances of the causes of a symptom before any question, in
// order of their ids, SomethingElse last: authored weights as pseudoCalls
// calls, plus the counts. They sum to one.
func Priors(b *Book, symptom string, counts func(symptom, cause string) float64) []Weighted {
	var list []Weighted
	sum := 0.0
	for _, cause := range All[Cause](b) {
		if f := cause.frequencyIn(symptom); f != "" {
			list = append(list, Weighted{cause.ID, f.Weight()})
			sum += f.Weight()
		}
	}
	list = append(list, Weighted{SomethingElse, max(0.05*sum, 0.5)})
	sum += list[len(list)-1].Chance
	calls := 0.0
	if counts != nil {
		for _, w := range list {
			calls += counts(symptom, w.ID)
		}
	}
	for i := range list {
		n := 0.0
		if counts != nil {
			n = counts(symptom, list[i].ID)
		}
		list[i].Chance = (pseudoCalls*list[i].Chance/sum + n) / (pseudoCalls + calls)
	}
	return list
}

// frequencyIn is how common the cause is under a symptom, "" where it does not
// belong to it.
func (e *Cause) frequencyIn(symptom string) Frequency {
	for _, s := range e.Symptoms {
		if s.ID != symptom {
			continue
		}
		if s.Frequency != "" {
			return s.Frequency
		}
		return e.Frequency
	}
	return ""
}

// questions takes in every question that bears on a hypothesis, those that
// rules look at or put, and those that others wait for.
func (c *compiler) questions() {
	wanted := map[string]bool{}
	for _, h := range c.out.Hypotheses {
		for _, t := range c.tellsOf(h) {
			wanted[t.Question] = true
		}
	}
	for _, w := range c.set.Symptoms {
		for _, id := range Get[Symptom](c.book, w.ID).First {
			wanted[id] = true
		}
	}
	for _, r := range All[Rule](c.book) {
		for _, f := range r.When {
			wanted[f.Question] = true
		}
		for _, q := range r.Ask {
			wanted[q] = true
		}
	}
	for grown := true; grown; {
		grown = false
		for id := range wanted {
			if q := Get[Question](c.book, id); q != nil {
				for _, f := range q.When {
					grown = grown || !wanted[f.Question]
					wanted[f.Question] = true
				}
			}
		}
	}
	c.row = map[string]int{}
	for _, id := range sortedKeys(wanted) {
		if q := Get[Question](c.book, id); q != nil {
			c.row[id] = len(c.out.Questions)
			c.out.Questions = append(c.out.Questions, q)
		}
	}
	c.out.index = c.row
	tells, sensible := c.tellIndex(), c.sensible()
	for i, q := range c.out.Questions {
		out := c.question(q, tells[i])
		out.Silent = out.Silent || sensible != nil && !sensible[q.ID]
		c.out.Model.Questions = append(c.out.Model.Questions, out)
	}
}

// sensible are the questions that make sense under some symptom in play, nil
// where one of the symptoms takes any. Questions that a rule puts always do.
func (c *compiler) sensible() map[string]bool {
	set := map[string]bool{}
	for _, w := range c.set.Symptoms {
		list := Get[Symptom](c.book, w.ID).Questions
		if w.Chance > 0 && len(list) == 0 {
			return nil
		}
		for _, id := range list {
			set[id] = true
		}
	}
	for _, r := range All[Rule](c.book) {
		for _, id := range r.Ask {
			set[id] = true
		}
	}
	return set
}

func sortedKeys(set map[string]bool) []string {
	list := make([]string, 0, len(set))
	for k := range set {
		list = append(list, k)
	}
	sort.Strings(list)
	return list
}

// tellsOf gives the rows of a hypothesis: those of the cause, then those of
// the symptom, which win.
func (c *compiler) tellsOf(h Hypothesis) Tells {
	var list Tells
	if cause := Get[Cause](c.book, h.Cause); cause != nil {
		list = append(list, cause.Tells...)
	}
	return append(list, Get[Symptom](c.book, h.Symptom).Tells...)
}

// tellIndex gives, for each question, the row of each hypothesis that has one.
func (c *compiler) tellIndex() []map[int]Row {
	index := make([]map[int]Row, len(c.out.Questions))
	for h, hyp := range c.out.Hypotheses {
		for _, t := range c.tellsOf(hyp) {
			q, ok := c.row[t.Question]
			if !ok {
				continue
			}
			if index[q] == nil {
				index[q] = map[int]Row{}
			}
			index[q][h] = t.Row
		}
	}
	return index
}

func (c *compiler) question(q *Question, tells map[int]Row) diagnose.Question {
	out := diagnose.Question{ID: q.ID, Cost: q.Minutes/c.set.Told.chance(q.Sense.told(), q.Place) + c.set.Told.talk(), Answers: q.values(), Place: c.out.Place(q.Place),
		Silent: q.Silent || q.Who == WhoTechnician && c.set.Who != WhoTechnician, When: c.conditions(c.unsaid(q.When))}
	base, trust := q.DefaultRow(), q.Trust(c.set.Who)
	if c.set.Instrument[q.ID] {
		trust = SenseInstrument.reliability()
	}
	if t, ok := c.set.Trust[q.ID]; ok {
		trust = t
	}
	for h := range c.out.Hypotheses {
		row, ok := tells[h]
		if !ok {
			out.Given = append(out.Given, base)
			continue
		}
		full := q.FullRow(row)
		for a := range full {
			full[a] = trust*full[a] + (1-trust)*base[a]
		}
		out.Given = append(out.Given, full)
	}
	return out
}

// clear is the chance from which a symptom's own row says a fact outright.
const clear = 0.9

// unsaid leaves out the conditions that the complaint itself meets: who rings
// because films are black need not be asked whether films are black before the
// question which films.
func (c *compiler) unsaid(list []Fact) []Fact {
	var kept []Fact
	for _, f := range list {
		for _, w := range c.set.Symptoms {
			if w.Chance > 0 && Get[Symptom](c.book, w.ID).says(f) < clear {
				kept = append(kept, f)
				break
			}
		}
	}
	return kept
}

// says is the chance that the symptom's own row gives to the fact.
func (e *Symptom) says(f Fact) float64 {
	sum := 0.0
	for _, t := range e.Tells {
		if t.Question != f.Question {
			continue
		}
		for _, s := range t.Row {
			for _, value := range f.Is {
				if s.Answer == value {
					sum += float64(s.Chance)
				}
			}
		}
	}
	return sum
}

func (c *compiler) conditions(list []Fact) []diagnose.Condition {
	var out []diagnose.Condition
	for _, f := range list {
		i, ok := c.row[f.Question]
		if !ok {
			continue
		}
		k := diagnose.Condition{Question: i}
		for _, v := range f.Is {
			if a := c.out.Questions[i].answer(v); a >= 0 {
				k.Answers = append(k.Answers, a)
			}
		}
		out = append(out, k)
	}
	return out
}

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
// without conditions.
func (c *compiler) first() {
	likeliest := c.set.Symptoms[0]
	for _, w := range c.set.Symptoms {
		if w.Chance > likeliest.Chance {
			likeliest = w
		}
	}
	rule := diagnose.Rule{ID: "first", Stop: -1}
	for _, id := range Get[Symptom](c.book, likeliest.ID).First {
		if i, ok := c.row[id]; ok {
			rule.Ask = append(rule.Ask, i)
		}
	}
	if len(rule.Ask) > 0 {
		c.out.Rules = append(c.out.Rules, &Rule{Head: Head{ID: "first"}})
		c.out.Model.Rules = append(c.out.Model.Rules, rule)
	}
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
