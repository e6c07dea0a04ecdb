package index

import (
	"slices"
	"strings"

	"faultbook/kb"

	"github.com/blevesearch/bleve/v2/analysis"
	"github.com/blevesearch/bleve/v2/document"
	bleve "github.com/blevesearch/bleve_index_api"
)

// How a document lies in bleve. Text fields hold their words (without counts,
// norms and places: the order of hits is made here), plain fields hold values to
// filter by, and one stored field holds the packed places and the texts in short.
const (
	searched    = bleve.IndexField | bleve.SkipFreqNorm
	synonyms    = "book" // name of the synonym source
	storedField = "text"
)

// taken is a document as bleve takes it, its words found already: bleve's own
// kind of document would look each of them up once more.
type taken struct {
	id     string
	fields []takenField
}

// takenField is one field of it.
type takenField struct {
	name    string
	value   []byte
	options bleve.FieldIndexingOptions
	words   bleve.TokenFrequencies
}

// bleveDocument makes what bleve is given of a document.
func (p *preparer) bleveDocument(d prepared, c *codes) *taken {
	doc := &taken{id: d.key(), fields: make([]takenField, 0, len(d.terms)+7)}
	stored := append(p.packed[:0], d.places...)
	for i, f := range d.texts() {
		if f.text != "" {
			doc.fields = append(doc.fields, takenField{f.name, nil, searched, wordsOf(d.terms[i])})
		}
		stored = c.encode(stored, f.text)
	}
	p.packed = stored
	for _, f := range d.plain() {
		doc.fields = append(doc.fields, takenField{f.field, nil, searched, p.values(f.texts)})
	}
	doc.fields = append(doc.fields, takenField{storedField, slices.Clone(stored), bleve.StoreField, nil})
	return doc
}

func wordsOf(words []*known) bleve.TokenFrequencies {
	all := make(bleve.TokenFrequencies, len(words))
	for _, w := range words {
		all[w.text] = &w.entry
	}
	return all
}

// values gives the values of a plain field; documents with the same share them.
func (p *preparer) values(texts []string) bleve.TokenFrequencies {
	if len(texts) == 1 {
		w := p.word(texts[0])
		if w.alone == nil {
			w.alone = wordsOf([]*known{w})
		}
		return w.alone
	}
	words := make([]*known, len(texts))
	for i, text := range texts {
		words[i] = p.word(text)
	}
	return wordsOf(words)
}

// What bleve asks a document.

func (d *taken) ID() string                                 { return d.id }
func (d *taken) Size() int                                  { return 0 }
func (d *taken) VisitComposite(bleve.CompositeFieldVisitor) {}
func (d *taken) HasComposite() bool                         { return false }
func (d *taken) NumPlainTextBytes() uint64                  { return 0 }
func (d *taken) StoredFieldsBytes() uint64                  { return 0 }
func (d *taken) Indexed() bool                              { return true }
func (d *taken) VisitFields(visit bleve.FieldVisitor) {
	for i := range d.fields {
		visit(&d.fields[i])
	}
}

// AddIDField puts the key in, under which bleve finds the document.
func (d *taken) AddIDField() {
	id := []byte(d.id)
	d.fields = append(d.fields, takenField{"_id", id, bleve.IndexField | bleve.StoreField, bleve.TokenFrequencies{d.id: idEntry(id)}})
}

// idEntry is the key as bleve's own documents have it: met once, at one place.
func idEntry(id []byte) *bleve.TokenFreq {
	e := &bleve.TokenFreq{Term: id}
	e.SetFrequency(1)
	return e
}

// What bleve asks a field.

func (f *takenField) Name() string                                     { return f.name }
func (f *takenField) Value() []byte                                    { return f.value }
func (f *takenField) ArrayPositions() []uint64                         { return nil }
func (f *takenField) EncodedFieldType() byte                           { return 't' }
func (f *takenField) Analyze()                                         {}
func (f *takenField) Options() bleve.FieldIndexingOptions              { return f.options }
func (f *takenField) AnalyzedLength() int                              { return len(f.words) }
func (f *takenField) AnalyzedTokenFrequencies() bleve.TokenFrequencies { return f.words }
func (f *takenField) NumPlainTextBytes() uint64                        { return 0 }

// value is a value of a plain field, to filter by.
type value struct{ field, text string }

// plainField is a plain field with its values.
type plainField struct {
	field string
	texts []string
}

// plain gives the values to filter by, in small letters.
func (d *Document) plain() []plainField {
	list := append(make([]plainField, 0, 5), plainField{"kind", []string{d.Kind}})
	var symptoms []string
	for _, s := range d.Symptoms {
		if s = strings.ToLower(s); !slices.Contains(symptoms, s) {
			symptoms = append(symptoms, s)
		}
	}
	if len(symptoms) > 0 {
		list = append(list, plainField{"symptoms", symptoms})
	}
	for _, v := range []value{{"room", strings.ToLower(d.Room)}, {"state", d.State}, {"when", d.When}} {
		if v.text != "" {
			list = append(list, plainField{v.field, []string{v.text}})
		}
	}
	return list
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
