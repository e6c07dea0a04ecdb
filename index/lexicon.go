package index

import (
	"slices"
	"sort"

	"faultbook/kb"
)

// concept numbers a stem, or a group of words that stand for each other.
type concept int32

const unknown concept = -1

// term is a token, or several that stand together for one thing, with what it
// can mean.
type term struct {
	token
	concepts []concept // its stem, then its groups; empty where it means nothing known
	quality  float64   // 1, or less where the word was taken for a misspelling
	last     int       // place of its last word
	several  bool      // of several parts: its last concept alone is what it means
}

// lexicon knows the words of a book. It is not changed once sealed.
type lexicon struct {
	numbers  map[string]concept // by stem; groups by "=" and their id
	meanings [][]concept        // of each stem: itself, then its groups
	words    map[string]*word   // by surface form
	groups   map[concept][]concept
	starts   map[concept][]member // words of several parts, by the first part
	shapes   map[shape][]string   // surface forms, for misspellings
	lexer    lexer                // for study; has the book's own idioms
}

// word is what is known of one surface form.
type word struct {
	stem  concept
	count int
}

// member is a word of several parts in a group.
type member struct {
	parts []concept
	moods []mood
	group concept
}

// shape sorts words for the search of misspellings.
type shape struct {
	first byte
	size  int
}

// newLexicon reads the groups of a book; further words come in through learn.
func newLexicon(book *kb.Book) *lexicon {
	lx := &lexicon{
		lexer:   lexer{own: spokenMembers(book)},
		numbers: make(map[string]concept, 4096),
		words:   make(map[string]*word, 4096),
		groups:  map[concept][]concept{},
		starts:  map[concept][]member{},
	}
	for _, w := range kb.All[kb.Words](book) {
		group := lx.number("=" + w.ID)
		for _, same := range w.Same {
			if !isSpoken(same) {
				lx.addMember(group, lx.lexer.lex(same))
			}
		}
		for _, rated := range withRates(w.Same) {
			group := lx.number("=" + w.ID + " " + rated[0])
			for _, same := range rated {
				lx.addMember(group, lx.lexer.lex(same))
			}
		}
	}
	for _, list := range lx.starts { // the longest first
		sort.SliceStable(list, func(i, j int) bool { return len(list[i].parts) > len(list[j].parts) })
	}
	return lx
}

func (lx *lexicon) addMember(group concept, tokens []token) {
	if len(tokens) == 0 {
		return
	}
	m := member{group: group}
	for _, t := range tokens {
		m.parts = append(m.parts, lx.learn(t.text))
		m.moods = append(m.moods, t.mood)
	}
	if len(m.parts) == 1 && m.moods[0] == plain {
		if groups := lx.groups[m.parts[0]]; !slices.Contains(groups, group) { // other forms of the word may stand there too
			lx.groups[m.parts[0]] = append(groups, group)
		}
		return
	}
	lx.starts[m.parts[0]] = append(lx.starts[m.parts[0]], m)
}

func (lx *lexicon) number(name string) concept {
	n, ok := lx.numbers[name]
	if !ok {
		n = concept(len(lx.meanings))
		lx.numbers[name] = n
		lx.meanings = append(lx.meanings, nil)
	}
	return n
}

// learn takes a surface form in and gives the number of its stem.
func (lx *lexicon) learn(text string) concept {
	w, ok := lx.words[text]
	if !ok {
		w = &word{stem: lx.number(stemOf(text))}
		lx.words[text] = w
	}
	w.count++
	return w.stem
}

// seal ends the learning and sorts the words for the search of misspellings.
func (lx *lexicon) seal() {
	for n := range lx.meanings {
		lx.meaning(concept(n))
	}
	lx.shapes = make(map[shape][]string, 256)
	for text := range lx.words {
		s := shape{text[0], len(text)}
		lx.shapes[s] = append(lx.shapes[s], text)
	}
	for _, list := range lx.shapes {
		sort.Strings(list)
	}
}

// meaning lists what a stem can mean: itself, then its groups.
func (lx *lexicon) meaning(stem concept) []concept {
	if lx.meanings[stem] == nil {
		lx.meanings[stem] = append([]concept{stem}, lx.groups[stem]...)
	}
	return lx.meanings[stem]
}

// study turns an author's line into terms, appended to list, and learns its
// words.
func (lx *lexicon) study(line string, list []term) []term {
	n := len(list)
	for _, t := range lx.lexer.lex(line) {
		list = append(list, term{token: t, concepts: lx.meaning(lx.learn(t.text)), quality: 1, last: t.pos})
	}
	return list[:n+len(lx.collect(list[n:]))]
}

// hear turns a caller's tokens into terms: known words as they are, unknown
// ones as the nearest known word.
func (lx *lexicon) hear(tokens []token) []term {
	tokens = lx.joinSplit(tokens)
	terms := make([]term, len(tokens))
	for i, t := range tokens {
		terms[i] = term{token: t, last: t.pos, quality: 1}
		n, quality := lx.recognise(t.text)
		if n != unknown {
			terms[i].concepts, terms[i].quality = lx.meanings[n], quality
		}
	}
	return lx.collect(terms)
}

// recognise gives the stem that a surface form means and how sure that is.
func (lx *lexicon) recognise(text string) (concept, float64) {
	if w, ok := lx.words[text]; ok {
		return w.stem, 1
	}
	n, ok := lx.numbers[stemOf(text)]
	if ok && isInflected(text) {
		return n, 1
	}
	if near := lx.nearest(text); near != "" {
		return lx.words[near].stem, 0.75
	}
	if ok {
		return n, 1
	}
	return unknown, 0
}

// joinSplit mends words that were written in two: "lap top", "web cam".
func (lx *lexicon) joinSplit(tokens []token) []token {
	out := tokens[:0:0]
	for _, t := range tokens {
		if n := len(out) - 1; n >= 0 && out[n].pos == t.pos-1 && out[n].mood == t.mood {
			joined := out[n].text + t.text
			if w, ok := lx.words[joined]; ok && len(joined) >= 6 && w.count > 0 {
				out[n].text = joined
				out[n].pos = t.pos
				continue
			}
		}
		out = append(out, t)
	}
	return out
}

// collect puts words of several parts together.
func (lx *lexicon) collect(terms []term) []term {
	if len(lx.starts) == 0 {
		return terms
	}
	out := terms[:0]
	for i := 0; i < len(terms); {
		t := terms[i]
		n := 1
		if len(t.concepts) > 0 {
			if m, ok := lx.longest(terms[i:]); ok {
				n = len(m.parts)
				t = together(terms[i:i+n], m)
			}
		}
		out = append(out, t)
		i += n
	}
	return out
}

// together makes one term of a word of several parts. Where the denial is part
// of the word ("no signal"), only the group remains, and it is plain.
func together(parts []term, m member) term {
	t := parts[0]
	t.last = parts[len(parts)-1].pos
	t.concepts = t.concepts[:1:1]
	for _, part := range parts[1:] {
		t.text += " " + part.text
		t.quality = min(t.quality, part.quality)
		t.concepts = append(t.concepts, part.concepts[0])
	}
	t.concepts = append(t.concepts, m.group)
	t.several = true
	for _, mood := range m.moods {
		if mood == denied {
			t.mood, t.concepts = plain, []concept{m.group}
		}
	}
	return t
}

// longest finds the longest word of several parts that begins here.
func (lx *lexicon) longest(terms []term) (member, bool) {
	for _, m := range lx.starts[terms[0].concepts[0]] {
		if len(m.parts) <= len(terms) && fits(m, terms) {
			return m, true
		}
	}
	return member{}, false
}

func fits(m member, terms []term) bool {
	for i, part := range m.parts {
		t := terms[i]
		if len(t.concepts) == 0 || t.concepts[0] != part || m.moods[i] != plain && t.mood != m.moods[i] {
			return false
		}
		if i > 0 && t.pos-terms[i-1].pos > 2 {
			return false
		}
	}
	return true
}
