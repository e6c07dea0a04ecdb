package diagnose

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// Kind is the kind of a step.
type Kind int8

const (
	Nothing Kind = iota // the case is over, free of charge
	Ask                 // put a question
	Try                 // try a repair
	End                 // take a final
)

// String is the word that plan --json uses.
func (k Kind) String() string {
	return [...]string{"none", "question", "repair", "final"}[k]
}

// Action is a step: Index is the question, repair or final of the model.
type Action struct {
	Kind   Kind
	Index  int
	Extras []int // what to take along with a final
}

// Options bound the work.
type Options struct {
	// Budget is the number of states that may be expanded; 0 means
	// DefaultBudget of the model.
	Budget int
	// Proof, made for this state or one before it, gives a stronger bound.
	Proof *Proof
}

// Choice is a first step that was looked at: following it and then the best
// policy found costs Expected; no policy that begins with it costs less than
// Lower.
type Choice struct {
	Action   Action
	Expected float64
	Lower    float64
}

// Plan is what planning from a state gives; costs are minutes from now on.
type Plan struct {
	First    Action
	Expected float64  // exact cost of the policy found
	Lower    float64  // no policy costs less
	Exact    bool     // Expected is the optimum, up to rounding
	States   int      // states expanded
	Choices  []Choice // first steps, cheapest first, ties in the order of the model
}

// ErrNoCause says that facts and rules contradict every cause.
var ErrNoCause = errors.New("what is known leaves no cause possible; check the facts again")

// EndlessError says that no policy is sure to end the case: its expected cost
// is infinite.
type EndlessError struct {
	Causes []string // causes that nothing ends, or that nothing tells apart
}

func (e *EndlessError) Error() string {
	return fmt.Sprintf("expected cost is infinite: no step is sure to end the case for %s; add a final action", strings.Join(e.Causes, ", "))
}

// action is an Action inside the search, with indices of the problem.
type action struct {
	kind  Kind
	index int
}

// Plan finds a policy of least expected cost from s, within the budget. The
// model must have passed Check. The same model, state and budget give the
// same plan on every machine.
func (m *Model) Plan(s State, o Options) (Plan, error) {
	run, err := m.search(s, o)
	if err != nil {
		return Plan{}, err
	}
	return run.plan(), nil
}

// run is a finished search with all that can be read off it.
type run struct {
	m      *Model
	state  State
	belief Belief
	search *search // nil when the case is over or a rule stops it
	over   Action  // then this is what follows
	cost   float64
}

// search compiles the problem and searches it.
func (m *Model) search(s State, o Options) (*run, error) {
	r := &run{m: m, state: s, belief: m.Believe(s)}
	if r.belief.None {
		return nil, ErrNoCause
	}
	if m.Goal == Identify && r.belief.alive() == 1 {
		return r, nil
	}
	if f := r.belief.Stop; f >= 0 {
		r.over = Action{Kind: End, Index: f, Extras: m.extras(f, r.belief.P)}
		r.cost = m.finalCost(f, r.belief.P)
		return r, nil
	}
	if err := m.endless(s, r.belief); err != nil {
		return nil, err
	}
	p := newProblem(m, s, r.belief)
	budget := o.Budget
	if budget <= 0 {
		budget = m.DefaultBudget()
	}
	r.search = newSearch(p, budget, o.Proof.seat(p, s, r.belief))
	r.search.loop()
	r.search.settle(r.search.root)
	if math.IsInf(r.search.root.hi, 1) {
		return nil, &EndlessError{Causes: m.liveNames(r.belief)}
	}
	return r, nil
}

// alive counts the causes with weight.
func (b Belief) alive() int {
	n := 0
	for _, p := range b.P {
		if p > 0 {
			n++
		}
	}
	return n
}

func (m *Model) liveNames(b Belief) []string {
	var list []string
	for c, p := range b.P {
		if p > 0 {
			list = append(list, m.Causes[c].ID)
		}
	}
	return list
}

// extras lists what is worth taking along with final f under belief p.
func (m *Model) extras(f int, p []float64) []int {
	var list []int
	for i, x := range m.Finals[f].Extras {
		if x.Take < dot(p, x.Miss) {
			list = append(list, i)
		}
	}
	return list
}

// finalCost is the expected minutes of final f under belief p, with the
// extras that are worth it.
func (m *Model) finalCost(f int, p []float64) float64 {
	sum := dot(p, m.Finals[f].Cost)
	for _, x := range m.Finals[f].Extras {
		sum += math.Min(x.Take, dot(p, x.Miss))
	}
	return sum
}

// endless returns an error if even doing everything might not end the case.
// Without a final, goal Repair needs a sure repair for every live cause, and
// goal Identify something sure between every two.
func (m *Model) endless(s State, b Belief) error {
	if len(m.Finals) > 0 {
		return nil
	}
	var list []string
	for c, p := range b.P {
		if p > 0 && !m.surelyEnds(c, s, b) {
			list = append(list, m.Causes[c].ID)
		}
	}
	if list == nil {
		return nil
	}
	return &EndlessError{Causes: list}
}

func (m *Model) surelyEnds(c int, s State, b Belief) bool {
	if m.surelyCured(c, s) {
		return true
	}
	if m.Goal == Repair {
		return false
	}
	for d, p := range b.P {
		if d != c && p > 0 && !m.surelyCured(d, s) && !m.surelyApart(c, d, s) {
			return false
		}
	}
	return true
}

func (m *Model) surelyCured(c int, s State) bool {
	for r := range m.Repairs {
		if s.Trials[r] == Untried && m.Repairs[r].Fixes[c] == 1 {
			return true
		}
	}
	return false
}

// surelyApart reports whether some open question has no answer that both
// causes can give.
func (m *Model) surelyApart(c, d int, s State) bool {
	for q := range m.Questions {
		if s.Answers[q] != Open || m.Questions[q].Silent {
			continue
		}
		if disjoint(&m.Questions[q], c, d) {
			return true
		}
	}
	return false
}

// disjoint reports whether no answer to q can be given by both c and d.
func disjoint(q *Question, c, d int) bool {
	for a := range q.Answers {
		if q.Given[c][a] > 0 && q.Given[d][a] > 0 {
			return false
		}
	}
	return true
}
