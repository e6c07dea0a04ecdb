package diagnose

// Answer values of State.Answers beside the index of an answer.
const (
	Open    int16 = -1 // not asked yet
	Unknown int16 = -2 // asked, could not be told: no evidence, not asked again
)

// Trial is what came of a repair.
type Trial int8

const (
	Untried  Trial = iota
	Failed         // done, no change: counts as evidence against what it fixes
	CouldNot       // could not be done: no evidence, not offered again
)

// State is what is known at one moment: answers, trials and where the person
// stands. The zero-length slices of NewState are filled with Open and Untried.
type State struct {
	Answers []int16 // per question: Open, Unknown or an answer's index
	Trials  []Trial // per repair
	Place   int     // index of the place, -1 for anywhere
}

// NewState is the state before anything is known.
func (m *Model) NewState() State {
	s := State{Answers: make([]int16, len(m.Questions)), Trials: make([]Trial, len(m.Repairs)), Place: m.Start}
	for i := range s.Answers {
		s.Answers[i] = Open
	}
	return s
}

// Clone returns a copy that shares nothing with s.
func (s State) Clone() State {
	s.Answers = append([]int16(nil), s.Answers...)
	s.Trials = append([]Trial(nil), s.Trials...)
	return s
}

// Holds reports whether every condition is met by the answers of s.
func (s State) Holds(list []Condition) bool {
	for _, k := range list {
		if !s.meets(k) {
			return false
		}
	}
	return true
}

func (s State) meets(k Condition) bool {
	for _, a := range k.Answers {
		if s.Answers[k.Question] == int16(a) {
			return true
		}
	}
	return false
}

// After is the state once a has been done in s: with the given answer if it is
// a question, with the repair failed if it is one.
func (m *Model) After(s State, a Action, answer int) State {
	s = s.Clone()
	switch a.Kind {
	case Ask:
		s.Answers[a.Index] = int16(answer)
		m.move(&s, m.Questions[a.Index].Place)
	case Try:
		s.Trials[a.Index] = Failed
		m.move(&s, m.Repairs[a.Index].Place)
	}
	return s
}
