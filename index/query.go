package index

import (
	"regexp"
	"slices"
	"strings"
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
	begunBoost  = 0.8 // a word of which the beginning was typed
)

const (
	mostAlike    = 20 // words that a misspelling may have been meant to be
	mostBegun    = 30 // words that a beginning may go on to
	leastBegun   = 3  // letters of a beginning
	mostWords    = 32 // words of a query that are looked for, the most telling
	anywhere     = -1 // any field
	mostPhrases  = 4
	mostInPhrase = 12
)

// wanted is one word that is looked for.
type wanted struct {
	term  string // as it is in the index
	boost float64
	row   bool // stands in a row with the words beside it
	field int  // the only field that counts, or anywhere
	// guesses, where it is not known for sure which word is meant: any of them
	// counts, as much as its own rarity says.
	guesses []string
	guessed bool
}

// typed is a query taken apart.
type typed struct {
	text    string         // what is read as plain words
	begun   []string       // beginnings of words
	fields  map[string]int // words that count in one field alone
	phrases []string       // what stood in quotes
}

// special finds what is not plain words: a phrase in quotes, a field with its
// word, a beginning with a star.
var special = regexp.MustCompile(`"([^"]{2,200})"|\b(title|words|tells|why|remedy|notes):([\pL\pN.-]+)|([\pL\pN-]+)\*`)

// takeApart finds phrases, fields and beginnings in a query.
func takeApart(text string) typed {
	t := typed{fields: map[string]int{}}
	t.text = special.ReplaceAllStringFunc(text, func(s string) string {
		m := special.FindStringSubmatch(s)
		switch {
		case m[1] != "":
			if len(t.phrases) < mostPhrases {
				t.phrases = append(t.phrases, m[1])
			}
			return m[1]
		case m[2] != "":
			field := slices.IndexFunc(textBoosts(), func(f textField) bool { return f.name == m[2] })
			for _, w := range lex(m[3]) {
				t.fields[w.text] = field
			}
			return m[3]
		}
		if word := strings.ToLower(m[4]); len(word) >= leastBegun {
			t.begun = append(t.begun, word)
			return ""
		}
		return m[4]
	})
	return t
}

// wants turns what was typed into the words to look for, and mends what is
// misspelt.
func (x *Index) wants(t typed) (list []wanted, mended string, err error) {
	tokens := lex(t.text)
	marks := markedAll(tokens)
	mended = strings.ToLower(t.text)
	changed := false
	for i, tok := range tokens {
		words, better, err := x.want(tok)
		if err != nil {
			return nil, "", err
		}
		if better != "" {
			mended, changed = strings.Replace(mended, tok.text, better, 1), true
		}
		stem := stemOf(tok.text)
		if tok.mood == denied {
			words = append(words, wanted{term: "!" + stem, boost: deniedBoost, field: anywhere})
		}
		for _, parts := range x.reader.together[marks[i]] {
			if stands(parts, tokens[i:], marks[i:]) {
				words = append(words, wanted{term: strings.Join(parts, " "), boost: groupBoost, field: anywhere})
			}
		}
		if field, ok := t.fields[tok.text]; ok {
			for k := range words {
				words[k].field = field
			}
		}
		list = append(list, words...)
	}
	for _, b := range t.begun {
		list = append(list, wanted{term: b + "*", boost: begunBoost, field: anywhere, guessed: true, guesses: stemsOf(x.vocabulary.beginning(b, mostBegun))})
	}
	if !changed {
		mended = ""
	}
	return list, mended, nil
}

// want makes of one word the words to look for; better is the word that an
// unknown one was taken for.
func (x *Index) want(t token) (words []wanted, better string, err error) {
	stem := stemOf(t.text)
	w := wanted{term: stem, boost: boostOf(t), row: true, field: anywhere}
	if len(t.text) < 4 || hasDigit(t.text) {
		return []wanted{w}, "", nil
	}
	known, err := x.known(t.text, stem)
	if err != nil || known {
		return []wanted{w}, "", err
	}
	if better = x.vocabulary.nearest(t.text); better != "" {
		words = append(words, wanted{term: stemOf(better), boost: w.boost * mendedBoost, row: true, field: anywhere})
	}
	w.row, w.guessed = false, true
	w.boost *= fuzzyBoost
	w.guesses = stemsOf(x.vocabulary.alike(t.text, slipsFor(t.text), mostAlike))
	return append(words, w), better, nil
}

// stemsOf lists the stems of words, each once.
func stemsOf(words []string) []string {
	var list []string
	for _, w := range words {
		if stem := stemOf(w); !slices.Contains(list, stem) {
			list = append(list, stem)
		}
	}
	return list
}

// known reports whether a word stands in some document as it is spelt, or it is
// a usual form of one that does, or it stands in a group of the book.
func (x *Index) known(surface, stem string) (bool, error) {
	same, err := x.sameAs(stem)
	if err != nil || len(same) > 0 || x.vocabulary.count(surface) > 0 {
		return true, err
	}
	if !isInflected(surface) {
		return false, nil
	}
	for _, p := range x.parts() {
		for _, f := range textBoosts() {
			set, err := p.having(f.name, stem)
			if err != nil || set != nil && !set.IsEmpty() {
				return true, err
			}
		}
	}
	return false, nil
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
