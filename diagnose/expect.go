package diagnose

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// Expectation is what following a policy costs on average.
type Expectation struct {
	Minutes float64
	// Error is the standard error of Minutes: 0 where every history was
	// followed, else from the rare ones, of which only samples were.
	Error float64
}

// Expect works out the expected cost of following p from s. Histories as
// likely as fine (0..1) are followed in full, each of the rarer ones by two
// samples of how it may go on; a repair that fails is never sampled but
// weighed. So most of the figure is exact and what is left of chance shows in
// its standard error (stratified sampling). fine 0 follows everything, as
// EvaluatePolicy does. The same seed gives the same figure.
func (m *Model) Expect(s State, p Policy, fine float64, seed uint64) (Expectation, error) {
	b := m.Believe(s)
	if b.None {
		return Expectation{}, ErrNoCause
	}
	e := &expecter{m: m, p: p, fine: fine, seed: seed}
	mean, variance, err := e.walk(s, b, 1)
	return Expectation{mean, math.Sqrt(variance)}, err
}

type expecter struct {
	m    *Model
	p    Policy
	fine float64
	seed uint64
}

// walk gives the mean cost from s and the variance of that figure.
func (e *expecter) walk(s State, b Belief, reach float64) (mean, variance float64, err error) {
	if reach < e.fine {
		r := rand.New(rand.NewPCG(e.seed, hashOf(s.key())))
		x, err := e.sample(s, b, r)
		if err != nil {
			return 0, 0, err
		}
		y, err := e.sample(s, b, r)
		return (x + y) / 2, (x - y) * (x - y) / 4, err
	}
	cost, outs, err := e.step(s, b)
	for _, o := range outs {
		v, vv, err := e.walk(o.state, o.belief, reach*o.chance)
		if err != nil {
			return 0, 0, err
		}
		cost += o.chance * v
		variance += o.chance * o.chance * vv
	}
	return cost, variance, err
}

// sample follows one way that things may go from s.
func (e *expecter) sample(s State, b Belief, r *rand.Rand) (float64, error) {
	total, weight := 0.0, 1.0
	for range maxPlay {
		cost, outs, err := e.step(s, b)
		if err != nil {
			return 0, err
		}
		total += weight * cost
		if len(outs) == 0 {
			return total, nil
		}
		sum := 0.0
		for _, o := range outs {
			sum += o.chance
		}
		weight *= sum // less than one after a repair only
		x, i := r.Float64()*sum, 0
		for ; i < len(outs)-1; i++ {
			if x -= outs[i].chance; x < 0 {
				break
			}
		}
		s, b = outs[i].state, outs[i].belief
	}
	return 0, fmt.Errorf("the policy does not end within %d steps", maxPlay)
}

// expected is a state that may follow, with its chance.
type expected struct {
	chance float64
	state  State
	belief Belief
}

// step is the mean cost of what p does in s alone, and what may come of it
// that leaves the case open.
func (e *expecter) step(s State, b Belief) (float64, []expected, error) {
	m := e.m
	if m.Goal == Identify && b.alive() <= 1 {
		return 0, nil, nil
	}
	a, err := e.p.Next(s)
	if err != nil {
		return 0, nil, err
	}
	next := s.Clone()
	switch a.Kind {
	case End:
		return m.handOver(a, b), nil, nil
	case Try:
		cost := m.Repairs[a.Index].Cost + m.move(&next, m.Repairs[a.Index].Place)
		next.Trials[a.Index] = Failed
		return cost, m.outcome(nil, 1-dot(b.P, m.Repairs[a.Index].Fixes), next), nil
	case Ask:
		q := &m.Questions[a.Index]
		cost := q.Cost + m.move(&next, q.Place)
		var outs []expected
		for i := range q.Answers {
			chance := 0.0
			for c, p := range b.P {
				chance += p * q.Given[c][i]
			}
			t := next.Clone()
			t.Answers[a.Index] = int16(i)
			outs = m.outcome(outs, chance, t)
		}
		return cost, outs, nil
	}
	return math.Inf(1), nil, nil // it gives up with the fault still there
}

// outcome adds a state that may follow, if it may.
func (m *Model) outcome(list []expected, chance float64, s State) []expected {
	if chance <= 0 {
		return list
	}
	b := m.Believe(s)
	if b.None { // what is left is too small to have weight
		return list
	}
	return append(list, expected{chance, s, b})
}

// hashOf is FNV-1a, for dice that do not depend on the order of things.
func hashOf(text string) uint64 {
	h := uint64(14695981039346656037)
	for i := range len(text) {
		h = (h ^ uint64(text[i])) * 1099511628211
	}
	return h
}
