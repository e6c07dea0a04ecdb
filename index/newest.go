package index

import (
	"errors"

	"faultbook/kb"
)

// ErrNone says that no whole index of the book lies in the cache.
var ErrNone = errors.New("no index of this book lies in the cache")

// OpenNewest opens the newest whole index of the book below a cache folder as
// it lies there: cases that have come since are not in it. It looks at no case
// and builds nothing, so what it costs does not depend on how many there are.
func OpenNewest(folder string, book *kb.Book) (*Index, error) {
	x := &Index{content: Source{Book: book}.read()}
	k := keeper{folder: folder, content: x.content, note: x.note}
	for _, path := range append([]string{k.path()}, k.others()...) {
		s, err := readSeal(path)
		if err != nil || s.Base != x.content.base {
			continue
		}
		if _, err := checkSeal(path); err != nil {
			continue
		}
		idx, err := openReadOnly(path)
		if err != nil {
			continue
		}
		x.same = sameWords(x.content.groups)
		x.reader = newReader(x.content.groups)
		x.idx = idx
		return x, nil
	}
	return nil, ErrNone
}
