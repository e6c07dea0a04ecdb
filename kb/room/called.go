package room

import (
	"strings"
	"unicode"
)

// plain is text as it is compared: small letters, words with one space.
func plain(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	}), " ")
}

// names lists what the room is called.
func (s *Sheet) names() []string {
	return append([]string{s.ID, s.Title}, s.Words...)
}

// Called says whether that is the id, title or one of the words of the room,
// letter case and punctuation aside.
func (s *Sheet) Called(name string) bool {
	for _, n := range s.names() {
		if plain(n) == plain(name) {
			return true
		}
	}
	return false
}

// Heard finds the room that a caller's words name: the one with the longest
// name in them; nil where none is named, or two equally well.
func Heard(sheets []*Sheet, words string) *Sheet {
	said := " " + plain(words) + " "
	var best *Sheet
	long, tie := 0, false
	for _, s := range sheets {
		own := 0
		for _, n := range s.names() {
			if p := plain(n); len(p) > own && strings.Contains(said, " "+p+" ") {
				own = len(p)
			}
		}
		switch {
		case own > long:
			best, long, tie = s, own, false
		case own == long && own > 0:
			tie = true
		}
	}
	if tie {
		return nil
	}
	return best
}
