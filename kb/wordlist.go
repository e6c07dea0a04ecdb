package kb

import (
	_ "embed"
	"strings"
	"sync"
)

// Lists of words that the prose checks use. They are files so that an author
// can read and mend them without Go.
var (
	//go:embed lists/jargon.txt
	jargonList string
	//go:embed lists/terms.txt
	termList string
)

var (
	jargon = sync.OnceValue(func() wordlist { return parseWordlist(jargonList) })
	terms  = sync.OnceValue(func() wordlist { return parseWordlist(termList) })
)

// jargonIn lists words of the text that callers do not know, with what to say
// instead.
func jargonIn(text string) []listed { return jargon().in(text) }

// termsIn lists words of the text that the glossary must explain, with the id
// of the term.
func termsIn(text string) []listed { return terms().in(text) }

// listed is one line of a list: a word, or several that stand together, and
// what the list says about it.
type listed struct{ word, instead string }

// wordlist files the lines by their first word, in small letters.
type wordlist map[string][]listedWords

type listedWords struct {
	listed
	parts []string
	exact bool // capitals count: "MAC", not "Mac"
}

// parseWordlist reads lines "word, word = what to say"; empty lines and lines
// that begin with # are left out. A word of capitals is only found in capitals.
func parseWordlist(text string) wordlist {
	w := wordlist{}
	for _, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); line == "" || line[0] == '#' {
			continue
		}
		words, instead, _ := strings.Cut(line, "=")
		w.add(words, strings.TrimSpace(instead))
	}
	return w
}

// add takes in words between commas.
func (w wordlist) add(words, instead string) {
	for _, word := range strings.Split(words, ",") {
		word = strings.TrimSpace(word)
		parts := splitWords(strings.ToLower(word))
		if len(parts) == 0 {
			continue
		}
		exact := word == strings.ToUpper(word) && strings.ToLower(word) != word
		w[parts[0]] = append(w[parts[0]], listedWords{listed{word, instead}, parts, exact})
	}
}

// in lists what of the list stands in a text, each once, in order. A plural s
// at the end makes no difference; a hyphen is the same as a space.
func (w wordlist) in(text string) []listed {
	own := splitWords(text)
	small := splitWords(strings.ToLower(text))
	var found []listed
	seen := map[listed]bool{}
	for i := range small {
		firsts := []string{small[i], singular(small[i])}
		if firsts[0] == firsts[1] {
			firsts = firsts[:1]
		}
		for _, first := range firsts {
			for _, l := range w[first] {
				if !seen[l.listed] && l.stands(small, own, i) {
					seen[l.listed] = true
					found = append(found, l.listed)
				}
			}
		}
	}
	return found
}

func (l listedWords) stands(small, own []string, i int) bool {
	if i+len(l.parts) > len(small) {
		return false
	}
	for k, part := range l.parts {
		word := small[i+k]
		if word != part && (k != len(l.parts)-1 || singular(word) != part) {
			return false
		}
	}
	return !l.exact || strings.HasPrefix(own[i], strings.ToUpper(own[i][:min(len(l.parts[0]), len(own[i]))]))
}

// singular drops a plural s, or the 's of a possessive.
func singular(word string) string {
	word = strings.TrimSuffix(word, "'s")
	if strings.HasSuffix(word, "s") && !strings.HasSuffix(word, "ss") && len(word) > 2 {
		return word[:len(word)-1]
	}
	return word
}

// splitWords cuts a text into its words, with an empty one between sentences;
// hyphens part words here.
func splitWords(text string) []string {
	var list []string
	for i := 0; i < len(text); {
		from, to := nextWord(text, i)
		if from == to {
			break
		}
		if len(list) > 0 && stops(text[i:from]) {
			list = append(list, "")
		}
		for _, part := range strings.Split(text[from:to], "-") {
			if part != "" {
				list = append(list, part)
			}
		}
		i = to
	}
	return list
}
