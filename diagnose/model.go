package diagnose

import (
	"fmt"
	"math"
)

// Goal says what ends a case.
type Goal int

const (
	// Repair ends when a repair works or a final action is taken.
	Repair Goal = iota
	// Identify ends, free of charge, as soon as one cause alone has weight.
	Identify
)

// Model is a single-fault decision problem: exactly one of Causes is present,
// answers are independent given the cause, costs are minutes.
//
// Indices into the slices are the engine's names for things; IDs are for
// people. Ties between actions of equal value go to repairs, then questions,
// then finals, and within a kind to the one named first.
type Model struct {
	Goal      Goal
	Causes    []Cause
	Questions []Question
	Repairs   []RepairAction
	Finals    []Final
	Rules     []Rule
	// Walk[a][b] is the minutes from place a to place b; nil means that no
	// step has a place and nobody walks.
	Walk [][]float64
	// Start is the place where the person on the line stands, -1 for anywhere
	// (the first step then costs no walk).
	Start int
}

// Cause is one thing that can be wrong.
type Cause struct {
	ID    string
	Prior float64 // weight >= 0; weights need not sum to one
	// Group joins hypotheses that are one cause to a person: the same cause
	// under two symptoms. Empty means the ID.
	Group string
}

// Question is something that can be looked at, asked or measured, once.
type Question struct {
	ID      string
	Cost    float64 // minutes, >= 0
	Answers []string
	// Given[c][a] is P(answer a | cause c); each row sums to one.
	Given [][]float64
	// When lists what must be known before the question makes sense; all of
	// them. A question without conditions is always open.
	When []Condition
	// Silent questions are never offered by the planner: their answers count
	// when somebody volunteers them or a file or sum gives them.
	Silent bool
	// Place is the index of the place where it is done, -1 for anywhere.
	Place int
}

// Condition holds when Question has been answered with one of Answers.
type Condition struct {
	Question int
	Answers  []int
}

// RepairAction is something that can be done, once; it costs the same whether
// it helps or not, and ends the case if it works.
type RepairAction struct {
	ID    string
	Cost  float64 // minutes, >= 0
	Place int     // -1 for anywhere
	// Fixes[c] is P(works | cause c), 0..1.
	Fixes []float64
}

// Final ends the case whatever the cause: a handover.
type Final struct {
	ID string
	// Cost[c] is minutes if the cause is c; may be negative (a gain).
	Cost []float64
	// Extras are things that can be taken along, each decided on its own when
	// the final is chosen: parts for a visit.
	Extras []Extra
}

// Extra is an option of a Final: taking it costs Take minutes, leaving it
// costs Miss[c] more if the cause is c. The better of the two under the
// belief at that moment is used.
type Extra struct {
	ID   string
	Take float64
	Miss []float64
}

// Rule is authored if-then knowledge over facts.
type Rule struct {
	ID      string
	When    []Condition // all must hold; empty only for a rule that just asks
	Exclude []int       // causes that cannot be
	Only    []int       // causes that alone can be; nil for no limit
	Ask     []int       // questions to put at once, before anything else
	// Stop is the index of the final that alone may follow, -1 for none.
	Stop int
}

// NewModel returns a model with n causes of the given identifiers and priors
// and nothing else; it is a convenience for tests and readers of files.
func NewModel(ids []string, priors []float64) *Model {
	m := &Model{Start: -1}
	for i, id := range ids {
		m.Causes = append(m.Causes, Cause{ID: id, Prior: priors[i]})
	}
	return m
}

// rowTolerance is how far a row of answers may be off one: files carry rows
// rounded to twelve decimals.
const rowTolerance = 1e-6

// Check reports the first thing in the model that the engine cannot work
// with, by the element's name. A model that passes can be planned.
func (m *Model) Check() error {
	if len(m.Causes) == 0 {
		return fmt.Errorf("model has no causes")
	}
	total, seen := 0.0, map[string]bool{}
	for _, c := range m.Causes {
		if c.ID == "" || seen[c.ID] {
			return fmt.Errorf("cause %q: name missing or used twice", c.ID)
		}
		seen[c.ID] = true
		if !(c.Prior >= 0) || math.IsInf(c.Prior, 0) {
			return fmt.Errorf("cause %s: prior %v is not a weight of zero or more", c.ID, c.Prior)
		}
		total += c.Prior
	}
	if total == 0 || math.IsInf(total, 0) {
		return fmt.Errorf("model: the priors sum to %v, at least one must be above zero", total)
	}
	for i := range m.Questions {
		if err := m.checkQuestion(i, seen); err != nil {
			return err
		}
	}
	for i := range m.Repairs {
		if err := m.checkRepair(i, seen); err != nil {
			return err
		}
	}
	for i := range m.Finals {
		if err := m.checkFinal(i, seen); err != nil {
			return err
		}
	}
	for i := range m.Rules {
		if err := m.checkRule(i); err != nil {
			return err
		}
	}
	return m.checkCycles()
}

func (m *Model) checkQuestion(i int, seen map[string]bool) error {
	q := &m.Questions[i]
	if err := newName("question", q.ID, seen); err != nil {
		return err
	}
	if err := checkCost("question", q.ID, q.Cost); err != nil {
		return err
	}
	if len(q.Answers) == 0 {
		return fmt.Errorf("question %s: no answers", q.ID)
	}
	if len(q.Given) != len(m.Causes) {
		return fmt.Errorf("question %s: %d rows for %d causes", q.ID, len(q.Given), len(m.Causes))
	}
	for c, row := range q.Given {
		if len(row) != len(q.Answers) {
			return fmt.Errorf("question %s, cause %s: %d figures for %d answers", q.ID, m.Causes[c].ID, len(row), len(q.Answers))
		}
		sum := 0.0
		for _, p := range row {
			if !(p >= 0 && p <= 1) {
				return fmt.Errorf("question %s, cause %s: %v is not a chance", q.ID, m.Causes[c].ID, p)
			}
			sum += p
		}
		if math.Abs(sum-1) > rowTolerance {
			return fmt.Errorf("question %s, cause %s: row sums to %v, must be 1", q.ID, m.Causes[c].ID, sum)
		}
	}
	if err := m.checkConditions(q.When, "question "+q.ID); err != nil {
		return err
	}
	return m.checkPlace(q.Place, "question "+q.ID)
}

func (m *Model) checkRepair(i int, seen map[string]bool) error {
	r := &m.Repairs[i]
	if err := newName("repair", r.ID, seen); err != nil {
		return err
	}
	if err := checkCost("repair", r.ID, r.Cost); err != nil {
		return err
	}
	if len(r.Fixes) != len(m.Causes) {
		return fmt.Errorf("repair %s: %d figures for %d causes", r.ID, len(r.Fixes), len(m.Causes))
	}
	for c, p := range r.Fixes {
		if !(p >= 0 && p <= 1) {
			return fmt.Errorf("repair %s, cause %s: %v is not a chance", r.ID, m.Causes[c].ID, p)
		}
	}
	return m.checkPlace(r.Place, "repair "+r.ID)
}

func (m *Model) checkFinal(i int, seen map[string]bool) error {
	f := &m.Finals[i]
	if err := newName("final", f.ID, seen); err != nil {
		return err
	}
	if len(f.Cost) != len(m.Causes) {
		return fmt.Errorf("final %s: %d costs for %d causes", f.ID, len(f.Cost), len(m.Causes))
	}
	for c, v := range f.Cost {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("final %s, cause %s: cost %v is not finite", f.ID, m.Causes[c].ID, v)
		}
	}
	for _, e := range f.Extras {
		if err := checkCost("extra", f.ID+"/"+e.ID, e.Take); err != nil {
			return err
		}
		if len(e.Miss) != len(m.Causes) {
			return fmt.Errorf("extra %s/%s: %d figures for %d causes", f.ID, e.ID, len(e.Miss), len(m.Causes))
		}
		for _, v := range e.Miss {
			if err := checkCost("extra", f.ID+"/"+e.ID, v); err != nil {
				return err
			}
		}
	}
	return nil
}

func (m *Model) checkRule(i int) error {
	r := &m.Rules[i]
	where := "rule " + r.ID
	if len(r.When) == 0 && (len(r.Ask) == 0 || r.Exclude != nil || r.Only != nil || r.Stop >= 0) {
		return fmt.Errorf("%s: no condition", where)
	}
	if err := m.checkConditions(r.When, where); err != nil {
		return err
	}
	for _, list := range [][]int{r.Exclude, r.Only} {
		for _, c := range list {
			if c < 0 || c >= len(m.Causes) {
				return fmt.Errorf("%s: cause %d does not exist", where, c)
			}
		}
	}
	for _, q := range r.Ask {
		if q < 0 || q >= len(m.Questions) {
			return fmt.Errorf("%s: question %d does not exist", where, q)
		}
	}
	if r.Stop < -1 || r.Stop >= len(m.Finals) {
		return fmt.Errorf("%s: final %d does not exist", where, r.Stop)
	}
	return nil
}

func (m *Model) checkConditions(list []Condition, where string) error {
	for _, k := range list {
		if k.Question < 0 || k.Question >= len(m.Questions) {
			return fmt.Errorf("%s: condition on question %d, which does not exist", where, k.Question)
		}
		for _, a := range k.Answers {
			if a < 0 || a >= len(m.Questions[k.Question].Answers) {
				return fmt.Errorf("%s: condition on answer %d of question %s, which does not exist", where, a, m.Questions[k.Question].ID)
			}
		}
	}
	return nil
}

func (m *Model) checkPlace(p int, where string) error {
	if p < -1 || (m.Walk != nil && p >= len(m.Walk)) {
		return fmt.Errorf("%s: place %d does not exist", where, p)
	}
	return nil
}

// checkCycles finds questions that wait for each other for ever.
func (m *Model) checkCycles() error {
	const busy, done = 1, 2
	state := make([]int, len(m.Questions))
	var visit func(int) error
	visit = func(i int) error {
		switch state[i] {
		case busy:
			return fmt.Errorf("question %s: its conditions lead back to itself", m.Questions[i].ID)
		case done:
			return nil
		}
		state[i] = busy
		for _, k := range m.Questions[i].When {
			if err := visit(k.Question); err != nil {
				return err
			}
		}
		state[i] = done
		return nil
	}
	for i := range m.Questions {
		if err := visit(i); err != nil {
			return err
		}
	}
	return nil
}

// newName refuses an empty or repeated name among the elements of one kind.
func newName(kind, id string, seen map[string]bool) error {
	key := kind + " " + id
	if id == "" || seen[key] {
		return fmt.Errorf("%s %q: name missing or used twice", kind, id)
	}
	seen[key] = true
	return nil
}

func checkCost(kind, id string, v float64) error {
	if !(v >= 0) || math.IsInf(v, 0) {
		return fmt.Errorf("%s %s: cost %v must be zero or more minutes", kind, id, v)
	}
	return nil
}
