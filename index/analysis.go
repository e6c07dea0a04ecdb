package index

import (
	"strings"
)

// The index reads texts with the same lexer as the opening words: figures stay
// whole, "doesn't" denies, words that name nothing fall away, the rest are
// stems. A denied word gives two words of the index, "sound" and "!sound". A
// word of several parts that stands in a group of the book ("big screen") gives
// one more, "big screen", beside its parts.

// sentenceGap keeps phrases from reaching over the end of a sentence. Words
// that name nothing do not count in the places of the others.
const sentenceGap = 10

// reader cuts texts into the words of the index.
type reader struct {
	together map[string][][]string // words of several parts, by the first part
}

// newReader knows the words of several parts of the groups of a book.
func newReader(groups []group) reader {
	r := reader{together: map[string][][]string{}}
	for _, g := range groups {
		for _, w := range g.words {
			r.add(w)
		}
	}
	return r
}

func (r reader) add(word string) {
	parts := strings.Fields(word)
	if len(parts) > 1 {
		r.together[parts[0]] = append(r.together[parts[0]], parts)
	}
}

// marked is the stem of a token, with its denial.
func marked(t token) string {
	if t.mood == denied {
		return "!" + stemOf(t.text)
	}
	return stemOf(t.text)
}

// stands reports whether a word of several parts stands at the beginning of some
// tokens, whose marked stems are given.
func stands(parts []string, tokens []token, marks []string) bool {
	if len(tokens) < len(parts) {
		return false
	}
	for k, part := range parts {
		if marks[k] != part || k > 0 && tokens[k].pos-tokens[k-1].pos > 2 {
			return false
		}
	}
	return true
}

// memberWord is the word of the index under which a member of a group is
// found.
func memberWord(member string) string {
	return strings.Join(markedAll(lex(member)), " ")
}

func markedAll(tokens []token) []string {
	marks := make([]string, len(tokens))
	for i, t := range tokens {
		marks[i] = marked(t)
	}
	return marks
}
