package diagnose

import "fmt"

// Plain ways of working that plans are measured against. None of them is used
// by the planner.

// InOrder is the policy of somebody who asks nothing: the repairs in the
// given order, then the final that is cheapest under the belief.
func (m *Model) InOrder(repairs []int) Policy {
	return PolicyFunc(func(s State) (Action, error) {
		for _, r := range repairs {
			if s.Trials[r] == Untried {
				return Action{Kind: Try, Index: r}, nil
			}
		}
		return m.cheapestFinal(m.Believe(s))
	})
}

// ByChance is the policy of chance over cost alone: no questions, always the
// repair with the most chance of working a minute, until the cheapest final
// costs less than going on with the best of them.
func (m *Model) ByChance() Policy {
	return PolicyFunc(func(s State) (Action, error) {
		b := m.Believe(s)
		end, err := m.cheapestFinal(b)
		if err != nil {
			return end, err
		}
		best, ratio := -1, 0.0
		for r := range m.Repairs {
			if s.Trials[r] != Untried {
				continue
			}
			at := s
			minutes := m.Repairs[r].Cost + m.move(&at, m.Repairs[r].Place)
			if x := dot(b.P, m.Repairs[r].Fixes) / max(minutes, 1e-9); x > ratio*(1+1e-12) {
				best, ratio = r, x
			}
		}
		// One more repair pays if its chance times the final's cost exceeds
		// its minutes (Kadane and Simon 1977).
		if best < 0 || ratio*m.finalCost(end.Index, b.P) <= 1 {
			return end, nil
		}
		return Action{Kind: Try, Index: best}, nil
	})
}

// Final is the final action that costs least under a belief.
func (m *Model) Final(b Belief) (Action, error) { return m.cheapestFinal(b) }

func (m *Model) cheapestFinal(b Belief) (Action, error) {
	if b.Stop >= 0 {
		return Action{Kind: End, Index: b.Stop, Extras: m.extras(b.Stop, b.P)}, nil
	}
	best := -1
	for f := range m.Finals {
		if best < 0 || m.finalCost(f, b.P) < m.finalCost(best, b.P)-1e-12 {
			best = f
		}
	}
	if best < 0 {
		return Action{}, fmt.Errorf("the model has no final action")
	}
	return Action{Kind: End, Index: best, Extras: m.extras(best, b.P)}, nil
}
