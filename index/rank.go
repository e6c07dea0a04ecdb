package index

import (
	"math"
	"sort"
)

// The sets of documents that have a word (sought.go) say which are candidates
// (candidates.go); their order is made here, from the places where the words
// stand. A word counts, in the best of its fields and a little more for the
// others,
//
//	field boost × word boost × rarity × times/(times+1)
//
// words that stand side by side in the query and in a text count more, and so
// does having all of them. The constants were set on the odd lines of the score
// sheet of queries in testdata/find.
const (
	saturation  = 1.0  // times that count half
	otherFields = 0.25 // a word in other fields than its best
	sameWord    = 0.75 // a word that stands for the one that was typed
	sideBySide  = 0.15 // bonus for neighbours, on the sum of their rarities
	nearBy      = 0.6  // share of it where they are swapped or one word apart
	coverage    = 0.5  // share of the score that hangs on having all words
	idScore     = 1000 // for the id of the entry itself
	linkScore   = 20   // for the id of a symptom that it belongs to
	secondary   = 0.6  // kinds that nobody asked for count less
)

// found is what stands where in one candidate: for each field and each word of
// the query's table, the places.
type found struct {
	places [][][]place // by field, then by number of the word
}

// scanner finds the words of a query in packed places.
type scanner struct {
	q      *question
	number map[uint16][]int // of the words, by their marks
	first  [256]bool        // low bytes of the marks, to pass over most words
	found  found
}

func newScanner(q *question) *scanner {
	s := &scanner{q: q, number: map[uint16][]int{}}
	for i, w := range q.table {
		m := wordMark(w)
		s.number[m] = append(s.number[m], i)
		s.first[m&0xff] = true
	}
	s.found.places = make([][][]place, len(textBoosts()))
	for f := range s.found.places {
		s.found.places[f] = make([][]place, len(q.table))
	}
	return s
}

// scan finds the words in a document; what it gives holds until the next.
func (s *scanner) scan(p int, n uint32) (*found, error) {
	for _, field := range s.found.places {
		for i := range field {
			field[i] = field[i][:0]
		}
	}
	err := s.q.parts[p].places(n, func(packed []byte) error {
		_, err := visitPlaces(packed, len(s.found.places), func(field int, at place) {
			if !s.first[at.mark&0xff] {
				return
			}
			for _, word := range s.number[at.mark] {
				if set := s.q.sets[p][field][word]; set != nil && set.Contains(n) {
					s.found.places[field][word] = append(s.found.places[field][word], at)
				}
			}
		})
		return err
	})
	return &s.found, err
}

// score is what a candidate is worth: above 0.
func (q *question) score(in *found, isMainKind bool) float64 {
	total, had, all := 0.0, 0.0, 0.0
	for i := range q.words {
		w := &q.words[i]
		v := w.value(in)
		total += v
		if w.guessed {
			continue
		}
		worth := w.worth
		all += worth
		if v > 0 {
			had += worth
		}
	}
	total += q.rows(in)
	if all > 0 {
		total *= 1 - coverage + coverage*had/all
	}
	if !isMainKind {
		total *= secondary
	}
	return total
}

// value is what one word is worth in a document.
func (w *sought) value(in *found) float64 {
	best, sum := 0.0, 0.0
	for f, boost := range textBoosts() {
		if w.field != anywhere && w.field != f {
			continue
		}
		v := 0.0
		for _, t := range w.terms {
			if times := float64(len(in.places[f][t.number])); times > 0 {
				v = max(v, t.share*t.rarity*times/(times+saturation))
			}
		}
		v *= boost.boost * w.boost
		best, sum = max(best, v), sum+v
	}
	if w.guessed {
		return best
	}
	return best + otherFields*(sum-best)
}

// rows is the bonus for words that stand side by side.
func (q *question) rows(in *found) float64 {
	total := 0.0
	before := -1
	for i := range q.words {
		if !q.words[i].row {
			continue
		}
		if before >= 0 {
			total += row(q.words[before].terms[0], q.words[i].terms[0], in)
		}
		before = i
	}
	return total
}

func row(a, b soughtTerm, in *found) float64 {
	best := 0.0
	for f, boost := range textBoosts() {
		share := 0.0
		for _, pa := range in.places[f][a.number] {
			for _, pb := range in.places[f][b.number] {
				switch pb.pos - pa.pos {
				case 1:
					share = 1
				case -1, 2:
					share = max(share, nearBy)
				}
			}
		}
		best = max(best, share*boost.boost)
	}
	return best * sideBySide * (a.rarity + b.rarity)
}

// rarityOf is the usual weight of a word that n of all documents have.
func rarityOf(n, all int) float64 {
	return math.Log(1 + (float64(all-n)+0.5)/(float64(n)+0.5))
}

// ranked is a hit before its texts are read.
type ranked struct {
	key, id, kind string
	score         float64
	part          int
	number        uint32
}

func inScoreOrder(list []ranked) {
	for i := range list {
		list[i].score = round(list[i].score)
	}
	sort.SliceStable(list, func(i, j int) bool {
		if list[i].score != list[j].score {
			return list[i].score > list[j].score
		}
		return list[i].key < list[j].key
	})
}

// round cuts a score to four digits behind the point.
func round(score float64) float64 { return math.Round(score*1e4) / 1e4 }

// isMain reports whether a kind is shown where nobody asks for a kind.
func isMain(kind string) bool {
	switch kind {
	case "cause", "symptom", "practice", "case":
		return true
	}
	return false
}
