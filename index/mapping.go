package index

import (
	"slices"
	"strings"

	"faultbook/kb"

	"github.com/blevesearch/bleve/v2/analysis"
	"github.com/blevesearch/bleve/v2/document"
	index "github.com/blevesearch/bleve_index_api"
)

// How a document lies in bleve. Text fields hold their words (without counts,
// norms and places: the order of hits is made here), plain fields hold values to
// filter by, and one stored field holds the packed places and the texts in short.
const (
	searched    = index.IndexField | index.SkipFreqNorm
	synonyms    = "book" // name of the synonym source
	storedField = "text"
)

// bleveDocument makes what bleve is given of a document.
func (p prepared) bleveDocument(c *codes) *document.Document {
	doc := document.NewDocument(p.key())
	stored := p.places
	for i, f := range p.texts() {
		if f.text != "" {
			doc.AddField(document.NewTextFieldCustom(f.name, nil, nil, searched, ready(p.terms[i])))
		}
		stored = c.encode(stored, f.text)
	}
	for _, v := range p.plain() {
		doc.AddField(document.NewTextFieldCustom(v.field, nil, []byte(v.text), searched, nil))
	}
	doc.AddField(document.NewTextFieldCustom(storedField, nil, stored, index.StoreField, nil))
	return doc
}

// value is a plain field with a value to filter by.
type value struct{ field, text string }

// plain gives the values to filter by, in small letters.
func (d *Document) plain() []value {
	list := []value{{"kind", d.Kind}}
	for _, s := range d.Symptoms {
		v := value{"symptoms", strings.ToLower(s)}
		if !slices.Contains(list, v) {
			list = append(list, v)
		}
	}
	for _, v := range []value{{"room", strings.ToLower(d.Room)}, {"state", d.State}, {"when", d.When}} {
		if v.text != "" {
			list = append(list, v)
		}
	}
	return list
}

// ready hands bleve the words that were found already.
type ready []string

// Analyze gives the words, whatever the text.
func (r ready) Analyze([]byte) analysis.TokenStream {
	tokens := make([]analysis.Token, len(r))
	stream := make(analysis.TokenStream, len(r))
	for i, word := range r {
		tokens[i] = analysis.Token{Term: []byte(word), Position: i + 1, Type: analysis.AlphaNumeric}
		stream[i] = &tokens[i]
	}
	return stream
}

// asItIs is the analyzer for members of groups, which are words of the index
// already.
type asItIs struct{}

// Analyze makes one word of the text, whatever its parts.
func (asItIs) Analyze(input []byte) analysis.TokenStream {
	return analysis.TokenStream{{Term: slices.Clone(input), Position: 1, Type: analysis.AlphaNumeric}}
}

// synonymDocument makes a synonym definition of a group, as bleve knows it.
func (g group) synonymDocument() *document.Document {
	doc := document.NewSynonymDocument("words/" + g.id)
	doc.AddField(document.NewSynonymField(synonyms, asItIs{}, nil, g.words))
	return doc
}

// group is a list of words that stand for each other, as words of the index.
type group struct {
	id    string
	words []string
}

// groupsOf takes the groups out of a book. Each is there a second time with
// its words denied, so that "no telly" finds "no screen", and formats with each
// rate.
func groupsOf(book *kb.Book) []group {
	var list []group
	add := func(id string, words []string) {
		slices.Sort(words)
		if words = slices.Compact(words); len(words) > 1 {
			list = append(list, group{id, words})
		}
	}
	for _, w := range kb.All[kb.Words](book) {
		var words, no []string
		for _, same := range w.Same {
			word := memberWord(same)
			if word == "" || isSpoken(same) {
				continue
			}
			words = append(words, word)
			if denied := memberWord("no " + same); denied[0] == '!' && denied != word {
				no = append(no, denied)
			}
		}
		add(w.ID, words)
		add(w.ID+" denied", no)
		for _, rated := range withRates(w.Same) {
			add(w.ID+" "+rated[0], rated)
		}
	}
	return list
}
