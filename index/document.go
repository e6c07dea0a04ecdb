package index

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

	Words  string // what a caller says about it
	Heard  string // what callers say about its symptoms; counts little
	Why    string
	Remedy string
	Tells  string // what is seen, asked and measured
	Notes  string // all else
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

// set fills one of the text fields in.
func (d *Document) set(field, text string) {
	for name, at := range map[string]*string{"title": &d.Title, "words": &d.Words, "tells": &d.Tells, "why": &d.Why,
		"remedy": &d.Remedy, "notes": &d.Notes, "heard": &d.Heard} {
		if name == field {
			*at = text
		}
	}
}

// textField is one field of a document.
type textField struct {
	name, text string
	boost      float64
}

// textBoosts lists the searched fields.
func textBoosts() []textField { return (&Document{}).texts() }

func hasDigit(word string) bool {
	for i := 0; i < len(word); i++ {
		if isDigit(word[i]) {
			return true
		}
	}
	return false
}
