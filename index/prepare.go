package index

import (
	"strings"
)

// prepared is a document taken apart once, for whatever keeps it.
type prepared struct {
	Document
	terms  [][]string // of each text field, each once
	places []byte     // packed, see places.go
}

// preparer takes documents apart and counts their words as they are spelt. It
// serves one goroutine.
type preparer struct {
	reader reader
	lexer  lexer
	stems  map[string]string
	counts map[string]int
	seen   map[string]bool
	buffer []place
}

func newPreparer(r reader) *preparer {
	return &preparer{reader: r, stems: map[string]string{}, counts: map[string]int{}, seen: map[string]bool{}}
}

// take takes a document apart.
func (p *preparer) take(d Document) prepared {
	out := prepared{Document: d, terms: make([][]string, len(textBoosts()))}
	for i, f := range d.texts() {
		p.buffer = p.buffer[:0]
		clear(p.seen)
		p.reader.words(&p.lexer, p.stem, p.count, f.text, func(word string, at place) {
			at.mark = wordMark(word)
			p.buffer = append(p.buffer, at)
			if !p.seen[word] {
				p.seen[word] = true
				out.terms[i] = append(out.terms[i], word)
			}
		})
		out.places = packPlaces(out.places, p.buffer)
	}
	return out
}

func (p *preparer) stem(word string) string {
	stem, ok := p.stems[word]
	if !ok {
		stem = stemOf(word)
		p.stems[strings.Clone(word)] = strings.Clone(stem)
	}
	return stem
}

func (p *preparer) count(word string) {
	if _, ok := p.counts[word]; !ok {
		word = strings.Clone(word)
	}
	p.counts[word]++
}
