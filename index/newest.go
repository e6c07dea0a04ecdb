package index

import (
	"errors"

	"faultbook/kb"
)

// ErrNone says that no whole index of the book lies in the cache.
var ErrNone = errors.New("no index of this book lies in the cache")

// OpenNewest opens the newest whole index of the book below a cache folder as
// it lies there, with its journal: cases that nobody has put in since are not
// found. It looks at no case and builds nothing.
func OpenNewest(folder string, book *kb.Book) (*Index, error) {
	x := newIndex(folder, Source{Book: book})
	k := keeper{folder: folder, content: x.content, note: x.note}
	for _, path := range append([]string{k.path()}, k.others()...) {
		s, err := readSeal(path)
		if err != nil || s.Base != x.content.base {
			continue
		}
		if _, err := checkSeal(path); err != nil {
			continue
		}
		err = guarded(func() error {
			if err := x.openParts(path, s); err != nil {
				return err
			}
			kept, _, err := x.readJournal()
			if err != nil {
				return err
			}
			return x.takeAll(kept, nil)
		})
		if err == nil {
			return x, nil
		}
		x.closeParts()
	}
	return nil, ErrNone
}
