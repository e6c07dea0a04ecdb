package kb

import "strings"

// Reading ease is Flesch's: 206.835 - 1.015·(words a sentence) -
// 84.6·(syllables a word); R. Flesch, "A new readability yardstick", Journal of
// Applied Psychology 32 (1948), from memory. 60 to 70 is plain English, 70 to
// 80 fairly easy, 80 and more easy; very short sentences go above 100.
//
// What counts as what:
//
//   - a sentence ends at a full stop, a question mark or an exclamation mark
//     before a space or the end. Flesch lets colons and semicolons end one as
//     well; here they do not, because a caller hears no semicolon
//   - a word is a run of letters, digits, hyphens and apostrophes; what is
//     written with a hyphen is one word, as with Flesch
//   - syllables are counted by rule, see syllables
type reading struct{ words, sentences, syllables, longest int }

// ease is Flesch's figure; 0 for a text without words.
func (r reading) ease() float64 {
	if r.words == 0 {
		return 0
	}
	return 206.835 - 1.015*float64(r.words)/float64(r.sentences) - 84.6*float64(r.syllables)/float64(r.words)
}

// read counts a text, and finds its longest sentence in words. A text without
// a full stop at its end counts as if it had one.
func read(text string) reading {
	var r reading
	length := 0
	end := func() {
		if length > 0 {
			r.sentences++
			r.longest = max(r.longest, length)
		}
		length = 0
	}
	for i := 0; i < len(text); {
		from, to := nextWord(text, i)
		if stops(text[i:from]) {
			end()
		}
		if from == to {
			break
		}
		r.words++
		r.syllables += syllables(text[from:to])
		length++
		i = to
	}
	end()
	return r
}

// nextWord gives the next word from byte i on; from = to = len(text) where
// there is none.
func nextWord(text string, i int) (from, to int) {
	for i < len(text) && !isLetterOrDigit(text[i]) {
		i++
	}
	from = i
	for i < len(text) && (isLetterOrDigit(text[i]) || joinsWord(text, i)) {
		i++
	}
	return from, i
}

// joinsWord reports whether the mark at i stands inside a word: a hyphen or
// apostrophe between letters, a point or comma between digits.
func joinsWord(text string, i int) bool {
	if i == 0 || i+1 >= len(text) || !isLetterOrDigit(text[i-1]) || !isLetterOrDigit(text[i+1]) {
		return false
	}
	switch text[i] {
	case '-', '\'':
		return true
	case '.', ',':
		return isDigit(text[i-1]) && isDigit(text[i+1])
	}
	return false
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// isLetterOrDigit takes every byte of a letter beyond ASCII for a letter.
func isLetterOrDigit(c byte) bool {
	return isDigit(c) || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= 0x80
}

// stops reports whether the marks between two words end a sentence.
func stops(between string) bool { return strings.ContainsAny(between, ".?!") }

// syllables counts the syllables of a word, at least one:
//
//   - digits: as many as their spoken form has: 60 "sixty", 1080 "ten eighty"
//   - two to five capitals (HDMI): one a letter, three for W
//   - other words: groups of vowels, y among them; less an e that is silent at
//     the end or before a final s or d; more where two vowels are said apart
//     (audio, quiet); parts of a hyphenated word are counted apart
//
// A test compares it with a pronouncing dictionary over the book's own words.
func syllables(word string) int {
	n := 0
	for _, part := range strings.Split(word, "-") {
		n += partSyllables(part)
	}
	return max(n, 1)
}

func partSyllables(part string) int {
	if part == "" {
		return 0
	}
	if isDigit(part[0]) {
		return figureSyllables(part)
	}
	if len(part) >= 2 && len(part) <= 5 && strings.ToUpper(part) == part {
		return len(part) + 2*strings.Count(part, "W")
	}
	w := strings.ToLower(part)
	for _, end := range []string{"'s", "'t", "'ll", "'re", "'ve", "'"} {
		w = strings.TrimSuffix(w, end)
	}
	if n := oddSyllables(w); n > 0 {
		return n
	}
	return max(ruleSyllables(w), 1)
}

// figureSyllables counts a figure as it is said: four digits in pairs, more of
// them and those behind a point one by one, letters behind it by the rule.
func figureSyllables(part string) int {
	digits := 0
	for digits < len(part) && isDigit(part[digits]) {
		digits++
	}
	n := 0
	switch figure := part[:digits]; {
	case digits <= 2:
		n = pairSyllables(figure)
	case digits == 3:
		n = pairSyllables(figure[:1]) + 2 + pairSyllables(figure[1:])
	case digits == 4:
		n = pairSyllables(figure[:2]) + max(pairSyllables(figure[2:]), 2)
	default:
		for i := range figure {
			n += pairSyllables(figure[i : i+1])
		}
	}
	if rest := strings.TrimLeft(part[digits:], ".,"); rest != "" {
		n += partSyllables(rest)
	}
	return n
}

// pairSyllables counts a number below 100; none for 00.
func pairSyllables(figure string) int {
	v := 0
	for _, c := range figure {
		v = 10*v + int(c-'0')
	}
	small := [...]int{0, 1, 1, 1, 1, 1, 1, 2, 1, 1, 1, 3, 1, 2, 2, 2, 2, 3, 2, 2}
	switch {
	case figure == "0":
		return 2
	case v < len(small):
		return small[v]
	case v/10 == 7:
		return 3 + small[v%10]
	}
	return 2 + small[v%10]
}

// ruleSyllables counts a word in small letters.
func ruleSyllables(w string) int {
	n := 0
	vowel := false
	for i := 0; i < len(w); i++ {
		v := isVowel(w[i]) && !(w[i] == 'u' && i > 0 && w[i-1] == 'q')
		if v && !vowel {
			n++
		} else if v && apart(w, i) {
			n++
		}
		vowel = v
	}
	return n - silentEnd(w)
}

func isVowel(c byte) bool { return strings.IndexByte("aeiouy", c) >= 0 }

// apart reports whether the vowel at i is said apart from the one before it.
func apart(w string, i int) bool {
	pair, rest := w[i-1:i+1], w[i:]
	before := byte(0)
	if i >= 2 {
		before = w[i-2]
	}
	switch pair {
	case "io", "ia":
		return strings.IndexByte("tscg", before) < 0 && !(pair == "ia" && strings.HasPrefix(rest, "ar"))
	case "eo", "ua", "uo", "iu", "yi":
		return before != 0 && before != 'g' && before != 'p'
	case "ie":
		return before != 0 && (rest == "et" || strings.HasPrefix(rest, "er") && before != 'p' && len(w) > 5)
	case "ea":
		return strings.HasPrefix(rest, "ing") || w == "area" || w == "areas" || w == "idea" || w == "ideas"
	case "oi", "ui", "ee", "oe", "ae":
		return strings.HasPrefix(rest, "ing")
	}
	return strings.HasPrefix(rest, "ing") && len(w) > 4
}

// silentEnd is how many vowel groups at the end are not said: the e of "cable"
// is, that of "tone", "tones" and "tuned" is not.
func silentEnd(w string) int {
	n := len(w)
	if silentInside(w) {
		return 1
	}
	switch {
	case saidEnd(w):
		return 0
	case strings.HasSuffix(w, "e"):
		return silent(w, n-1)
	case strings.HasSuffix(w, "es") && !hisses(w[:n-2]):
		return silent(w, n-2)
	case strings.HasSuffix(w, "ed") && !(n > 3 && (w[n-3] == 't' || w[n-3] == 'd')):
		return silent(w, n-2)
	}
	return 0
}

// silentInside finds an e that is not said before an ending: basement,
// useless, safely.
func silentInside(w string) bool {
	n := len(w)
	for _, end := range []string{"ement", "eless", "eful", "ely", "eness", "ements"} {
		if strings.HasSuffix(w, end) && n > len(end)+1 && !isVowel(w[n-len(end)-1]) {
			return true
		}
	}
	return false
}

// saidEnd finds an l that carries the last syllable: cable, cables, cabled.
func saidEnd(w string) bool {
	n := len(w)
	return strings.HasSuffix(w, "le") && n > 2 && !isVowel(w[n-3]) ||
		strings.HasSuffix(w, "les") && n > 3 && !isVowel(w[n-4]) ||
		strings.HasSuffix(w, "led") && n > 4 && !isVowel(w[n-4]) && w[n-4] != 'l'
}

// silent is 1 where the e at i follows a consonant and another vowel group.
func silent(w string, i int) int {
	if i < 2 || isVowel(w[i-1]) || !strings.ContainsAny(w[:i-1], "aeiouy") {
		return 0
	}
	return 1
}

// hisses reports whether -es is said after it: boxes, switches, houses.
func hisses(stem string) bool {
	for _, end := range []string{"s", "x", "z", "ch", "sh", "c", "g"} {
		if strings.HasSuffix(stem, end) {
			return true
		}
	}
	return false
}

// oddSyllables lists common words of the book that the rule gets wrong; 0 for
// all others.
func oddSyllables(w string) int {
	switch w {
	case "something", "somewhere", "someone", "elsewhere", "player", "players", "metre", "metres", "fibre", "fibres",
		"crooked", "react", "reacts", "evening", "layout", "outer", "being":
		return 2
	case "somebody", "everything", "everyone", "everywhere", "infrared", "whoever":
		return 3
	case "everybody":
		return 4
	}
	return 0
}
