package kb

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/gob"
	"fmt"
	"io"
	"sync"
)

// The built-in book is authored as YAML in kb/book and packed into one file,
// because parsing it at every start would cost more than all the rest.
// A test holds the two equal; `go generate ./kb` packs it anew.
//
//go:generate go run ./internal/pack
//go:generate go run ./internal/schemas

//go:embed builtin.gob
var packed []byte

// Builtin is the book that came with the program. It is unpacked once and
// shared: a Book is not changed.
var Builtin = sync.OnceValues(UnpackBuiltin)

// UnpackBuiltin unpacks the built-in book anew; Builtin is what programs use.
func UnpackBuiltin() (*Book, error) {
	b, err := Unpack(bytes.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("the built-in book is damaged, build the program anew: %w", err)
	}
	b.built = fmt.Sprintf("%x", sha256.Sum256(packed))
	return b, nil
}

// shelf is the packed form of a book: slices in order of ids, no maps, so that
// the same book gives the same bytes.
type shelf struct {
	Symptoms  []*Symptom
	Causes    []*Cause
	Questions []*Question
	Remedies  []*Remedy
	Practices []*Practice
	Cautions  []*Caution
	Handovers []*Handover
	Rules     []*Rule
	Parts     []*Part
	Values    []*Value
	Words     []*Words
	Terms     []*Term
	Files     []string // of all entries, in the order of Kinds and ids
}

// Pack writes a book in the packed form.
func Pack(w io.Writer, b *Book) error {
	s := shelf{All[Symptom](b), All[Cause](b), All[Question](b), All[Remedy](b), All[Practice](b), All[Caution](b),
		All[Handover](b), All[Rule](b), All[Part](b), All[Value](b), All[Words](b), All[Term](b), nil}
	for _, k := range Kinds() {
		for _, id := range b.IDs(k) {
			s.Files = append(s.Files, b.origins[key{k, id}].file)
		}
	}
	if err := gob.NewEncoder(w).Encode(s); err != nil {
		return fmt.Errorf("pack the book: %w", err)
	}
	return nil
}

// Unpack reads what Pack wrote.
func Unpack(r io.Reader) (*Book, error) {
	var s shelf
	if err := gob.NewDecoder(r).Decode(&s); err != nil {
		return nil, fmt.Errorf("unpack the book: %w", err)
	}
	var list []Entry
	list = shelve(list, s.Symptoms)
	list = shelve(list, s.Causes)
	list = shelve(list, s.Questions)
	list = shelve(list, s.Remedies)
	list = shelve(list, s.Practices)
	list = shelve(list, s.Cautions)
	list = shelve(list, s.Handovers)
	list = shelve(list, s.Rules)
	list = shelve(list, s.Parts)
	list = shelve(list, s.Values)
	list = shelve(list, s.Words)
	list = shelve(list, s.Terms)
	if len(list) != len(s.Files) {
		return nil, fmt.Errorf("%d entries but %d files", len(list), len(s.Files))
	}
	b := newBook()
	for i, e := range list {
		b.put(e, origin{file: s.Files[i], built: true})
	}
	b.sortIDs()
	return b, nil
}

func shelve[T Entry](list []Entry, more []T) []Entry {
	for _, e := range more {
		list = append(list, e)
	}
	return list
}
