package drawing

import (
	"unicode/utf8"

	"faultbook/diagnose"
	"faultbook/kb"
)

// sizes counts the characters of the book's texts, to tell what a branch takes
// to print before it is worded.
type sizes struct {
	questions, remedies, handovers []int
	answers                        [][]int
}

func sizesOf(c *kb.Compiled, who kb.Who) sizes {
	var s sizes
	for _, q := range c.Questions {
		s.questions = append(s.questions, utf8.RuneCountInString(question(q, who)))
		var list []int
		for _, a := range q.Answers {
			list = append(list, utf8.RuneCountInString(a.Say))
		}
		s.answers = append(s.answers, list)
	}
	for _, r := range c.Remedies {
		s.remedies = append(s.remedies, utf8.RuneCountInString(r.Title))
	}
	for _, h := range c.Handovers {
		s.handovers = append(s.handovers, utf8.RuneCountInString(h.Title))
	}
	return s
}

// Characters of the words round the book's texts, and of what differs from
// branch to branch.
const (
	aboutChars = 24  // number, word, share, minutes, place
	causeChars = 32  // a cause with its chance
	stopChars  = 200 // what a stop says
	partChars  = 30
)

// head is the lines of a step's own text.
func (s sizes) head(t *twig) int {
	if t.action.Kind == diagnose.Try {
		return rowsFor(aboutChars + s.remedies[t.action.Index])
	}
	return rowsFor(aboutChars + s.questions[t.action.Index])
}

// labels is the characters of answers with their share.
func (s sizes) labels(t *twig, answers []int) int {
	n := 6
	for _, a := range answers {
		n += 5 + s.answers[t.action.Index][a]
	}
	return n
}

func (s sizes) cut(t *twig) int {
	n := len("Cut. Try: . Then hand over: .") + partChars*len(t.tail.extras) + s.handover(t.tail.final)
	for _, r := range t.tail.tries {
		n += s.remedies[r] + 8
	}
	return n
}

func (s sizes) end(t *twig) int {
	if t.kind == Stop {
		return stopChars
	}
	return len("Hand over: . Likeliest: .") + s.handover(t.action.Index) + 3*causeChars + partChars*len(t.action.Extras)
}

func (s sizes) handover(f int) int {
	if f < 0 || f >= len(s.handovers) {
		return 20
	}
	return s.handovers[f]
}

// question is what is put to whoever is on the line.
func question(q *kb.Question, who kb.Who) string {
	if who == kb.WhoTechnician && q.Technical != "" {
		return q.Technical
	}
	return q.Ask
}
