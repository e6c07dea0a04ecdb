package diagnose

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Expectation is what following a policy costs on average.
type Expectation struct {
	Minutes float64
	Error   float64 // standard error of Minutes, 0 where every history was followed
}

// Cases says on which cases two policies are compared.
type Cases struct {
	N    int    // about so many; at least two in every branch that the policies part in
	Seed uint64 // the same seed gives the same cases
	// Guess is about what is still to be paid in a state; nil for no guess. The
	// figures are right whatever it says, and the better it is, the less is left
	// to chance.
	Guess func(State) (float64, error)
}

// Pair is the expected cost of two policies, and how much more the second costs.
type Pair struct{ First, Second, More Expectation }

// Versus compares two policies from s on the same cases. As long as both do the
// same thing, likely histories are followed in full; where they part, or a
// history has become rare, cases are drawn, the same for both: whoever puts a
// question in a case gets the answer at the same place of its chances (common
// random numbers). A repair that fails is never drawn but weighed. What
// the guess says beforehand of each drawn answer is taken out again (a control
// variate made of a martingale; Henderson and Glynn 2002), so that only what
// policies do otherwise than guessed is left to chance.
func (m *Model) Versus(s State, first, second Policy, cases Cases) (Pair, error) {
	b := m.Believe(s)
	if b.None {
		return Pair{}, ErrNoCause
	}
	v := &versus{m: m, ways: [2]Policy{first, second}, Cases: cases, known: map[string]float64{}}
	t, err := v.walk(s, b, 1)
	figure := func(i int) Expectation { return Expectation{t.mean[i], math.Sqrt(t.variance[i])} }
	return Pair{figure(0), figure(1), figure(2)}, err
}

type versus struct {
	Cases
	m     *Model
	ways  [2]Policy
	known map[string]float64 // guesses made
}

// tally is the mean cost of the first, of the second and of their difference,
// each with the variance of that figure.
type tally struct{ mean, variance [3]float64 }

func (t *tally) add(chance float64, o tally) {
	for i := range t.mean {
		t.mean[i] += chance * o.mean[i]
		t.variance[i] += chance * chance * o.variance[i]
	}
}

// fewCases is how many cases a branch must have to be followed in full.
const fewCases = 4

// walk compares from s, which both reach with chance reach.
func (v *versus) walk(s State, b Belief, reach float64) (tally, error) {
	if v.m.Goal == Identify && b.alive() <= 1 {
		return tally{}, nil
	}
	a, err := v.ways[0].Next(s)
	if err != nil {
		return tally{}, err
	}
	o, err := v.ways[1].Next(s)
	if err != nil {
		return tally{}, err
	}
	if !a.same(o) || reach*float64(v.N) < fewCases {
		return v.sample(s, b, max(2, int(math.Round(reach*float64(v.N)))))
	}
	cost, outs := v.m.effect(s, b, a)
	t := tally{mean: [3]float64{cost, cost, 0}}
	for _, out := range outs {
		below, err := v.walk(out.state, out.belief, reach*out.chance)
		if err != nil {
			return tally{}, err
		}
		t.add(out.chance, below)
	}
	return t, nil
}

// sample compares from s on n cases.
func (v *versus) sample(s State, b Belief, n int) (tally, error) {
	var sum, square [3]float64
	at := hashOf(s.key())
	for k := range n {
		var x [3]float64
		for i, p := range v.ways {
			var err error
			if x[i], err = v.follow(s, b, p, v.Seed^(at+uint64(k))); err != nil {
				return tally{}, err
			}
		}
		x[2] = x[1] - x[0]
		for i := range x {
			sum[i] += x[i]
			square[i] += x[i] * x[i]
		}
	}
	var t tally
	for i := range sum {
		t.mean[i] = sum[i] / float64(n)
		t.variance[i] = max(0, square[i]-sum[i]*t.mean[i]) / float64(n*(n-1))
	}
	return t, nil
}

// follow is what p costs from s in one case, less what of it is luck as far as
// the guess knows.
func (v *versus) follow(s State, b Belief, p Policy, drawn uint64) (float64, error) {
	total, err := v.guess(s)
	if err != nil {
		return 0, err
	}
	here, weight := total, 1.0
	for range maxPlay {
		a, err := p.Next(s)
		if err != nil {
			return 0, err
		}
		cost, outs := v.m.effect(s, b, a)
		if v.m.Goal == Identify && b.alive() <= 1 {
			cost, outs = 0, nil
		}
		sum, ahead, guesses := 0.0, 0.0, make([]float64, len(outs))
		for i, o := range outs {
			if guesses[i], err = v.guess(o.state); err != nil {
				return 0, err
			}
			sum += o.chance
			ahead += o.chance * guesses[i]
		}
		total += weight * (cost + ahead - here)
		if len(outs) == 0 {
			return total, nil
		}
		weight *= sum // less than one after a repair only
		i := pick(outs, sum*rand.New(rand.NewPCG(drawn, uint64(a.Index))).Float64())
		s, b, here = outs[i].state, outs[i].belief, guesses[i]
	}
	return 0, fmt.Errorf("the policy does not end within %d steps", maxPlay)
}

// pick is the outcome at place x of the chances.
func pick(outs []expected, x float64) int {
	for i, o := range outs {
		if x -= o.chance; x < 0 {
			return i
		}
	}
	return len(outs) - 1
}

func (v *versus) guess(s State) (float64, error) {
	if v.Guess == nil {
		return 0, nil
	}
	key := s.key()
	if x, ok := v.known[key]; ok {
		return x, nil
	}
	x, err := v.Guess(s)
	v.known[key] = x
	return x, err
}

func (a Action) same(o Action) bool {
	return a.Kind == o.Kind && a.Index == o.Index && slices.Equal(a.Extras, o.Extras)
}

// expected is a state that may follow, with its chance.
type expected struct {
	chance float64
	state  State
	belief Belief
}

// effect is the mean cost of doing a in s, and what may come of it that leaves
// the case open.
func (m *Model) effect(s State, b Belief, a Action) (float64, []expected) {
	next := s.Clone()
	switch a.Kind {
	case End:
		return m.handOver(a, b), nil
	case Try:
		cost := m.Repairs[a.Index].Cost + m.move(&next, m.Repairs[a.Index].Place)
		next.Trials[a.Index] = Failed
		return cost, m.outcome(nil, 1-dot(b.P, m.Repairs[a.Index].Fixes), next)
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
		return cost, outs
	}
	return math.Inf(1), nil // it gives up with the fault still there
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
