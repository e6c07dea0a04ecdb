package main

import (
	"errors"
	"sync"
	"sync/atomic"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// liveIndex is the search index of a program that goes on while cases and
// entries are added.
type liveIndex struct {
	store *cases.Store
	ready chan struct{} // closed when the first index is there
	work  sync.Mutex    // one makes an index at a time
	queue atomic.Bool   // somebody waits to make one already

	mutex sync.RWMutex // over what follows; a search holds it for reading
	idx   *index.Index
	err   error
}

// newLiveIndex makes the index beside everything else; searches wait for it.
func newLiveIndex(book *kb.Book, store *cases.Store) *liveIndex {
	l := &liveIndex{store: store, ready: make(chan struct{})}
	go func() {
		l.idx, l.err = l.open(book)
		close(l.ready)
	}()
	return l
}

func (l *liveIndex) open(book *kb.Book) (*index.Index, error) {
	src, err := index.FromStore(book, l.store)
	if err != nil {
		return nil, err
	}
	folder, err := cacheFolder()
	if err != nil {
		folder = "" // in memory then
	}
	return index.Open(folder, src)
}

// find searches the index as it is.
func (l *liveIndex) find(words string, o index.Options) (index.Results, error) {
	<-l.ready
	l.mutex.RLock()
	defer l.mutex.RUnlock()
	if l.err != nil {
		return index.Results{}, l.err
	}
	return l.idx.Search(words, o)
}

// similar finds past calls that sound alike. A call does not wait for the first
// index: until it is there, none sound alike.
func (l *liveIndex) similar(words string) []call.Similar {
	select {
	case <-l.ready:
	default:
		return nil
	}
	return similarIn(l.find, words)
}

// renew brings the index up to date and puts it in the place of the old one.
// Where that fails the old one stays. Many at once make one or two.
func (l *liveIndex) renew(book *kb.Book) {
	if l.queue.Swap(true) {
		return
	}
	<-l.ready
	l.work.Lock()
	defer l.work.Unlock()
	l.queue.Store(false)
	idx, err := l.open(book)
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if err != nil && l.idx != nil {
		return
	}
	if l.idx != nil {
		l.idx.Close() // nobody searches in it now
	}
	l.idx, l.err = idx, err
}

// errMaking says that the index is being made anew.
var errMaking = errors.New("the search index is being made anew")

// forget drops the index and what lies of it in the cache, so that nothing of
// what was removed from a case stays there, and makes it anew beside the rest.
func (l *liveIndex) forget(book *kb.Book) error {
	<-l.ready
	l.work.Lock()
	defer l.work.Unlock()
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if l.idx != nil {
		l.idx.Close() // an open file cannot be deleted everywhere
	}
	l.idx, l.err = nil, errMaking
	go l.renew(book)
	return dropIndex()
}
