package diagnose

import "math/rand/v2"

// Wander gives n states that can follow from s, for trying the engine out on
// what it was not made for: from s a random number of steps is taken, by turns
// p's own and any other that makes sense, with answers by their chance and
// repairs that fail. The same r gives the same states.
func (m *Model) Wander(s State, p Policy, n, most int, r *rand.Rand) ([]State, error) {
	var list []State
	for tries := 0; len(list) < n && tries < 20*n; tries++ {
		at, ok, err := m.stroll(s, p, 1+r.IntN(most), r)
		if err != nil {
			return nil, err
		}
		if ok {
			list = append(list, at)
		}
	}
	return list, nil
}

// stroll takes the given number of steps; false where the case ended before.
func (m *Model) stroll(s State, p Policy, steps int, r *rand.Rand) (State, bool, error) {
	s = s.Clone()
	for range steps {
		b := m.Believe(s)
		a, err := p.Next(s)
		if err != nil {
			return s, false, err
		}
		if a.Kind != Nothing && b.Stop < 0 && len(b.Ask) == 0 && r.IntN(2) == 0 {
			a = m.anyStep(s, b, a, r)
		}
		if a.Kind == End || a.Kind == Nothing || !m.happen(&s, b, a, r) {
			return s, false, nil
		}
	}
	b := m.Believe(s)
	return s, b.Stop < 0 && b.alive() > 1, nil
}

// anyStep is a step that is possible in s, each as likely as the others; a
// where there is none.
func (m *Model) anyStep(s State, b Belief, a Action, r *rand.Rand) Action {
	var list []Action
	for q := range m.Questions {
		if s.Answers[q] == Open && !m.Questions[q].Silent && s.Holds(m.Questions[q].When) {
			list = append(list, Action{Kind: Ask, Index: q})
		}
	}
	for i := range m.Repairs {
		if x := dot(b.P, m.Repairs[i].Fixes); s.Trials[i] == Untried && x > 0 && x < 0.9 {
			list = append(list, Action{Kind: Try, Index: i})
		}
	}
	if len(list) == 0 {
		return a
	}
	return list[r.IntN(len(list))]
}

// happen draws what comes of a; false where it can only end the case.
func (m *Model) happen(s *State, b Belief, a Action, r *rand.Rand) bool {
	if a.Kind == Try {
		m.move(s, m.Repairs[a.Index].Place)
		s.Trials[a.Index] = Failed
	} else {
		q := &m.Questions[a.Index]
		m.move(s, q.Place)
		row := make([]float64, len(q.Answers))
		for i := range row {
			for c, p := range b.P {
				row[i] += p * q.Given[c][i]
			}
		}
		s.Answers[a.Index] = drawAnswer(row, r)
	}
	return !m.Believe(*s).None
}
