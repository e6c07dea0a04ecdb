package diagnose

// openAsks lists the questions that can be asked now or after other answers.
func (m *Model) openAsks(s State, b Belief) []int {
	can := make([]bool, len(m.Questions))
	for q := range m.Questions {
		can[q] = s.Answers[q] == Open && !m.Questions[q].Silent
	}
	for changed := true; changed; {
		changed = false
		for q := range m.Questions {
			if can[q] && !m.reachable(q, s, can) {
				can[q], changed = false, true
			}
		}
	}
	needed := m.openers(s, can)
	var list []int
	for q := range m.Questions {
		if can[q] && (needed[q] || m.tells(q, b)) {
			list = append(list, q)
		}
	}
	return list
}

// reachable reports whether every condition of q holds or may come to hold.
func (m *Model) reachable(q int, s State, can []bool) bool {
	for _, k := range m.Questions[q].When {
		if !s.meets(k) && !can[k.Question] {
			return m.forced(q, s)
		}
	}
	return true
}

// forced reports whether a rule may put question q in spite of its conditions.
func (m *Model) forced(q int, s State) bool {
	for i := range m.Rules {
		for _, a := range m.Rules[i].Ask {
			if a == q {
				return true
			}
		}
	}
	return false
}

// openers marks questions whose answers open others or decide rules.
func (m *Model) openers(s State, can []bool) []bool {
	needed := make([]bool, len(m.Questions))
	note := func(list []Condition) {
		for _, k := range list {
			if s.Answers[k.Question] == Open {
				needed[k.Question] = true
			}
		}
	}
	for q := range m.Questions {
		if can[q] {
			note(m.Questions[q].When)
		}
	}
	for i := range m.Rules {
		note(m.Rules[i].When)
		for _, q := range m.Rules[i].Ask {
			needed[q] = true
		}
	}
	return needed
}

// tells reports whether question q tells live causes apart at all.
func (m *Model) tells(q int, b Belief) bool {
	var first []float64
	for c, row := range m.Questions[q].Given {
		if b.P[c] == 0 {
			continue
		}
		if first == nil {
			first = row
			continue
		}
		for a := range row {
			if row[a] != first[a] {
				return true
			}
		}
	}
	return false
}

// openTries lists the repairs that are untried and may cure a live cause.
func (m *Model) openTries(s State, b Belief) []int {
	var list []int
	for r := range m.Repairs {
		if s.Trials[r] != Untried {
			continue
		}
		useful := false
		for c, f := range m.Repairs[r].Fixes {
			useful = useful || f > 0 && b.P[c] > 0
		}
		if useful {
			list = append(list, r)
		}
	}
	return list
}
