package index

import (
	"strings"

	"github.com/blevesearch/bleve/v2/analysis"
	"github.com/blevesearch/bleve/v2/registry"
)

// The index reads texts with the same lexer as the opening words: figures stay
// whole, "doesn't" denies, words that name nothing fall away, the rest are
// stems. A denied word gives two words of the index, "sound" and "!sound". A
// word of several parts that stands in a group of the book ("big screen") gives
// one more, "big screen", beside its parts.
const (
	wordsAnalyzer    = "faultbook-words"    // for texts and what is looked for
	sameAnalyzer     = "faultbook-same"     // for members of groups: one word each
	spellingAnalyzer = "faultbook-spelling" // surface forms, to mend misspellings with
)

// sentenceGap keeps phrases from reaching over the end of a sentence. Words
// that name nothing do not count in the places of the others.
const sentenceGap = 10

// bleve knows components by name in a registry of its own; there is no other
// way to give it one.
func init() {
	for name, build := range map[string]registry.AnalyzerConstructor{
		wordsAnalyzer:    newWordsAnalyzer,
		sameAnalyzer:     newSameAnalyzer,
		spellingAnalyzer: newSpellingAnalyzer,
	} {
		if err := registry.RegisterAnalyzer(name, build); err != nil {
			panic(err) // the name is taken: a fault of the program
		}
	}
}

// reader is the analyzer for texts.
type reader struct {
	together map[string][][]string // words of several parts, by the first part
}

func newWordsAnalyzer(config map[string]interface{}, _ *registry.Cache) (analysis.Analyzer, error) {
	r := reader{together: map[string][][]string{}}
	switch list := config["together"].(type) {
	case []string:
		for _, s := range list {
			r.add(s)
		}
	case []interface{}: // read back from a stored index
		for _, v := range list {
			if s, ok := v.(string); ok {
				r.add(s)
			}
		}
	}
	return r, nil
}

// newReader is the same analyzer for what is looked for.
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

// Analyze makes the words of the index from a text.
func (r reader) Analyze(input []byte) analysis.TokenStream {
	tokens := lex(string(input))
	stream := make(analysis.TokenStream, 0, len(tokens)+8)
	pos := 0
	for i, t := range tokens {
		pos++
		if i > 0 && t.whole != tokens[i-1].whole {
			pos += sentenceGap
		}
		stem := stemOf(t.text)
		stream = append(stream, at(stem, pos, t.from, t.to))
		if t.mood == denied {
			stream = append(stream, at("!"+stem, pos, t.from, t.to))
		}
		for _, parts := range r.together[marked(t)] {
			if stands(parts, tokens[i:]) {
				stream = append(stream, at(strings.Join(parts, " "), pos, t.from, tokens[i+len(parts)-1].to))
			}
		}
	}
	return stream
}

func at(term string, pos, from, to int) *analysis.Token {
	return &analysis.Token{Term: []byte(term), Position: pos, Start: from, End: to, Type: analysis.AlphaNumeric}
}

// marked is the stem of a token, with its denial.
func marked(t token) string {
	if t.mood == denied {
		return "!" + stemOf(t.text)
	}
	return stemOf(t.text)
}

// stands reports whether a word of several parts stands at the beginning.
func stands(parts []string, tokens []token) bool {
	if len(tokens) < len(parts) {
		return false
	}
	for k, part := range parts {
		if marked(tokens[k]) != part || k > 0 && tokens[k].pos-tokens[k-1].pos > 2 {
			return false
		}
	}
	return true
}

// whole is the analyzer for members of groups.
type wholeWord struct{}

func newSameAnalyzer(map[string]interface{}, *registry.Cache) (analysis.Analyzer, error) {
	return wholeWord{}, nil
}

// Analyze makes one word of the text, whatever its parts.
func (wholeWord) Analyze(input []byte) analysis.TokenStream {
	if word := memberWord(string(input)); word != "" {
		return analysis.TokenStream{at(word, 1, 0, len(input))}
	}
	return nil
}

// memberWord is the word of the index under which a member of a group is
// found.
func memberWord(member string) string {
	tokens := lex(member)
	parts := make([]string, len(tokens))
	for i, t := range tokens {
		parts[i] = marked(t)
	}
	return strings.Join(parts, " ")
}

// surface is the analyzer that keeps words as they are spelt.
type surface struct{}

func newSpellingAnalyzer(map[string]interface{}, *registry.Cache) (analysis.Analyzer, error) {
	return surface{}, nil
}

// Analyze lists the words of a text as they are spelt.
func (surface) Analyze(input []byte) analysis.TokenStream {
	var stream analysis.TokenStream
	for i, w := range joinFigures(cut(nil, string(input))) {
		if w.mark == 0 {
			stream = append(stream, at(w.text, i+1, w.from, w.to))
		}
	}
	return stream
}
