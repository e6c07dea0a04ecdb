package synthetic

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// Query is what a person types who looks for a past call. Words are plain; the
// other parts say what kind of query it is, and at most one of them is set
// beside the words.
type Query struct {
	Kind   string // match, misspelt, prefix, fielded, phrase, filter
	Words  []string
	Prefix string // a beginning of three letters or more
	Field  string // the field in which FieldWord stands
	InIt   string
	Phrase []string // words in a row
	Room   string
	Since  string // a day
	About  string // the id of a symptom
}

// Text is the query as faultbook takes it.
func (q Query) Text() string {
	parts := append([]string(nil), q.Words...)
	if q.Prefix != "" {
		parts = append(parts, q.Prefix+"*")
	}
	if q.Field != "" {
		parts = append(parts, q.Field+":"+q.InIt)
	}
	if len(q.Phrase) > 0 {
		parts = append(parts, `"`+strings.Join(q.Phrase, " ")+`"`)
	}
	return strings.Join(parts, " ")
}

// Queries makes n queries of mixed kinds: 35 of 100 plain, 20 misspelt, 15 with a
// beginning, 10 each with a field, a phrase and a filter.
func (g *Generator) Queries(n int) []Query {
	dice := rand.New(rand.NewPCG(g.seed, 1<<40))
	list := make([]Query, n)
	for i := range list {
		list[i] = g.query(dice, i%20)
	}
	return list
}

func (g *Generator) query(dice *rand.Rand, kind int) Query {
	about := g.maker(dice.IntN(g.n)) // words as in that call
	y := g.symptoms[about.skewed(len(g.symptoms))]
	words := telling(y.Words[dice.IntN(len(y.Words))])
	q := Query{Words: some(words, 2+dice.IntN(3), dice)}
	if dice.IntN(3) == 0 {
		q.Words = append(q.Words, telling(about.sentence())[0])
	}
	switch {
	case kind < 7:
		q.Kind = "match"
	case kind < 11:
		q.Kind = "misspelt"
		q.Words = strings.Fields(Slip(strings.Join(q.Words, " "), dice))
	case kind < 14:
		q.Kind = "prefix"
		last := pick(about, devices)
		q.Words, q.Prefix = q.Words[:1], last[:min(3+dice.IntN(3), strings.IndexByte(last+" ", ' '))]
	case kind < 16:
		q.Kind = "fielded"
		q.Field, q.InIt = []string{"title", "notes", "words"}[dice.IntN(3)], telling(pick(about, devices))[0]
	case kind < 18:
		q.Kind = "phrase"
		q.Words, q.Phrase = nil, neighbours(about.said(y)+" "+about.notes(20), dice)
	default:
		q.Kind = "filter"
		switch dice.IntN(3) {
		case 0:
			q.Room = about.room()
		case 1:
			q.Since = fmt.Sprintf("%d-%02d-01", 2018+dice.IntN(8), 1+dice.IntN(12))
		default:
			q.About = y.ID
		}
	}
	return q
}

// telling lists the words of a sentence that name something, without marks.
func telling(text string) []string {
	var list []string
	for _, w := range strings.Fields(strings.ToLower(text)) {
		w = strings.Trim(w, ".,:;'\"()?!")
		if len(w) > 3 && strings.Trim(w, "abcdefghijklmnopqrstuvwxyz") == "" && !strings.Contains(" there when with that this have what does from just only ", " "+w+" ") {
			list = append(list, w)
		}
	}
	if len(list) == 0 {
		return []string{"picture"}
	}
	return list
}

// neighbours takes two telling words that stand side by side in a text.
func neighbours(text string, dice *rand.Rand) []string {
	words := strings.Fields(strings.ToLower(text))
	var pairs [][]string
	for i := range len(words) - 1 {
		if a, b := telling(words[i])[0], telling(words[i+1])[0]; a == words[i] && b == words[i+1] {
			pairs = append(pairs, []string{a, b})
		}
	}
	if len(pairs) == 0 {
		return []string{"black", "picture"}
	}
	return pairs[dice.IntN(len(pairs))]
}

// some takes n words that stand in a row.
func some(words []string, n int, dice *rand.Rand) []string {
	if len(words) <= n {
		return append([]string(nil), words...)
	}
	at := dice.IntN(len(words) - n + 1)
	return append([]string(nil), words[at:at+n]...)
}
