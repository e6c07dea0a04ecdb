package index

import (
	"sort"

	"github.com/RoaringBitmap/roaring/v2"
)

// question is a query with what the index knows of its words.
type question struct {
	words  []sought
	table  []string // the words of the index that are looked for, each once
	number map[string]int
	phrase [][]int // words of the table that must stand in a row
	parts  []part
	// sets gives the documents by part, field and number of the word; nil for
	// none.
	sets [][][]*roaring.Bitmap
}

// sought is one word with all that counts as it.
type sought struct {
	wanted
	terms []soughtTerm
	worth float64 // of having it
}

// soughtTerm is a word of the index; share is how much it counts.
type soughtTerm struct {
	number int
	share  float64
	rarity float64
}

// ask looks the words up in all parts.
func (x *Index) ask(list []wanted, phrases []string) (*question, error) {
	q := &question{number: map[string]int{}, parts: x.parts()}
	for _, w := range list {
		s := sought{wanted: w}
		for _, guess := range w.guesses {
			s.terms = append(s.terms, soughtTerm{number: q.numberOf(guess), share: 1})
		}
		if !w.guessed {
			same, err := x.sameAs(w.term)
			if err != nil {
				return nil, err
			}
			s.terms = append(s.terms, soughtTerm{number: q.numberOf(w.term), share: 1})
			for _, other := range same {
				s.terms = append(s.terms, soughtTerm{number: q.numberOf(other), share: sameWord})
			}
		}
		q.words = append(q.words, s)
	}
	for _, p := range phrases {
		q.addPhrase(p)
	}
	if err := q.lookUp(); err != nil {
		return nil, err
	}
	q.weigh()
	return q, nil
}

func (q *question) numberOf(word string) int {
	n, ok := q.number[word]
	if !ok {
		n = len(q.table)
		q.number[word] = n
		q.table = append(q.table, word)
	}
	return n
}

func (q *question) addPhrase(text string) {
	var row []int
	for _, t := range lex(text) {
		if len(row) < mostInPhrase {
			row = append(row, q.numberOf(stemOf(t.text)))
		}
	}
	if len(row) > 1 {
		q.phrase = append(q.phrase, row)
	}
}

// lookUp fills in the sets.
func (q *question) lookUp() error {
	for _, p := range q.parts {
		fields := make([][]*roaring.Bitmap, len(textBoosts()))
		for f, field := range textBoosts() {
			fields[f] = make([]*roaring.Bitmap, len(q.table))
			for n, word := range q.table {
				set, err := p.having(field.name, word)
				if err != nil {
					return err
				}
				if set != nil && !set.IsEmpty() {
					fields[f][n] = set
				}
			}
		}
		q.sets = append(q.sets, fields)
	}
	return nil
}

// weigh fills in rarities, from the field in which most documents have the
// word, and what each word is worth; the least telling of too many words fall
// away.
func (q *question) weigh() {
	all := 0
	for _, p := range q.parts {
		all += p.live()
	}
	rarity := make([]float64, len(q.table))
	for n := range q.table {
		most := 0
		for f, field := range textBoosts() {
			if field.name == "heard" {
				continue
			}
			have := 0
			for p := range q.parts {
				if set := q.sets[p][f][n]; set != nil {
					have += int(set.GetCardinality())
				}
			}
			most = max(most, have)
		}
		rarity[n] = rarityOf(most, all)
	}
	for i := range q.words {
		w := &q.words[i]
		for k := range w.terms {
			w.terms[k].rarity = rarity[w.terms[k].number]
		}
		for _, t := range w.terms {
			w.worth = max(w.worth, t.rarity*w.boost)
			if !w.guessed {
				break // its own rarity counts
			}
		}
	}
	q.words = mostTelling(q.words, mostWords)
}

// mostTelling keeps the n words that are worth most, in their order.
func mostTelling(words []sought, n int) []sought {
	if len(words) <= n {
		return words
	}
	worth := make([]float64, len(words))
	for i := range words {
		worth[i] = words[i].worth
	}
	sort.Sort(sort.Reverse(sort.Float64Slice(worth)))
	kept := words[:0]
	for _, w := range words {
		if w.worth >= worth[n-1] && len(kept) < n {
			kept = append(kept, w)
		}
	}
	return kept
}

// step is a field and a word of the table with what having it is worth.
type step struct {
	field, number int
	value         float64
}

// steps lists where a word may stand, the most valuable first.
func (w *sought) steps() []step {
	var list []step
	for f, boost := range textBoosts() {
		if w.field != anywhere && w.field != f {
			continue
		}
		for _, t := range w.terms {
			list = append(list, step{f, t.number, t.share * t.rarity * boost.boost * w.boost})
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].value > list[j].value })
	return list
}
