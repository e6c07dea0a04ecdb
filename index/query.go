package index

import (
	"strings"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/search/query"
)

// What a word counts in a search, beside the boost of the field it stands in.
const (
	deniedBoost = 1.2 // "no sound" as a whole
	moodBoost   = 0.5 // a denied word by itself
	fineBoost   = 0.2 // a word that is said to be all right
	roleBoost   = 0.4 // works, on, off, stopped …
	groupBoost  = 1.0 // a word of several parts
	fuzzyBoost  = 0.5 // a word that is one or two slips away
	mendedBoost = 0.9 // the known word that an unknown one was taken for
	figureBoost = 2.0 // a word with digits
)

// wanted is one word that is looked for.
type wanted struct {
	term  string // as it is in the index
	boost float64
	slips int  // misspellings that are forgiven; 0 for a known word
	row   bool // stands in a row with the words beside it
}

// wants turns what was typed into the words to look for, and mends what is
// misspelt.
func (x *Index) wants(text string, s *speller) (list []wanted, mended string) {
	tokens := lex(text)
	mended = strings.ToLower(text)
	for i, t := range tokens {
		stem := stemOf(t.text)
		w := wanted{term: stem, boost: boostOf(t), row: true}
		if len(t.text) >= 4 && !hasDigit(t.text) && !s.known(t.text, stem) {
			if better := s.nearest(t.text); better != "" {
				list = append(list, wanted{term: stemOf(better), boost: w.boost * mendedBoost, row: true})
				mended = strings.Replace(mended, t.text, better, 1)
			}
			w.slips, w.row = slipsFor(t.text), false
			w.boost *= fuzzyBoost
		}
		list = append(list, w)
		if t.mood == denied {
			list = append(list, wanted{term: "!" + stem, boost: deniedBoost})
		}
		for _, parts := range x.reader.together[marked(t)] {
			if stands(parts, tokens[i:]) {
				list = append(list, wanted{term: strings.Join(parts, " "), boost: groupBoost})
			}
		}
	}
	return list, mended
}

func boostOf(t token) float64 {
	switch {
	case t.mood == denied:
		return moodBoost
	case t.mood == fine:
		return fineBoost
	case hasDigit(t.text):
		return figureBoost
	case t.role != naming:
		return roleBoost
	}
	return 1
}

// slipsFor is how many misspellings are forgiven in a word.
func slipsFor(word string) int {
	if len(word) >= 8 {
		return 2
	}
	return 1
}

// anyOf finds what has any of the words in any of the fields.
func (x *Index) anyOf(list []wanted) *query.DisjunctionQuery {
	any := bleve.NewDisjunctionQuery()
	for _, w := range list {
		for _, f := range textBoosts() {
			any.AddQuery(x.one(w, f))
		}
		if hasDigit(w.term) {
			any.AddQuery(termQuery("figures", w.term, w.boost))
		}
	}
	return any
}

// one looks for a word in a field. bleve scores a word with n synonyms by the
// share of the n+1 that a text has; the boost makes up for that, so that a word
// with many synonyms counts as much as one with none.
func (x *Index) one(w wanted, f textField) query.Query {
	boost := w.boost * f.boost
	if w.slips > 0 {
		q := bleve.NewFuzzyQuery(w.term)
		q.SetFuzziness(w.slips)
		q.SetPrefix(1)
		q.SetField(f.name)
		q.SetBoost(boost)
		return q
	}
	return termQuery(f.name, w.term, boost*float64(len(x.same[w.term])+1))
}

func termQuery(field, word string, boost float64) query.Query {
	q := bleve.NewTermQuery(word)
	q.SetField(field)
	q.SetBoost(boost)
	return q
}

// narrowed adds what the options ask for.
func narrowed(q query.Query, o Options) query.Query {
	filter := filterOf(o)
	if filter == nil {
		return q
	}
	all := bleve.NewBooleanQuery()
	all.AddMust(q)
	all.AddFilter(filter)
	return all
}

// filterOf makes a query of the options; nil where nothing is asked for.
func filterOf(o Options) query.Query {
	var all []query.Query
	if len(o.Kinds) > 0 {
		kinds := bleve.NewDisjunctionQuery()
		for _, k := range o.Kinds {
			kinds.AddQuery(termQuery("kind", k, 1))
		}
		all = append(all, kinds)
	}
	if o.Symptom != "" {
		all = append(all, termQuery("symptoms", strings.ToLower(o.Symptom), 1))
	}
	if o.Room != "" {
		all = append(all, termQuery("room", strings.ToLower(o.Room), 1))
	}
	if o.State != "" {
		all = append(all, termQuery("state", o.State, 1))
	}
	if o.Since != "" {
		from := true
		q := bleve.NewTermRangeInclusiveQuery(o.Since, "", &from, nil)
		q.SetField("when")
		all = append(all, q)
	}
	if len(all) == 0 {
		return nil
	}
	return bleve.NewConjunctionQuery(all...)
}
