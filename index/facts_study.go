package index

import (
	"math"

	"faultbook/kb"
)

func (m *factModel) study(lx *lexicon, book *kb.Book) {
	stops := stopFacts(kb.All[kb.Rule](book))
	m.terms = make([]term, 0, 1<<13)
	for number, q := range kb.All[kb.Question](book) {
		for _, a := range q.Answers {
			n := len(m.answers)
			m.answers = append(m.answers, HeardFact{Question: q.ID, Value: a.Value, Label: a.Say, Safety: stops[[2]string{q.ID, a.Value}]})
			for _, line := range a.Words {
				from := len(m.terms)
				m.terms = lx.study(line, m.terms)
				own := m.terms[from:]
				if len(own) == 0 || len(own) > mostTerms {
					continue
				}
				alone := len(own) == 1 && own[0].role == naming && (m.answers[n].Safety || !hasRole(line, preposition))
				m.phrases = append(m.phrases, factPhrase{from: from, to: len(m.terms), answer: n, question: number, alone: alone,
					asks: lx.lexer.asks()&(seeks|asksLeave) != 0})
			}
		}
	}
	for k := range m.phrases {
		p := &m.phrases[k]
		p.terms = m.terms[p.from:p.to]
	}
	m.weigh(len(lx.meanings))
	m.learnBearing(book.IDs(kb.KindSymptom), kb.All[kb.Cause](book))
}

// hasRole reports whether a line has a word of the role.
func hasRole(line string, r role) bool {
	for _, w := range cut(nil, line) {
		if w.mark == 0 && roleOf(w.text) == r {
			return true
		}
	}
	return false
}

// learnBearing notes for each question the symptoms of the causes that it
// bears on.
func (m *factModel) learnBearing(symptoms []string, causes []*kb.Cause) {
	place := make(map[string]int, len(symptoms))
	for i, id := range symptoms {
		place[id] = i
	}
	m.bears = make(map[string][]bool, 512)
	for _, c := range causes {
		for _, t := range c.Tells {
			row := m.bears[t.Question]
			if row == nil {
				row = make([]bool, len(symptoms))
				m.bears[t.Question] = row
			}
			for _, s := range c.Symptoms {
				if i, ok := place[s.ID]; ok {
					row[i] = true
				}
			}
		}
	}
	m.symptoms = symptoms
}

// stopFacts lists the answers on which a rule stops the call.
func stopFacts(rules []*kb.Rule) map[[2]string]bool {
	stops := map[[2]string]bool{}
	for _, r := range rules {
		if r.Stop == nil {
			continue
		}
		for _, f := range r.When {
			for _, v := range f.Is {
				stops[[2]string{f.Question, v}] = true
			}
		}
	}
	return stops
}

// weigh gives each word of each phrase its weight, the rarer the more, files
// the phrase under its rarest word, and sees which phrases several questions
// have.
func (m *factModel) weigh(concepts int) {
	words := make([]tallied, concepts)
	m.dangers = make([]int, concepts)
	phrases := make(map[uint64]tallied, len(m.phrases))
	for k := range m.phrases {
		p := &m.phrases[k]
		for _, t := range p.terms {
			words[last(t)] = words[last(t)].in(p.question)
			if m.answers[p.answer].Safety {
				m.dangers[last(t)]++
			}
		}
		sign := p.signature()
		phrases[sign] = phrases[sign].in(p.question)
	}
	m.anchors = make([][]int32, concepts)
	weights := make([]float64, len(m.terms))
	for k := range m.phrases {
		p := &m.phrases[k]
		p.share = 1 / math.Sqrt(float64(phrases[p.signature()].questions))
		p.alone = p.alone && m.tells(p, words[last(p.terms[0])])
		p.weight = weights[p.from:p.to]
		rarest := p.weigh(words, len(m.phrases))
		for _, c := range means(p.terms[rarest]) {
			m.anchors[c] = append(m.anchors[c], int32(k))
		}
	}
}

// tells reports whether one word says enough by itself: no other question has
// it, or only others that tell dangers.
func (m *factModel) tells(p *factPhrase, t tallied) bool {
	if m.answers[p.answer].Safety {
		return t.times == m.dangers[last(p.terms[0])]
	}
	return t.questions == 1
}

// tallied counts where a word or a phrase occurs. The questions come one after
// another.
type tallied struct{ times, questions, last int }

func (n tallied) in(question int) tallied {
	if n.times == 0 || n.last != question {
		n.questions++
	}
	return tallied{n.times + 1, n.questions, question}
}

// weigh weighs the words of one phrase and gives the place of its rarest.
func (p *factPhrase) weigh(words []tallied, all int) (rarest int) {
	for i, t := range p.terms {
		p.weight[i] = math.Log(1 + float64(all)/float64(words[last(t)].times))
		p.sum += p.weight[i]
		if p.weight[i] > p.weight[rarest] {
			rarest = i
		}
	}
	return rarest
}

// signature is the same for phrases that are heard in the same words: a hash
// that does not depend on their order.
func (p *factPhrase) signature() uint64 {
	sum := uint64(len(p.terms))
	for _, t := range p.terms {
		x := uint64(single(last(t), t.mood)) + 1
		x *= 0x9E3779B97F4A7C15
		x ^= x >> 29
		sum += x * 0xBF58476D1CE4E5B9
	}
	return sum
}
