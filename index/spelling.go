package index

import (
	"fmt"

	index "github.com/blevesearch/bleve_index_api"
)

// speller asks the dictionary of the index.
type speller struct {
	reader index.IndexReader
	same   map[string][]string
	near   *lexicon // made when the first unknown word comes
	mended bool     // a word was taken for another one
	err    error
}

// known reports whether a word stands in some document as it is spelt, or it is
// a usual form of one that does, or it stands in a group of the book.
func (s *speller) known(surface, stem string) bool {
	if _, ok := s.same[stem]; ok {
		return true
	}
	dictionary, ok := s.reader.(index.IndexReaderContains)
	if !ok {
		return true
	}
	if s.in(dictionary, "spelling", surface) {
		return true
	}
	if !isInflected(surface) {
		return false
	}
	for _, f := range textBoosts() {
		if s.in(dictionary, f.name, stem) {
			return true
		}
	}
	return false
}

func (s *speller) in(dictionary index.IndexReaderContains, field, word string) bool {
	d, err := dictionary.FieldDictContains(field)
	if err != nil {
		s.err = fmt.Errorf("read the dictionary: %w", err)
		return false
	}
	found, err := d.Contains([]byte(word))
	if err != nil {
		s.err = fmt.Errorf("read the dictionary: %w", err)
	}
	return found
}

// nearest is the word of the index that an unknown one was probably meant to
// be; empty where there is none.
func (s *speller) nearest(word string) string {
	if s.near == nil {
		s.near = s.dictionary()
	}
	better := s.near.nearest(word)
	s.mended = s.mended || better != ""
	return better
}

func (s *speller) dictionary() *lexicon {
	lx := &lexicon{words: map[string]*word{}}
	defer lx.seal()
	dict, err := s.reader.FieldDict("spelling")
	if err != nil {
		s.err = fmt.Errorf("read the dictionary: %w", err)
		return lx
	}
	defer dict.Close()
	for {
		e, err := dict.Next()
		if err != nil {
			s.err = fmt.Errorf("read the dictionary: %w", err)
			return lx
		}
		if e == nil {
			return lx
		}
		if roleOf(e.Term) == naming && len(e.Term) >= 4 {
			lx.words[e.Term] = &word{count: int(e.Count)}
		}
	}
}
