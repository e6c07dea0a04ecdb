package index

import (
	"fmt"
	"slices"

	"faultbook/kb"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/analysis/analyzer/keyword"
	"github.com/blevesearch/bleve/v2/mapping"
)

const synonyms = "book" // name of the synonym source and of its collection

// newMapping describes the index: text fields with the book's groups as
// synonyms, plain fields for filters and ids, everything else ignored.
func newMapping(groups []group) (*mapping.IndexMappingImpl, error) {
	m := bleve.NewIndexMapping()
	m.DefaultAnalyzer = keyword.Name
	var together []string
	for _, g := range groups {
		together = append(together, g.words...)
	}
	for name, config := range map[string]map[string]interface{}{
		"words":    {"type": wordsAnalyzer, "together": together},
		"same":     {"type": sameAnalyzer},
		"spelling": {"type": spellingAnalyzer},
	} {
		if err := m.AddCustomAnalyzer(name, config); err != nil {
			return nil, fmt.Errorf("describe the index: %w", err)
		}
	}
	if err := m.AddSynonymSource(synonyms, map[string]interface{}{"collection": synonyms, "analyzer": "same"}); err != nil {
		return nil, fmt.Errorf("describe the synonyms: %w", err)
	}
	doc := bleve.NewDocumentStaticMapping()
	for _, f := range textBoosts() {
		doc.AddFieldMappingsAt(f.name, textMapping())
	}
	doc.AddFieldMappingsAt("figures", spellMapping(true))
	doc.AddFieldMappingsAt("spelling", spellMapping(false))
	for _, name := range []string{"id", "kind", "symptoms", "room", "state", "when", "links"} {
		doc.AddFieldMappingsAt(name, plainMapping())
	}
	m.DefaultMapping = doc
	return m, nil
}

func textMapping() *mapping.FieldMapping {
	f := bleve.NewTextFieldMapping()
	f.Analyzer = "words"
	f.SynonymSource = synonyms
	f.IncludeInAll = false
	f.DocValues = false
	return f
}

func spellMapping(store bool) *mapping.FieldMapping {
	f := bleve.NewTextFieldMapping()
	f.Analyzer = "spelling"
	f.IncludeInAll, f.DocValues, f.IncludeTermVectors = false, false, false
	f.Store = store
	return f
}

func plainMapping() *mapping.FieldMapping {
	f := bleve.NewKeywordFieldMapping()
	f.IncludeInAll, f.DocValues, f.IncludeTermVectors = false, false, false
	return f
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
			if word == "" {
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
