package index

import (
	"errors"
	"testing"
)

// TestOpenNewest opens an index that is older than the cases, and none where
// there is none or the book is another.
func TestOpenNewest(t *testing.T) {
	folder := t.TempDir()
	book := smallBook(t)
	if _, err := OpenNewest(folder, book); !errors.Is(err, ErrNone) {
		t.Fatalf("empty cache: %v", err)
	}
	x, err := Open(folder, Source{Book: book})
	if err != nil {
		t.Fatal(err)
	}
	x.Close()
	y, err := OpenNewest(folder, book)
	if err != nil {
		t.Fatal(err)
	}
	defer y.Close()
	if _, err := y.Search("camera", Options{}); err != nil {
		t.Error(err)
	}
}
