package index

import (
	"math"
	"sort"

	"faultbook/kb"
)

// A fact is heard where the words of an authored phrase stand close together
// in what the caller says, each in the same mood: "lamp is off" is not heard in
// "the lamp is not off". Order does not matter.
//
// A phrase that authors wrote under several questions says less, and so does
// one under a question that bears on none of the causes of the likely
// symptoms.
const (
	slack         = 4    // words that may stand between, beside the phrase's own
	safetySlack   = 8    // the same for facts on which a rule stops the call
	leastHeard    = 0.74 // share of a long phrase that has to be there, by weight
	longPhrase    = 4    // from this size on one word may be missing
	longDanger    = 6    // the same for facts on which a rule stops the call
	leastScore    = 0.6  // below, a fact was rather not said
	leastDanger   = 0.45 // the same for facts on which a rule stops the call
	mostTerms     = 60   // longer phrases are no phrases
	looseDiscount = 0.15 // a phrase with the most slack loses this share
	strayDiscount = 0.5  // a question that bears on nothing likely loses this
)

// factModel hears facts.
type factModel struct {
	phrases  []factPhrase
	terms    []term      // of all phrases, one after another
	anchors  [][]int32   // by concept: phrases whose rarest word can mean it
	dangers  []int       // by concept: how often it stands in phrases that tell a danger
	answers  []HeardFact // question, value, label, safety; words and score empty
	symptoms []string
	bears    map[string][]bool // by question: symptoms of the causes that it bears on
}

// factPhrase is one line under an answer's `words`.
type factPhrase struct {
	from, to int
	terms    []term
	weight   []float64
	sum      float64
	question int
	answer   int
	share    float64 // 1 over the root of the number of questions that have the same phrase
	alone    bool    // one word, telling enough to be heard by itself
}

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
				m.phrases = append(m.phrases, factPhrase{from: from, to: len(m.terms), answer: n, question: number, alone: alone})
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

// read hears the facts in some terms, given the chances of the symptoms.
func (m *factModel) read(terms []term, symptoms []Chance) []HeardFact {
	chance := make(map[string]float64, len(symptoms))
	for _, c := range symptoms {
		chance[c.ID] = c.Chance
	}
	best := map[string]HeardFact{}
	tried := map[int32]bool{}
	for _, t := range terms {
		for _, c := range t.concepts {
			for _, k := range m.anchors[c] {
				if tried[k] {
					continue
				}
				tried[k] = true
				if f, ok := m.match(&m.phrases[k], terms, chance); ok {
					keepBest(best, f)
				}
			}
		}
	}
	return inOrder(best)
}

// inOrder lists safety first, then the surest.
func inOrder(best map[string]HeardFact) []HeardFact {
	list := make([]HeardFact, 0, len(best))
	for _, f := range best {
		list = append(list, f)
	}
	sort.Slice(list, func(i, j int) bool {
		a, b := list[i], list[j]
		if a.Safety != b.Safety {
			return a.Safety
		}
		if a.Score != b.Score {
			return a.Score > b.Score
		}
		return a.Question < b.Question
	})
	return list
}

// keepBest keeps one answer a question: safety first, then the surest, then
// the first by its value.
func keepBest(best map[string]HeardFact, f HeardFact) {
	old, ok := best[f.Question]
	switch {
	case !ok, f.Safety && !old.Safety, f.Safety == old.Safety && f.Score > old.Score,
		f.Safety == old.Safety && f.Score == old.Score && f.Value < old.Value:
		best[f.Question] = f
	}
}

// match finds the closest place where the words of a phrase stand together.
func (m *factModel) match(p *factPhrase, terms []term, chance map[string]float64) (HeardFact, bool) {
	f := m.answers[p.answer]
	room := slack
	if f.Safety {
		room = safetySlack
	}
	var bestUsed []int
	for start := range terms {
		used, score := m.from(p, terms, start, room)
		if score > f.Score {
			f.Score, bestUsed = score, used
		}
	}
	if !f.Safety && f.Score > 0 {
		f.Score *= p.share * m.fits(f.Question, chance)
	}
	if f.Score < leastDanger || !f.Safety && f.Score < leastScore {
		return f, false
	}
	for _, i := range bestUsed {
		f.Words = append(f.Words, terms[i].text)
	}
	return f, true
}

// fits is 1 where the question bears on all likely symptoms, less where it
// does not and the likely symptoms are sure.
func (m *factModel) fits(question string, chance map[string]float64) float64 {
	if len(m.bears) == 0 {
		return 1
	}
	sum, most := 0.0, 0.0
	for i, bears := range m.bears[question] {
		c := chance[m.symptoms[i]]
		most = max(most, c)
		if bears {
			sum += c
		}
	}
	return 1 - strayDiscount*(1-min(sum, 1))*most
}

// from matches a phrase with the terms from one place on, beginning with it.
func (m *factModel) from(p *factPhrase, terms []term, start, room int) (used []int, score float64) {
	first := bestFor(p, terms[start], 0)
	if first < 0 {
		return nil, 0
	}
	taken := uint64(1) << first
	got := p.weight[first] * terms[start].quality
	used = append(used, start)
	span := p.words() + room
	end := terms[start].last
	for i := start + 1; i < len(terms) && terms[i].whole == terms[start].whole && terms[i].last-terms[start].pos < span; i++ {
		k := bestFor(p, terms[i], taken)
		if k < 0 {
			continue
		}
		taken |= 1 << k
		got += p.weight[k] * terms[i].quality
		used = append(used, i)
		end = terms[i].last
	}
	missing := len(p.terms) - len(used)
	switch {
	case missing > 0 && p.lacksParticle(taken): // what hangs off the wall does not hang on it
		return nil, 0
	case missing > 1, missing == 1 && len(p.terms) < m.long(p), got/p.sum < leastHeard && missing > 0:
		return nil, 0
	case len(p.terms) == 1 && (!p.alone || terms[start].quality < 1 && !m.answers[p.answer].Safety):
		return nil, 0
	case p.stray(terms, used):
		return nil, 0
	}
	score = got / p.sum
	if extra := end - terms[start].pos + 1 - p.words(); extra > 0 {
		score *= 1 - looseDiscount*float64(extra)/float64(room)
	}
	return used, score
}

func (m *factModel) long(p *factPhrase) int {
	if m.answers[p.answer].Safety {
		return longDanger
	}
	return longPhrase
}

// lacksParticle reports whether an "off" or "out" of the phrase is not among
// its words that were found.
func (p *factPhrase) lacksParticle(taken uint64) bool {
	for k, own := range p.terms {
		if taken>>k&1 == 0 && own.role == preposition {
			return true
		}
	}
	return false
}

// stray reports whether an "on" or "all" that was taken for the phrase's
// belongs to another word: it must have one of the phrase's words beside it, and
// a quantifier the one that it comes before.
func (p *factPhrase) stray(terms []term, used []int) bool {
	for k, i := range used {
		before := k > 0 && used[k-1] == i-1
		after := k+1 < len(used) && used[k+1] == i+1
		switch {
		case terms[i].text == "only":
			if !before && (k+1 == len(used) || used[k+1] > i+2) {
				return true
			}
		case terms[i].role == preposition:
			if !before && !after {
				return true
			}
		case terms[i].role == quantifier:
			if leads := p.terms[len(p.terms)-1].role != quantifier; leads && !after || !leads && !before {
				return true
			}
		}
	}
	return false
}

// words is the length of the phrase, words that name nothing included.
func (p *factPhrase) words() int {
	return p.terms[len(p.terms)-1].last - p.terms[0].pos + 1
}

// bestFor finds the first word of the phrase, not yet taken, that the term can
// stand for; -1 where there is none.
func bestFor(p *factPhrase, t term, taken uint64) int {
	for k, own := range p.terms {
		if taken>>k&1 == 0 && own.mood == t.mood && meets(own, t) {
			return k
		}
	}
	return -1
}

// means lists what a term can stand for. The parts of a word of several parts
// are not among it.
func means(t term) []concept {
	if t.several {
		return t.concepts[len(t.concepts)-1:]
	}
	return t.concepts
}

// meets reports whether two terms have a meaning in common.
func meets(a, b term) bool {
	for _, x := range means(a) {
		for _, y := range means(b) {
			if x == y {
				return true
			}
		}
	}
	return false
}
