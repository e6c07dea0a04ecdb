package kb

// reliability is r of the sense; 0 for a word that is no sense.
func (s Sense) reliability() float64 {
	switch s {
	case SenseLook:
		return 0.9
	case SenseColour, SenseHistory:
		return 0.8
	case SenseTechnician:
		return 0.97
	case SenseInstrument:
		return 0.995
	}
	return 0
}

// told is how often a question of that sense gets an answer at all (common
// practice, no source). "Cannot tell" costs the same minutes and says nothing,
// so a question is priced by its minutes for each answer that is told.
func (s Sense) told() float64 {
	switch s {
	case SenseLook:
		return 0.9
	case SenseColour:
		return 0.85
	case SenseHistory:
		return 0.7
	}
	return 0.97
}

// Trust is how far an answer of q is believed, 0..1, when who looks: what a
// technician looks at is trusted at least as a technician's look.
func (q *Question) Trust(who Who) float64 {
	r := q.Sense.reliability()
	if q.Reliability > 0 {
		r = q.Reliability
	}
	if who == WhoTechnician && q.Sense == SenseLook && r >= SenseLook.reliability() {
		r = max(r, SenseTechnician.reliability())
	}
	return r
}

// answer is the index of the value, -1 where q has no such answer.
func (q *Question) answer(value string) int {
	for i, a := range q.Answers {
		if a.Value == value {
			return i
		}
	}
	return -1
}

// AnswerLabel is the label of a value; the value itself where it is unknown.
func (q *Question) AnswerLabel(value string) string {
	if i := q.answer(value); i >= 0 {
		return q.Answers[i].Say
	}
	return value
}

// Has reports whether value is an answer of q.
func (q *Question) Has(value string) bool { return q.answer(value) >= 0 }

func (q *Question) values() []string {
	list := make([]string, len(q.Answers))
	for i, a := range q.Answers {
		list[i] = a.Value
	}
	return list
}

// DefaultRow is how often each answer is given when nothing that bears on q
// is wrong: what the authored figures leave over is spread evenly over the
// answers without one; it sums to one.
func (q *Question) DefaultRow() []float64 {
	row := make([]float64, len(q.Answers))
	sum, bare := 0.0, 0
	for i, a := range q.Answers {
		row[i] = float64(a.Default)
		sum += row[i]
		if a.Default == 0 {
			bare++
		}
	}
	if bare > 0 && sum < 1 {
		for i, a := range q.Answers {
			if a.Default == 0 {
				row[i] = (1 - sum) / float64(bare)
			}
		}
		sum = 1
	}
	for i := range row {
		row[i] /= sum
	}
	return row
}

// Usual is how often the value is answered when nothing that bears on q is
// wrong; 0 where q has no such answer.
func (q *Question) Usual(value string) float64 {
	i := q.answer(value)
	if i < 0 {
		return 0
	}
	return q.DefaultRow()[i]
}

// FullRow spreads what row leaves over across the other answers in proportion
// to the default row; it sums to one.
func (q *Question) FullRow(row Row) []float64 {
	base := q.DefaultRow()
	full := make([]float64, len(base))
	named := make([]bool, len(base))
	sum, rest := 0.0, 0.0
	for _, s := range row {
		if i := q.answer(s.Answer); i >= 0 {
			full[i], named[i] = float64(s.Chance), true
			sum += float64(s.Chance)
		}
	}
	for i, p := range base {
		if !named[i] {
			rest += p
		}
	}
	if rest == 0 {
		for i := range full {
			full[i] /= sum
		}
		return full
	}
	for i, p := range base {
		if !named[i] {
			full[i] = (1 - sum) * p / rest
		}
	}
	return full
}
