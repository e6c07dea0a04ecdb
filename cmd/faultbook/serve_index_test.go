package main

import (
	"errors"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// TestLiveIndex searches from several goroutines while cases are added and a
// text is removed: a search gives hits of the index before or after, or says
// that it is being made, and what was removed is not found again.
func TestLiveIndex(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_CACHE_HOME", filepath.Join(dir, "cache"))
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	store := cases.NewStore(filepath.Join(dir, "cases"), time.Now)
	live := newLiveIndex(book, store)
	live.renew(book) // waits until the first one is made
	found := func(words string) bool {
		res, err := live.find(words, index.Options{Kinds: []string{"case"}})
		if err != nil && !errors.Is(err, errMaking) {
			t.Error(err)
		}
		return len(res.Hits) > 0
	}
	done := make(chan struct{})
	var wait sync.WaitGroup
	for range 3 {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for {
				select {
				case <-done:
					return
				default:
					found("no picture")
				}
			}
		}()
	}
	file, err := store.Create(cases.Event{Say: "the zebra is dark"}, cases.Event{Close: &cases.Close{Cause: "PW-01"}})
	if err != nil {
		t.Fatal(err)
	}
	if found("zebra") {
		t.Error("found before the index knew of it")
	}
	live.renew(book)
	if !found("zebra") || len(live.similar("zebra")) != 1 {
		t.Error("not found after the index was renewed")
	}
	if _, err := store.Redact(file.ID, "zebra"); err != nil {
		t.Fatal(err)
	}
	if err := live.forget(book); err != nil {
		t.Fatal(err)
	}
	if found("zebra") {
		t.Error("found after it was removed")
	}
	for end := time.Now().Add(time.Minute); !found("dark"); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("the index does not come back")
		}
	}
	if found("zebra") {
		t.Error("found again after it was removed")
	}
	close(done)
	wait.Wait()
}
