package index

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// mood says how a thing is named.
type mood uint8

const (
	plain  mood = iota
	denied      // "no sound"
	fine        // "the sound is fine"
)

// token is a word that names something, as it was said.
type token struct {
	text   string // small letters, figures in their one spelling
	from   int    // where it begins in the text in small letters, in bytes
	to     int    // where it ends
	pos    int    // place among all words of the text, from 0
	clause int    // counted through the text
	whole  int    // sentence, counted through the text
	role   role
	mood   mood
	who    who
}

// raw is a word or a mark before its role is known.
type raw struct {
	text     string
	from, to int
	mark     byte // 0 for a word, ',' or '.' for a mark that ends a clause or a sentence
}

// lex cuts a text into tokens: words that name something, with the mood that
// the words around them give. Words that name nothing only count in pos.
func lex(text string) []token {
	var l lexer
	return l.lex(text)
}

// lexer walks through the words of a text. It may be used for one text after
// another; the tokens last until the next.
type lexer struct {
	words         []raw
	tokens        []token
	own           idioms // those of the language and of the book; nil for the language alone
	pos           int
	clause, whole int
	first         int  // first token of the clause
	deny          int  // tokens that are still denied
	approved      bool // the clause says that all is well
	limited       bool // the clause has a word that limits "works"
	who           who  // whose doing the next words are
	reach         int  // tokens that this still holds for
	owner         who  // whose thing the next word is
}

func (l *lexer) lex(text string) []token {
	*l = lexer{words: joinFigures(cut(l.words[:0], text)), tokens: l.tokens[:0], own: l.own}
	if l.own != nil { // a caller's words and what is learnt for them; who searches says nothing aside
		l.words = leaveAside(hurries.calm(l.words))
	}
	figures := l.own
	if figures == nil {
		figures = english
	}
	l.words = figures.put(l.words)
	tokens := l.tokens
	for i, w := range l.words {
		if w.mark != 0 {
			l.mark(w.mark, tokens)
			continue
		}
		tokens = l.word(i, w, tokens)
	}
	l.endClause(tokens)
	l.tokens = tokens
	return tokens
}

func (l *lexer) mark(mark byte, tokens []token) {
	l.endClause(tokens)
	if mark == '.' {
		l.whole++
		l.pos += 3
	}
}

// word takes in one word.
func (l *lexer) word(i int, w raw, tokens []token) []token {
	r := roleOf(w.text)
	l.pos++
	next := l.next(i)
	l.person(w.text, tokens)
	switch r {
	case stop, determiner:
		return tokens
	case denier, turn, hollow, approve, limits:
		l.turnMood(r, w.text, tokens)
		return tokens
	case quantifier:
		l.limited = l.limited || w.text == "only"
	case ceased:
		if l.deny > 0 { // "does not stop humming"
			l.deny = 0
			return tokens
		}
		if strings.HasSuffix(next, "ing") || next == "to" {
			l.deny = 1
			return tokens
		}
	case preposition:
		if next != "" && marksNoun(roleOf(next)) && !switches(l.before(i)) {
			return tokens
		}
	}
	if w.text == "longer" && l.deny > 0 { // "no longer works"
		return tokens
	}
	return l.add(w, r, tokens)
}

// turnMood takes in a word that names nothing but turns the mood of others.
func (l *lexer) turnMood(r role, text string, tokens []token) {
	switch r {
	case denier:
		l.deny = 3
		if text == "no" || text == "without" {
			l.deny = 2
		}
	case turn:
		l.endClause(tokens)
	case hollow:
		l.deny = 0
	case approve:
		l.approved = l.approved || l.deny == 0
		l.deny = 0
	case limits:
		l.limited = true
	}
}

func marksNoun(r role) bool { return r == determiner || r == quantifier }

func (l *lexer) add(w raw, r role, tokens []token) []token {
	t := token{text: w.text, from: w.from, to: w.to, pos: l.pos, clause: l.clause, whole: l.whole, role: r, who: l.owner}
	if l.reach > 0 {
		t.who |= l.who
		l.reach--
	}
	l.owner = 0
	if l.deny > 0 {
		t.mood = denied
		l.deny--
	}
	if w.text == "nothing" { // "hear nothing", "nothing works"
		if n := len(tokens) - 1; n >= l.first && tokens[n].mood == plain {
			tokens[n].mood = denied
		}
		t.mood = plain
		l.deny = 2
	}
	return append(tokens, t)
}

// endClause settles the mood of a clause once all of it is known.
func (l *lexer) endClause(tokens []token) {
	n := len(tokens)
	if !l.approved && !l.limited && n-l.first >= 2 {
		last := tokens[n-1]
		l.approved = last.role == works && last.mood == plain
	}
	if l.approved {
		for i := l.first; i < n; i++ {
			if tokens[i].mood == plain {
				tokens[i].mood = fine
			}
		}
	}
	l.first, l.deny, l.approved, l.limited = n, 0, false, false
	l.reach, l.owner = 0, 0
	l.clause++
}

// next is the word behind place i, "" at the end of a clause.
func (l *lexer) next(i int) string {
	if i+1 < len(l.words) && l.words[i+1].mark == 0 {
		return l.words[i+1].text
	}
	return ""
}

// before is the word ahead of place i, "" at the beginning of a clause.
func (l *lexer) before(i int) string {
	if i > 0 && l.words[i-1].mark == 0 {
		return l.words[i-1].text
	}
	return ""
}

// cut appends the small-letter words and marks of a text. Apostrophes fall away,
// "n't" becomes a word of its own, figures keep points and colons inside.
func cut(list []raw, text string) []raw {
	text = strings.ToLower(text)
	for i := 0; i < len(text); {
		c, size := utf8.DecodeRuneInString(text[i:])
		if !isWordRune(c) {
			if m := markOf(c); m != 0 {
				list = append(list, raw{mark: m})
			}
			i += size
			continue
		}
		end := wordEnd(text, i)
		list = appendWord(list, raw{text: text[i:end], from: i, to: end})
		i = end
	}
	return list
}

func isWordRune(c rune) bool {
	if c < utf8.RuneSelf {
		return c >= 'a' && c <= 'z' || c >= '0' && c <= '9'
	}
	return unicode.IsLetter(c) || unicode.IsDigit(c)
}

func markOf(c rune) byte {
	switch c {
	case '.', '?', '!', ';', '\n':
		return '.'
	case ',', ':', '(', ')', '–', '—':
		return ','
	}
	return 0
}

// wordEnd finds where the word that begins at i ends.
func wordEnd(text string, i int) int {
	start := i
	for i < len(text) {
		c, size := utf8.DecodeRuneInString(text[i:])
		if isWordRune(c) {
			i += size
			continue
		}
		after, _ := utf8.DecodeRuneInString(text[i+size:])
		inside := isWordRune(after)
		switch {
		case (c == '\'' || c == '’') && inside:
		case (c == '.' || c == ':' || c == ',') && inside && unicode.IsDigit(after) && isDigit(text[i-1]):
		case c == '-' && inside && hyphenJoins(text[start:i], text[i+size:]):
		case c == '/' && strings.HasPrefix(text[i:], "/s") && strings.HasSuffix(text[start:i], "bit"):
		default:
			return i
		}
		i += size
	}
	return i
}

// hyphenJoins keeps one-letter ends (usb-c) and names such as f-12 and vl-03
// in one piece; other hyphens part words.
func hyphenJoins(before, after string) bool {
	n := 0
	for n < len(after) && isWordRune(rune(after[n])) {
		n++
	}
	digits := n > 0
	for _, c := range after[:n] {
		digits = digits && c >= '0' && c <= '9'
	}
	letters := len(before) > 0 && len(before) <= 2 && !isDigit(before[0])
	return n == 1 && !digits || digits && letters && n <= 3
}

// appendWord appends a word in its plain spelling; of "it's" and "somebody's"
// only what stands before the apostrophe.
func appendWord(list []raw, w raw) []raw {
	word := w.text
	if len(word) > 1 && isPlainWord(word) {
		return append(list, w)
	}
	if k := strings.IndexAny(word, "'’"); k > 0 {
		flat := strings.NewReplacer("'", "", "’", "").Replace(word)
		if roleOf(flat) == denier || strings.HasSuffix(flat, "nt") && word[k-1] == 'n' { // doesn't, can't
			w.text = "n't"
			return append(list, w)
		}
		word = word[:k]
	}
	word = wholeFigure(word)
	if len(word) > 2 && strings.Contains(word, "-") && !isDigit(word[len(word)-1]) {
		word = strings.ReplaceAll(word, "-", "") // usb-c
	}
	if n := len(list) - 1; len(word) == 1 && n >= 0 && list[n].text == "usb" { // usb c
		list[n].text += word
		list[n].to = w.to
		return list
	}
	w.text = word
	return append(list, w)
}

func isPlainWord(word string) bool {
	for i := 0; i < len(word); i++ {
		if word[i] < 'a' || word[i] > 'z' {
			return false
		}
	}
	return true
}

// joinFigures makes one word of a number and its unit, of a format and its
// rate ("4k at 60 Hz").
func joinFigures(words []raw) []raw {
	out := words[:0]
	for i, w := range words {
		if n := len(out) - 1; n >= 0 && w.mark == 0 && startsFigure(out[n]) {
			if w.text == "at" && i+1 < len(words) && words[i+1].mark == 0 {
				if _, ok := joinsRate(out[n].text, words[i+1].text); ok {
					continue
				}
			}
			if whole, ok := joinsFigure(out[n].text, w.text); ok {
				out[n].text, out[n].to = whole, w.to
				continue
			}
		}
		out = append(out, w)
	}
	return out
}

func startsFigure(w raw) bool { return w.mark == 0 && w.text != "" && isDigit(w.text[0]) }
