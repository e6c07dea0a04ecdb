package index

import (
	"math"
	"sort"

	"faultbook/kb"
)

// The symptom model is a naive Bayes model over features of phrases, smoothed
// by the words of the whole book, with a bonus for an authored phrase that the
// caller says nearly word by word.

// constants are its weights.
type constants struct {
	smoothing float64 // pseudo-features from the whole book in each symptom
	sharpness float64 // features repeat each other: their sum is toned down
	phrase    float64 // bonus for an authored phrase said as it stands
	cause     float64 // a cause's plain sentence against a symptom's phrase
	title     float64 // a symptom's title against one of its phrases
	pair      float64 // two words in a row
	skip      float64 // two words with another between
	person    float64 // a word with whose it is
	asking    float64 // what is asked for
	denied    float64 // a denied word as the word itself
	stem      float64 // a stem beside its group, which says most of it
}

// tuned gives the constants. They were set on the odd lines of the first sheet of
// opening sentences in testdata/find, on one half of the second and on the
// openings of the calls for each cause; the rest is the test.
func tuned() constants {
	return constants{smoothing: 90, sharpness: 0.45, phrase: 3.5, cause: 0.18, title: 2.5,
		pair: 0.7, skip: 0.42, person: 0.65, asking: 2.2, denied: 0.52, stem: 0.5}
}

// symptomModel gives chances over symptoms.
type symptomModel struct {
	k           constants
	ids, titles []string
	numbers     map[feature]int32 // rows of odds
	odds        []float32         // log of the chance in each symptom against the book, a row for each feature
	tells       []float64         // the most that a feature speaks for a symptom
	phrases     []saying
	features    []int32   // of all phrases, one after another
	having      [][]int32 // phrases that have a feature
}

// saying is an authored phrase of a symptom.
type saying struct {
	symptom  int
	from, to int     // its features
	weight   float64 // sum of what they tell
}

// lesson is a line that the model learns from: a phrase of a symptom, or the
// plain sentence of a cause.
type lesson struct {
	terms   []term
	asks    asking
	symptom int
	weight  float64
	cause   *kb.Cause // nil for a phrase
}

// lessons reads the symptoms' own phrases and the plain sentences of the causes.
func (m *symptomModel) lessons(lx *lexicon, symptoms []*kb.Symptom, causes []*kb.Cause) []lesson {
	list := make([]lesson, 0, 1<<12)
	room := make([]term, 0, 1<<14) // for the terms of many lines
	read := func(line string) []term {
		from := len(room)
		room = lx.study(line, room)
		return room[from:len(room):len(room)]
	}
	for i, s := range symptoms {
		m.ids, m.titles = append(m.ids, s.ID), append(m.titles, s.Title)
		list = append(list, lesson{read(s.Title), lx.lexer.asks(), i, m.k.title, nil})
		for _, line := range s.Words {
			list = append(list, lesson{read(line), lx.lexer.asks(), i, 1, nil})
		}
	}
	for _, cause := range causes {
		list = append(list, lesson{read(cause.Plain), lx.lexer.asks(), 0, 0, cause})
	}
	return list
}

// study learns from the lessons. It needs the lexicon no more, so that others
// may go on with that meanwhile.
func (m *symptomModel) study(lessons []lesson) {
	c := newCounts(len(m.ids))
	place := map[string]int{}
	for i, id := range m.ids {
		place[id] = i
	}
	var list []weighted
	for _, l := range lessons {
		list = m.k.features(l.terms, l.asks, list)
		if l.cause != nil {
			m.addCause(c, l.cause, list, place)
			continue
		}
		m.addPhrase(c, l.symptom, list, l.weight)
	}
	m.numbers = c.numbers
	m.odds = c.odds(m.k.smoothing)
	m.weigh()
}

func (m *symptomModel) addPhrase(c *counts, symptom int, list []weighted, weight float64) {
	s := saying{symptom: symptom, from: len(m.features)}
	for _, f := range list {
		if f.weight > 0 {
			m.features = append(m.features, c.add(f.feature, symptom, f.weight*weight))
		}
	}
	s.to = len(m.features)
	m.phrases = append(m.phrases, s)
}

// addCause spreads a cause's sentence over its symptoms by its frequency in
// each.
func (m *symptomModel) addCause(c *counts, cause *kb.Cause, list []weighted, place map[string]int) {
	sum := 0.0
	for _, ref := range cause.Symptoms {
		sum += frequencyIn(cause, ref)
	}
	for _, ref := range cause.Symptoms {
		i, ok := place[ref.ID]
		if !ok || sum == 0 {
			continue
		}
		share := frequencyIn(cause, ref) / sum
		for _, f := range list {
			if f.weight > 0 {
				c.add(f.feature, i, f.weight*share*m.k.cause)
			}
		}
	}
}

func frequencyIn(cause *kb.Cause, ref kb.SymptomRef) float64 {
	if ref.Frequency != "" {
		return ref.Frequency.Weight()
	}
	return cause.Frequency.Weight()
}

// weigh gives each phrase the sum of what its features tell, so that a share
// of it can be said to be there.
func (m *symptomModel) weigh() {
	n := len(m.ids)
	m.tells = make([]float64, len(m.numbers))
	for f := range m.tells {
		most := float32(0)
		for _, v := range m.odds[f*n : (f+1)*n] {
			most = max(most, v)
		}
		m.tells[f] = float64(most)
	}
	lists := make([]int32, len(m.numbers)+1) // how many phrases have a feature
	for _, f := range m.features {
		lists[f]++
	}
	all := make([]int32, len(m.features))
	m.having = make([][]int32, len(m.numbers))
	start := int32(0)
	for f := range m.having {
		m.having[f] = all[start : start : start+lists[f]]
		start += lists[f]
	}
	for k := range m.phrases {
		p := &m.phrases[k]
		for _, f := range m.features[p.from:p.to] {
			p.weight += m.tells[f]
			m.having[f] = append(m.having[f], int32(k))
		}
	}
}

// read gives the chances, the likeliest first.
func (m *symptomModel) read(terms []term, asks asking) []Chance {
	n := len(m.ids)
	if n == 0 {
		return nil
	}
	scores := make([]float64, n)
	found := make([]float64, len(m.phrases))
	for _, f := range m.k.features(terms, asks, nil) {
		row, ok := m.numbers[f.feature]
		if !ok {
			continue
		}
		for i, v := range m.odds[int(row)*n : (int(row)+1)*n] {
			scores[i] += f.weight * float64(v) * m.k.sharpness
		}
		if f.weight > 0 {
			for _, k := range m.having[row] {
				found[k] += m.tells[row] * f.weight
			}
		}
	}
	m.reward(scores, found)
	return m.chances(scores)
}

// reward adds to each symptom for its phrase that is there most nearly as it
// stands.
func (m *symptomModel) reward(scores, found []float64) {
	best := make([]float64, len(scores))
	for k, w := range found {
		if p := m.phrases[k]; w > 0 && p.weight > 0 {
			best[p.symptom] = max(best[p.symptom], min(w/p.weight, 1))
		}
	}
	for i, b := range best {
		scores[i] += m.k.phrase * b * b * b
	}
}

func (m *symptomModel) chances(scores []float64) []Chance {
	most := math.Inf(-1)
	for _, s := range scores {
		most = max(most, s)
	}
	sum := 0.0
	list := make([]Chance, len(scores))
	for i, s := range scores {
		list[i] = Chance{ID: m.ids[i], Title: m.titles[i], Chance: math.Exp(s - most)}
		sum += list[i].Chance
	}
	for i := range list {
		list[i].Chance /= sum
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Chance > list[j].Chance })
	return list
}
