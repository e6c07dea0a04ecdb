package diagnose

import (
	"fmt"
	"math"
)

// Policy says what to do in every state that it can lead to.
type Policy interface {
	Next(s State) (Action, error)
}

// PolicyFunc makes a Policy of a function.
type PolicyFunc func(State) (Action, error)

// Next calls f.
func (f PolicyFunc) Next(s State) (Action, error) { return f(s) }

// EvaluatePolicy returns the exact expected cost of following p from s. It
// walks every history that p can produce and uses nothing of the search: only
// the model, the belief and the policy's own answers.
func EvaluatePolicy(m *Model, s State, p Policy) (float64, error) {
	b := m.Believe(s)
	if b.None {
		return 0, ErrNoCause
	}
	return m.follow(s, b, p)
}

func (m *Model) follow(s State, b Belief, p Policy) (float64, error) {
	if m.Goal == Identify && b.alive() <= 1 {
		return 0, nil
	}
	a, err := p.Next(s)
	if err != nil {
		return 0, err
	}
	switch a.Kind {
	case End:
		return m.handOver(a, b), nil
	case Try:
		if s.Trials[a.Index] != Untried {
			return 0, fmt.Errorf("policy tries %s twice", m.Repairs[a.Index].ID)
		}
		return m.followTry(s, b, a.Index, p)
	case Ask:
		if s.Answers[a.Index] != Open {
			return 0, fmt.Errorf("policy asks %s twice", m.Questions[a.Index].ID)
		}
		return m.followAsk(s, b, a.Index, p)
	}
	return math.Inf(1), nil // it gives up with the fault still there
}

// handOver prices a final with exactly the extras that a takes along.
func (m *Model) handOver(a Action, b Belief) float64 {
	f := &m.Finals[a.Index]
	taken := make([]bool, len(f.Extras))
	sum := 0.0
	for _, i := range a.Extras {
		taken[i] = true
	}
	for c, p := range b.P {
		cost := f.Cost[c]
		for i, x := range f.Extras {
			if taken[i] {
				cost += x.Take
			} else {
				cost += x.Miss[c]
			}
		}
		sum += p * cost
	}
	return sum
}

func (m *Model) followTry(s State, b Belief, r int, p Policy) (float64, error) {
	cost := m.Repairs[r].Cost + m.walk(s.Place, m.Repairs[r].Place)
	fails := 0.0
	for c, q := range b.P {
		fails += q * (1 - m.Repairs[r].Fixes[c])
	}
	if fails <= 0 {
		return cost, nil
	}
	t := s.Clone()
	t.Trials[r] = Failed
	t.Place = moved(s.Place, m.Repairs[r].Place)
	next := m.Believe(t)
	if next.None { // what is left is too small to have weight
		return cost, nil
	}
	v, err := m.follow(t, next, p)
	return cost + fails*v, err
}

func (m *Model) followAsk(s State, b Belief, q int, p Policy) (float64, error) {
	src := &m.Questions[q]
	cost := src.Cost + m.walk(s.Place, src.Place)
	for a := range src.Answers {
		chance := 0.0
		for c, x := range b.P {
			chance += x * src.Given[c][a]
		}
		if chance == 0 {
			continue
		}
		t := s.Clone()
		t.Answers[q] = int16(a)
		t.Place = moved(s.Place, src.Place)
		v, err := m.follow(t, m.Believe(t), p)
		if err != nil {
			return 0, err
		}
		cost += chance * v
	}
	return cost, nil
}

// walk is the minutes from one place to another; -1 is anywhere.
func (m *Model) walk(from, to int) float64 {
	if m.Walk == nil || from < 0 || to < 0 {
		return 0
	}
	return m.Walk[from][to]
}
