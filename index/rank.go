package index

import (
	"context"
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/blevesearch/bleve/v2/search"
	index "github.com/blevesearch/bleve_index_api"
)

// bleve finds the candidates; their order is made here, from the places where
// the words stand, because bleve's own sum favours entries with many fields and
// words with many synonyms. A word counts, in the best of its fields and a
// little more for the others,
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

// ranker puts candidates in order.
type ranker struct {
	index  *Index
	reader index.IndexReader
	words  []wanted
	ids    []string
	all    float64 // documents in the index
	rarity map[string]float64
	err    error
}

func (x *Index) newRanker(r index.IndexReader, words []wanted, ids []string) (*ranker, error) {
	n, err := r.DocCount()
	if err != nil {
		return nil, fmt.Errorf("read the index: %w", err)
	}
	return &ranker{index: x, reader: r, words: words, ids: ids, all: float64(n), rarity: map[string]float64{}}, nil
}

// score is what a candidate is worth: above 0.
func (k *ranker) score(hit *search.DocumentMatch, isMainKind bool) float64 {
	total, had, all := 0.0, 0.0, 0.0
	for _, w := range k.words {
		if w.slips > 0 {
			total += k.misspelt(w, hit.Locations)
			continue
		}
		worth := k.rare(w.term) * w.boost
		all += worth
		v := k.word(w, hit.Locations)
		total += v
		if v > 0 {
			had += worth
		}
	}
	total += k.rows(hit.Locations)
	if all > 0 {
		total *= 1 - coverage + coverage*had/all
	}
	if !isMainKind {
		total *= secondary
	}
	return total
}

// word is what one word is worth in a document.
func (k *ranker) word(w wanted, places search.FieldTermLocationMap) float64 {
	best, sum := 0.0, 0.0
	for _, f := range textBoosts() {
		in := places[f.name]
		if len(in) == 0 {
			continue
		}
		v := k.once(w.term, in)
		for _, other := range k.index.same[w.term] {
			v = max(v, sameWord*k.once(other, in))
		}
		v *= f.boost * w.boost
		best, sum = max(best, v), sum+v
	}
	return best + otherFields*(sum-best)
}

func (k *ranker) once(term string, in search.TermLocationMap) float64 {
	times := float64(len(in[term]))
	if times == 0 {
		return 0
	}
	return k.rare(term) * times / (times + saturation)
}

// misspelt is what a word that no document has is worth: the best of the words
// that it may have been meant to be.
func (k *ranker) misspelt(w wanted, places search.FieldTermLocationMap) float64 {
	best := 0.0
	for _, f := range textBoosts() {
		for term := range places[f.name] {
			if slips(term, w.term, w.slips) <= w.slips {
				best = max(best, f.boost*w.boost*k.once(term, places[f.name]))
			}
		}
	}
	return best
}

// rows is the bonus for words that stand side by side.
func (k *ranker) rows(places search.FieldTermLocationMap) float64 {
	total := 0.0
	before := -1
	for i, w := range k.words {
		if !w.row {
			continue
		}
		if before >= 0 {
			total += k.row(k.words[before].term, w.term, places)
		}
		before = i
	}
	return total
}

func (k *ranker) row(a, b string, places search.FieldTermLocationMap) float64 {
	best := 0.0
	for _, f := range textBoosts() {
		in := places[f.name]
		share := 0.0
		for _, pa := range in[a] {
			for _, pb := range in[b] {
				switch int(pb.Pos) - int(pa.Pos) {
				case 1:
					share = 1
				case -1, 2:
					share = max(share, nearBy)
				}
			}
		}
		best = max(best, share*f.boost)
	}
	return best * sideBySide * (k.rare(a) + k.rare(b))
}

// rare is the usual weight of a word by the number of documents that have it,
// taken from the field in which most do.
func (k *ranker) rare(term string) float64 {
	if v, ok := k.rarity[term]; ok {
		return v
	}
	most := uint64(0)
	for _, f := range textBoosts() {
		if f.name == "heard" {
			continue
		}
		r, err := k.reader.TermFieldReader(context.Background(), []byte(term), f.name, false, false, false)
		if err != nil {
			k.err = fmt.Errorf("read the index: %w", err)
			continue
		}
		most = max(most, r.Count())
		r.Close()
	}
	n := float64(most)
	v := math.Log(1 + (k.all-n+0.5)/(n+0.5))
	k.rarity[term] = v
	return v
}

// ranked is a hit before its texts are read.
type ranked struct {
	key, id, kind string
	score         float64
	places        search.FieldTermLocationMap
}

// rank puts the candidates in their final order: by score, then by id.
func (k *ranker) rank(found search.DocumentMatchCollection, kindsAsked bool) ([]ranked, error) {
	list := make([]ranked, 0, len(found))
	for _, h := range found {
		r := ranked{key: h.ID, places: h.Locations}
		r.id, r.kind, _ = strings.Cut(h.ID, "/")
		r.score = k.score(h, kindsAsked || isMain(r.kind))
		list = append(list, r)
	}
	return list, k.err
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
