package index

import (
	"sort"
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
	asks     bool    // asks for something, and is only heard where something is asked for
}

// read hears the facts in some terms, given the chances of the symptoms.
func (m *factModel) read(terms []term, asks asking, symptoms []Chance) []HeardFact {
	asked := asks&seeks != 0 || asks != 0 && !complains(terms)
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
				if m.phrases[k].asks && !asked {
					continue
				}
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
