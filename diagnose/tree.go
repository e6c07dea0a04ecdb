package diagnose

// Tree is a policy written out: a step, and for each thing that may come of
// it what follows.
type Tree struct {
	Answer int     // answer that led here; -1 after a failed repair or at the root
	Chance float64 // chance of coming here from the root, 0..1
	Belief []float64
	Action Action
	Kids   []*Tree
	Cut    bool // what follows was left out because a limit was reached
}

// TreeLimits keep a tree printable; zero means no limit.
type TreeLimits struct {
	Depth  int     // steps from the root
	Nodes  int     // steps in all, likeliest branches first within a level
	Chance float64 // branches less likely than this are cut
}

// BuildTree follows p from s level by level and writes down what it does.
func BuildTree(m *Model, s State, p Policy, limits TreeLimits) (*Tree, error) {
	b := m.Believe(s)
	if b.None {
		return nil, ErrNoCause
	}
	type spot struct {
		tree  *Tree
		state State
		depth int
	}
	root := &Tree{Answer: -1, Chance: 1, Belief: b.P}
	queue, nodes := []spot{{root, s, 0}}, 0
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		if m.Goal == Identify && (Belief{P: at.tree.Belief}).alive() <= 1 {
			continue
		}
		if limits.Depth > 0 && at.depth >= limits.Depth || limits.Nodes > 0 && nodes >= limits.Nodes ||
			at.tree.Chance < limits.Chance {
			at.tree.Cut = true
			continue
		}
		nodes++
		a, err := p.Next(at.state)
		if err != nil {
			return nil, err
		}
		at.tree.Action = a
		m.branch(at.tree, at.state, func(kid *Tree, t State) {
			at.tree.Kids = append(at.tree.Kids, kid)
			queue = append(queue, spot{kid, t, at.depth + 1})
		})
	}
	return root, nil
}

// branch calls visit for every outcome of the tree's action that leaves the
// case open and is possible.
func (m *Model) branch(t *Tree, s State, visit func(*Tree, State)) {
	outcome := func(answer int, chance float64, next State) {
		if b := m.Believe(next); chance > 0 && !b.None {
			visit(&Tree{Answer: answer, Chance: t.Chance * chance, Belief: b.P}, next)
		}
	}
	switch i := t.Action.Index; t.Action.Kind {
	case Try:
		next := s.Clone()
		next.Trials[i] = Failed
		next.Place = moved(s.Place, m.Repairs[i].Place)
		outcome(-1, 1-dot(t.Belief, m.Repairs[i].Fixes), next)
	case Ask:
		q := &m.Questions[i]
		for a := range q.Answers {
			chance := 0.0
			for c, p := range t.Belief {
				chance += p * q.Given[c][a]
			}
			next := s.Clone()
			next.Answers[i] = int16(a)
			next.Place = moved(s.Place, q.Place)
			outcome(a, chance, next)
		}
	}
}
