package index

import (
	"context"
	"fmt"
	"io"
	"log"
	"runtime/debug"
	"sync"
)

// Index finds entries and cases. It may be used by several goroutines.
type Index struct {
	content content
	reader  reader
	folder  string // "" where nothing is kept

	mutex      sync.RWMutex // over what follows
	book       part
	cases      []*diskPart
	recent     *recentPart
	preparer   *preparer
	vocabulary *vocabulary
	journal    *journal
	same       map[string][]string // synonyms where the book is not on disk
	generation int                 // counted up when all is done again in memory
	memory     bool
	notes      []string
}

// Open opens the index for a source, below a cache folder that it may make;
// an empty folder name means in memory. Whatever is wrong with the cache, the
// index works: it is brought up to date or built anew, or kept in memory where
// it cannot be written, and Notes says so.
//
// The standard logger is silenced: bleve writes to it, and this program has no
// other use for it.
func Open(folder string, src Source) (*Index, error) {
	x := newIndex(folder, src)
	if folder == "" {
		x.openMemory()
		return x, nil
	}
	k := keeper{folder: folder, content: x.content, note: x.note}
	if err := k.open(x); err != nil {
		x.note("the search index cannot be kept (%v): done in memory, which takes longer", err)
		x.closeParts()
		x.openMemory()
	}
	return x, nil
}

// Rebuild makes the index of a source anew beside the one that is there, which
// serves until the new one takes its place in one step. Broken off through its
// context it leaves everything as it was and gives the context's error.
func Rebuild(ctx context.Context, folder string, src Source) (notes []string, err error) {
	x := newIndex(folder, src)
	k := keeper{folder: folder, content: x.content, note: x.note, again: true}
	err = k.rebuild(ctx)
	return x.notes, err
}

func newIndex(folder string, src Source) *Index {
	log.SetOutput(io.Discard)
	x := &Index{folder: folder, content: src.read()}
	x.reader = newReader(x.content.groups)
	x.preparer = newPreparer(x.reader)
	for _, err := range src.Left {
		x.note("%v", err)
	}
	return x
}

// Notes says what was done about the cache, in the order in which it happened.
func (x *Index) Notes() []string {
	x.mutex.RLock()
	defer x.mutex.RUnlock()
	return append([]string(nil), x.notes...)
}

// staleFrom is how many changed cases beside an index make it worth building
// anew when there is time.
const staleFrom = 1000

// Stale reports whether so much is kept beside the index on disk that it is
// worth building anew when there is time. It finds everything all the same.
func (x *Index) Stale() bool {
	x.mutex.RLock()
	defer x.mutex.RUnlock()
	return !x.memory && x.recent.live() >= staleFrom
}

// Close lets go of the index.
func (x *Index) Close() error {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	return x.closeParts()
}

func (x *Index) closeParts() error {
	err := x.journal.close()
	for _, p := range x.cases {
		err = firstOf(err, guarded(p.close))
	}
	if p, ok := x.book.(*diskPart); ok {
		err = firstOf(err, guarded(p.close))
	}
	x.book, x.cases, x.journal = newRecentPart(), nil, nil
	x.recent = newRecentPart()
	return err
}

func (x *Index) note(text string, args ...any) {
	x.notes = append(x.notes, fmt.Sprintf(text, args...))
}

// openMemory builds an index that is gone with the process.
func (x *Index) openMemory() {
	x.memory = true
	x.generation++
	x.same = sameWords(x.content.groups)
	x.cases, x.journal = nil, nil
	x.preparer = newPreparer(x.reader)
	book := newRecentPart()
	for _, d := range x.content.entries() {
		book.add(x.preparer.take(d))
	}
	x.book, x.recent = book, newRecentPart()
	for _, c := range x.content.read(x.content.ids, x.note) {
		if c.Doc != nil {
			x.recent.add(x.preparer.take(*c.Doc))
		}
	}
	x.vocabulary = newVocabulary(writeWords(x.preparer.takeCounts()))
}

// fallBack takes the place of an index that failed by one in memory. Another
// goroutine may have done so already.
func (x *Index) fallBack(generation int, why error) error {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	if x.generation != generation {
		return nil
	}
	if x.memory {
		return why
	}
	x.note("the search index failed (%v): done again in memory", why)
	x.closeParts()
	x.openMemory()
	return nil
}

// parts lists the parts: the book, the cases on disk in the order of their keys,
// what came since.
func (x *Index) parts() []part {
	list := []part{x.book}
	for _, p := range x.cases {
		list = append(list, p)
	}
	return append(list, x.recent)
}

// sides gives the parts with entries of the book, and those with cases.
func (x *Index) sides() [2][]int {
	sides := [2][]int{{0}, nil}
	for i := range len(x.cases) + 1 {
		sides[1] = append(sides[1], i+1)
	}
	return sides
}

// sameAs lists the words that stand for a word.
func (x *Index) sameAs(word string) ([]string, error) {
	if p, ok := x.book.(*diskPart); ok {
		return p.sameAs(word)
	}
	return x.same[word], nil
}

// Add puts a case in that came or changed, or takes one out that a nil document
// says is not closed. It is found from then on, here and by whoever opens the
// index later; an error says that it is found here alone. The record itself must
// lie safe before: the index is a cache.
func (x *Index) Add(ref CaseRef, d *Document) error {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	c := change{ID: ref.ID, Stamp: ref.Stamp, Doc: d}
	if err := guarded(func() error { return x.take(c) }); err != nil {
		return fmt.Errorf("index %s: %w", ref.ID, err)
	}
	if x.journal == nil {
		return nil
	}
	if err := x.journal.append(c); err != nil {
		return fmt.Errorf("keep %s in the search index: %w; it is found by this program alone until the next search", ref.ID, err)
	}
	return nil
}

// take puts a change in.
func (x *Index) take(c change) error {
	if err := x.dropCase(c.ID); err != nil {
		return err
	}
	if c.Doc == nil {
		return nil
	}
	x.recent.add(x.preparer.take(*c.Doc))
	x.vocabulary.add(x.preparer.takeCounts(), 1)
	return nil
}

// dropCase takes the older version of a case out, and its words.
func (x *Index) dropCase(id string) error {
	key := (&Document{ID: id, Kind: "case"}).key()
	for _, p := range x.parts()[1:] {
		n, ok, err := p.number(key)
		if err != nil {
			return err
		}
		if !ok {
			continue
		}
		old, err := p.texts(n)
		if err != nil {
			return err
		}
		p.drop(n)
		x.preparer.take(old)
		x.vocabulary.add(x.preparer.takeCounts(), -1)
	}
	return nil
}

// guarded runs a call into bleve. A panic becomes an error, and so does a
// memory fault on a mapped file that was cut short, as far as it happens on
// this goroutine.
func guarded(call func() error) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("a fault in the index: %v", p)
		}
	}()
	return call()
}

// sameWords turns groups into a table from each word to those that stand for
// it.
func sameWords(groups []group) map[string][]string {
	same := map[string][]string{}
	for _, g := range groups {
		for _, w := range g.words {
			for _, other := range g.words {
				if other != w {
					same[w] = append(same[w], other)
				}
			}
		}
	}
	return same
}
