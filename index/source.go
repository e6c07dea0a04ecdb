package index

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"sort"

	"faultbook/kb"
)

// format is counted up whenever the way of indexing changes: it makes older
// indexes stale. The version of bleve is in it for the same reason.
const format = "faultbook index 1, bleve 2.6.3"

// Source is what an index is built from: a book, and cases that are read one
// by one when they are needed.
type Source struct {
	Book *kb.Book
	// Cases lists the cases; may be empty.
	Cases []CaseRef
	// Load reads a case. A nil document leaves the case out, as one that is not
	// closed; so does an error, with a note.
	Load func(id string) (*Document, error)
}

// CaseRef is a case and a stamp that changes whenever its file does.
type CaseRef struct{ ID, Stamp string }

// content is a source that has been read.
type content struct {
	book   *kb.Book
	groups []group
	base   string            // names the entries and the way of indexing
	key    string            // names the cases too
	cases  map[string]string // stamps by id
	load   func(id string) (*Document, error)
}

func (s Source) read() content {
	c := content{book: s.Book, groups: groupsOf(s.Book), cases: map[string]string{}, load: s.Load}
	h := sha256.New()
	write(h, format, s.Book.Fingerprint())
	c.base = name(h)
	if s.Load != nil {
		for _, ref := range s.Cases {
			c.cases[ref.ID] = ref.Stamp
		}
	}
	h = sha256.New()
	write(h, c.base)
	for _, id := range sortedKeys(c.cases) {
		write(h, id, c.cases[id])
	}
	c.key = name(h)
	return c
}

func write(h hash.Hash, parts ...string) {
	for _, p := range parts {
		fmt.Fprintf(h, "%d:", len(p))
		io.WriteString(h, p)
	}
}

func name(h hash.Hash) string { return hex.EncodeToString(h.Sum(nil))[:24] }

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// documents gives all documents in the order of their keys.
func (c content) documents(note noter) []Document {
	list := Entries(c.book)
	list = append(list, c.read(sortedKeys(c.cases), note)...)
	sort.SliceStable(list, func(i, j int) bool { return list[i].key() < list[j].key() })
	return list
}

// noter takes a note for the user.
type noter func(text string, args ...any)

// read reads the cases with the ids. What cannot be read is left out and said
// once.
func (c content) read(ids []string, note noter) []Document {
	var list []Document
	failed := 0
	var first error
	for _, id := range ids {
		d, err := c.load(id)
		if err != nil {
			if failed++; first == nil {
				first = err
			}
			continue
		}
		if d != nil {
			list = append(list, *d)
		}
	}
	if failed > 0 {
		note("%d of %d cases cannot be read and are not found (%v)", failed, len(ids), first)
	}
	return list
}

// difference lists the cases that are new or changed since an index with the
// stamps was built, and those that are gone.
func (c content) difference(old map[string]string) (changed, gone []string) {
	for _, id := range sortedKeys(c.cases) {
		if old[id] != c.cases[id] {
			changed = append(changed, id)
		}
	}
	for _, id := range sortedKeys(old) {
		if _, ok := c.cases[id]; !ok {
			gone = append(gone, id)
		}
	}
	return changed, gone
}
