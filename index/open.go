package index

import (
	"errors"
	"fmt"
	"io"
	"log"
	"path/filepath"
	"runtime/debug"
	"sync"

	"github.com/blevesearch/bleve/v2"
	bolt "go.etcd.io/bbolt/errors"
)

// Index finds entries and cases. It may be used by several goroutines.
type Index struct {
	mutex   sync.Mutex // over idx, memory and notes
	idx     bleve.Index
	memory  bool
	notes   []string
	content content
	same    map[string][]string // words of the index that stand for each other
	reader  reader
}

// Open opens the index for a source, below a cache folder that it may make;
// an empty folder name means in memory. Whatever is wrong with the cache, the
// index works: it is brought up to date or built anew, or kept in memory where
// it cannot be written, and Notes says so.
//
// The standard logger is silenced: bleve writes to it, and this program has no
// other use for it.
func Open(folder string, src Source) (*Index, error) {
	log.SetOutput(io.Discard)
	x := &Index{content: src.read()}
	x.same = sameWords(x.content.groups)
	x.reader = newReader(x.content.groups)
	if folder == "" {
		return x, x.openMemory()
	}
	k := keeper{folder: folder, content: x.content, note: x.note}
	idx, err := k.open()
	if err != nil {
		x.note("the search index cannot be kept (%v): done in memory, which takes longer", err)
		return x, x.openMemory()
	}
	x.idx = idx
	return x, nil
}

// Notes says what was done about the cache, in the order in which it happened.
func (x *Index) Notes() []string {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	return append([]string(nil), x.notes...)
}

// Close lets go of the index.
func (x *Index) Close() error {
	idx, _ := x.current()
	if idx == nil {
		return nil
	}
	return guarded(idx.Close)
}

func (x *Index) note(text string, args ...any) {
	x.notes = append(x.notes, fmt.Sprintf(text, args...))
}

func (x *Index) openMemory() error {
	idx, err := x.content.inMemory(x.note)
	if err != nil {
		return err
	}
	x.idx, x.memory = idx, true
	return nil
}

// current gives the index to search in.
func (x *Index) current() (idx bleve.Index, memory bool) {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	return x.idx, x.memory
}

// fallBack takes the place of an index that failed by one in memory. Another
// goroutine may have done so already. The old one stays open: others may still
// read it.
func (x *Index) fallBack(failed bleve.Index, why error) (bleve.Index, error) {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	if x.idx != failed {
		return x.idx, nil
	}
	x.note("the search index failed (%v): done again in memory", why)
	err := x.openMemory()
	return x.idx, err
}

// errLocked: another program holds the index for writing, which this one never
// does once an index has its name.
var errLocked = errors.New("another program has locked it")

// lockWait is how long bleve waits for a lock that should not be there; it
// would wait without end.
const lockWait = "200ms"

func openReadOnly(folder string) (idx bleve.Index, err error) {
	err = guarded(func() error {
		idx, err = bleve.OpenUsing(filepath.Join(folder, inner), map[string]interface{}{"read_only": true, "bolt_timeout": lockWait})
		return err
	})
	if errors.Is(err, bolt.ErrTimeout) {
		err = errLocked
	}
	return idx, err
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
