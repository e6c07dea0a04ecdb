package main

import (
	"context"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// similarCases is how many past calls the first screen shows.
const similarCases = 3

// similar finds past calls that sound alike, in the index as it lies; without
// one there are none. Opening it begins at once and beside the rest, so that
// the first question does not wait for it longer than it must.
func similar(s streams, book *kb.Book) func(words string) []call.Similar {
	opened := make(chan *index.Index, 1)
	s.beside(func() {
		folder, err := cacheFolder()
		if err != nil {
			opened <- nil
			return
		}
		idx, err := index.OpenNewest(folder, book)
		if err != nil {
			idx = nil
		}
		opened <- idx
	})
	return func(words string) []call.Similar {
		idx := <-opened
		opened <- idx
		if idx == nil {
			return nil
		}
		return similarIn(idx.Search, words)
	}
}

// similarIn are the past calls that a search finds; a call goes on without them
// where it fails.
func similarIn(search func(string, index.Options) (index.Results, error), words string) []call.Similar {
	res, err := search(words, index.Options{Kinds: []string{"case"}, Limit: similarCases})
	if err != nil {
		return nil
	}
	var list []call.Similar
	for _, h := range res.Hits {
		list = append(list, call.Similar{ID: h.ID, Kind: h.Kind, Title: h.Title})
	}
	return list
}

// refreshIndex brings the index up to date beside a call that waits for its
// agent, so that the next call and the next search find it ready. If the
// program ends before, nothing is lost: the next one does it.
func refreshIndex(s streams, book *kb.Book, store *cases.Store) {
	s.beside(func() {
		folder, err := cacheFolder()
		if err != nil {
			return
		}
		src, err := index.FromStore(book, store)
		if err != nil {
			return
		}
		idx, err := index.Open(folder, src)
		if err != nil {
			return
		}
		stale := idx.Stale()
		idx.Close()
		if stale {
			index.Rebuild(context.Background(), folder, src) // a failure leaves what is there
		}
	})
}
