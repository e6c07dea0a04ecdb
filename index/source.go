package index

import (
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"slices"
	"sort"
	"strconv"
	"sync"

	"faultbook/kb"
)

// format is counted up whenever the way of indexing changes: it makes older
// indexes stale. The version of bleve is in it for the same reason.
const format = "faultbook index 3, bleve 2.6.3"

// Source is what an index is built from: a book, and cases that are read one
// by one when they are needed.
type Source struct {
	Book *kb.Book
	// Cases lists the cases; may be empty.
	Cases []CaseRef
	// Load reads a case. A nil document leaves the case out, as one that is not
	// closed; so does an error, with a note.
	// Several may be read at once.
	Load func(id string) (*Document, error)
	// Left are the folders of cases that could not be listed; each is noted.
	Left []error
	// Progress, where it is given, is told how many of all cases are in
	// while an index is built.
	Progress func(done, all int)
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
	ids    []string          // of the cases, in order
	load   func(id string) (*Document, error)

	progress func(done, all int)
}

func (s Source) read() content {
	c := content{book: s.Book, groups: groupsOf(s.Book), cases: make(map[string]string, len(s.Cases)), load: s.Load, progress: s.Progress}
	h := sha256.New()
	write(h, format, s.Book.Fingerprint())
	c.base = name(h)
	if s.Load != nil {
		for _, ref := range s.Cases {
			c.cases[ref.ID] = ref.Stamp
			c.ids = append(c.ids, ref.ID)
		}
	}
	if !slices.IsSorted(c.ids) {
		slices.Sort(c.ids)
	}
	h = sha256.New()
	write(h, c.base)
	for _, id := range c.ids {
		write(h, id, c.cases[id])
	}
	c.key = name(h)
	return c
}

func write(h hash.Hash, parts ...string) {
	for _, p := range parts {
		io.WriteString(h, strconv.Itoa(len(p)))
		io.WriteString(h, ":")
		io.WriteString(h, p)
	}
}

func name(h hash.Hash) string { return hex.EncodeToString(h.Sum(nil))[:24] }

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// entries gives the documents of the book in the order of their keys.
func (c content) entries() []Document {
	list := Entries(c.book)
	sort.SliceStable(list, func(i, j int) bool { return list[i].key() < list[j].key() })
	return list
}

// noter takes a note for the user.
type noter func(text string, args ...any)

// read reads the cases with the ids, as changes; two goroutines share the work.
// What cannot be read is left out and said once.
func (c content) read(ids []string, note noter) []change {
	list := make([]change, len(ids))
	failed := map[string]error{}
	var mutex sync.Mutex
	var wg sync.WaitGroup
	for part := range halves {
		wg.Go(func() {
			for i := part; i < len(ids); i += halves {
				d, err := c.load(ids[i])
				if err != nil {
					mutex.Lock()
					failed[ids[i]] = err
					mutex.Unlock()
					d = nil
				}
				list[i] = change{ID: ids[i], Stamp: c.cases[ids[i]], Doc: d}
			}
		})
	}
	wg.Wait()
	tellFailed(failed, len(ids), note)
	return list
}

// difference lists the cases that are new or changed since an index with the
// stamps was built, and those that are gone.
func (c content) difference(old map[string]string) (changed, gone []string) {
	for _, id := range c.ids {
		if old[id] != c.cases[id] {
			changed = append(changed, id)
		}
	}
	for id := range old {
		if _, ok := c.cases[id]; !ok {
			gone = append(gone, id)
		}
	}
	sort.Strings(gone)
	return changed, gone
}
