package index

import (
	"slices"
	"strings"

	bleve "github.com/blevesearch/bleve_index_api"
)

// prepared is a document taken apart once, for whatever keeps it.
type prepared struct {
	Document
	terms  [][]*known // of each text field, each once
	places []byte     // packed, see places.go
}

// known is a word of the index or a plain value, met before.
type known struct {
	text     string
	mark     uint16   // see wordMark
	denied   *known   // the same word denied, once that was met
	together []joined // words of several parts that begin with it
	field    int      // the last text field in which it was met
	entry    bleve.TokenFreq
	alone    bleve.TokenFrequencies // of a field with this value alone, once that was met
}

// joined is a word of several parts.
type joined struct {
	parts []string
	whole *known
}

// spelling is a word as it is spelt, with its stem.
type spelling struct {
	text  string
	stem  *known
	times int // since the words were counted last
}

// preparer takes documents apart and counts their words as they are spelt. Each
// word is looked up once: all that is made of it is kept. It serves one
// goroutine.
type preparer struct {
	reader    reader
	lexer     lexer
	spellings map[string]*spelling
	words     map[string]*known
	counted   []*spelling // those that were met since the words were counted last
	fields    int         // text fields taken apart so far
	at        []place
	met       []*known
	marks     []string // of the tokens of a field
	stems     []*known
	packed    []byte
}

func newPreparer(r reader) *preparer {
	return &preparer{reader: r, spellings: map[string]*spelling{}, words: map[string]*known{}}
}

// take takes a document apart.
func (p *preparer) take(d Document) prepared {
	texts := d.texts()
	out := prepared{Document: d, terms: make([][]*known, len(texts))}
	p.packed, p.met = p.packed[:0], p.met[:0]
	ends := make([]int, len(texts))
	for i, f := range texts {
		p.find(f.text)
		p.packed = packPlaces(p.packed, p.at)
		ends[i] = len(p.met)
	}
	all := slices.Clone(p.met)
	from := 0
	for i, to := range ends {
		out.terms[i] = all[from:to:to]
		from = to
	}
	out.places = slices.Clone(p.packed)
	return out
}

// find finds the words of one text: their places go to at, in order, and each
// word once behind those in met.
func (p *preparer) find(text string) {
	p.fields++
	p.at = p.at[:0]
	tokens := p.lexer.lex(text)
	p.read(tokens)
	pos := 0
	for i, t := range tokens {
		pos++
		if i > 0 && t.whole != tokens[i-1].whole {
			pos += sentenceGap
		}
		at := place{pos: pos, from: t.from, to: t.to}
		first := p.stems[i]
		p.give(first, at)
		if t.mood == denied {
			first = first.denied
			p.give(first, at)
		}
		for _, j := range first.together {
			if stands(j.parts, tokens[i:], p.marks[i:]) {
				at.to = tokens[i+len(j.parts)-1].to
				p.give(j.whole, at)
			}
		}
	}
}

// read looks the tokens of a text up, and counts them.
func (p *preparer) read(tokens []token) {
	p.marks, p.stems = p.marks[:0], p.stems[:0]
	for _, t := range tokens {
		s, ok := p.spellings[t.text]
		if !ok {
			text := strings.Clone(t.text)
			s = &spelling{text: text, stem: p.word(stemOf(text))}
			p.spellings[text] = s
		}
		if s.times == 0 {
			p.counted = append(p.counted, s)
		}
		s.times++
		word := s.stem
		if t.mood == denied {
			if word.denied == nil {
				word.denied = p.word("!" + word.text)
			}
			word = word.denied
		}
		p.marks, p.stems = append(p.marks, word.text), append(p.stems, s.stem)
	}
}

// give takes in that a word stands at a place of the field.
func (p *preparer) give(w *known, at place) {
	at.mark = w.mark
	p.at = append(p.at, at)
	if w.field != p.fields {
		w.field = p.fields
		p.met = append(p.met, w)
	}
}

// word looks a word of the index up.
func (p *preparer) word(text string) *known {
	w, ok := p.words[text]
	if ok {
		return w
	}
	w = &known{text: text, mark: wordMark(text), entry: bleve.TokenFreq{Term: []byte(text)}}
	p.words[text] = w
	for _, parts := range p.reader.together[text] {
		w.together = append(w.together, joined{parts, p.word(strings.Join(parts, " "))})
	}
	return w
}

// takeCounts gives how often each word was met since it was last called.
func (p *preparer) takeCounts() map[string]int {
	counts := make(map[string]int, len(p.counted))
	for _, s := range p.counted {
		counts[s.text] = s.times
		s.times = 0
	}
	p.counted = p.counted[:0]
	return counts
}
