package index

import (
	"strings"
)

// Document is what can be found: an entry of the book or a closed case.
type Document struct {
	ID   string // unique within its kind
	Kind string // cause, symptom, practice, case, or another kind of the book
	// Title is the line shown in lists.
	Title string
	// Symptoms are the ids of the symptoms that it belongs to.
	Symptoms []string
	// Room of a case.
	Room string
	// State of an entry (draft, checked) or a case (open, closed).
	State string
	// When is the day of a case, as 2026-11-25; empty for entries.
	When string

	Words   string // what a caller says about it
	Heard   string // what callers say about its symptoms; counts little
	Why     string
	Remedy  string
	Tells   string // what is seen, asked and measured
	Notes   string // all else
	Figures string // words with digits, taken from the texts where empty
}

// key names a document in the index; the id comes first, so that equal scores
// are ordered by it.
func (d *Document) key() string { return d.ID + "/" + d.Kind }

// texts are the fields that are searched, in the order in which matched words
// are shown, with what a word in them counts. The boosts were set on the odd
// lines of the score sheet of queries in testdata/find.
func (d *Document) texts() []textField {
	return []textField{
		{"title", d.Title, 4},
		{"words", d.Words, 2.5},
		{"tells", d.Tells, 2},
		{"why", d.Why, 1},
		{"remedy", d.Remedy, 1},
		{"notes", d.Notes, 0.5},
		{"heard", d.Heard, 0.8},
	}
}

// textField is one field of a document.
type textField struct {
	name, text string
	boost      float64
}

// textBoosts lists the searched fields.
func textBoosts() []textField { return (&Document{}).texts() }

// withFigures gives the document with its figures filled in.
func (d Document) withFigures() Document {
	if d.Figures != "" {
		return d
	}
	seen := map[string]bool{}
	var list []string
	for _, f := range d.texts() {
		if f.name == "heard" {
			continue
		}
		for _, w := range joinFigures(cut(nil, f.text)) {
			if w.mark == 0 && hasDigit(w.text) && len(w.text) > 1 && !seen[w.text] {
				seen[w.text] = true
				list = append(list, w.text)
			}
		}
	}
	d.Figures = strings.Join(list, " ")
	return d
}

func hasDigit(word string) bool {
	for i := 0; i < len(word); i++ {
		if isDigit(word[i]) {
			return true
		}
	}
	return false
}
