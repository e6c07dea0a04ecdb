package kb

// Overlay lays one book over another: an entry with the same kind and id
// replaces, a new one is added. Neither book is changed.
func Overlay(base, over *Book) *Book {
	b := newBook()
	b.built = base.built
	for _, layer := range []*Book{base, over} {
		for k, e := range layer.entries {
			b.put(e, layer.origins[k])
		}
	}
	b.sortIDs()
	return b
}

// FindingsFor checks the whole book but reports only what concerns the
// entries of own.
func FindingsFor(whole, own *Book) []Finding {
	files := map[string]bool{}
	for _, o := range own.origins {
		files[o.file] = true
	}
	var list []Finding
	for _, f := range Check(whole) {
		if files[f.File] {
			list = append(list, f)
		}
	}
	return list
}

// Usable lays over above base and leaves out the entries of over in which an
// error was found, again and again until what remains is without error. It
// returns the book and the findings.
func Usable(base, over *Book) (*Book, []Finding) {
	var all []Finding
	for {
		whole := Overlay(base, over)
		broken := map[string]bool{}
		for _, f := range FindingsFor(whole, over) {
			if f.Level == LevelError {
				broken[f.File] = true
				all = append(all, f)
			}
		}
		if len(broken) == 0 {
			return whole, all
		}
		kept := newBook()
		for k, e := range over.entries {
			if o := over.origins[k]; !broken[o.file] {
				kept.put(e, o)
			}
		}
		kept.sortIDs()
		over = kept
	}
}

// With gives the book with one entry replaced or added; the entry keeps the
// file of the one that it replaces. The book itself is not changed.
func (b *Book) With(e Entry) *Book {
	k := key{e.head().Kind, e.head().ID}
	o := b.origins[k]
	o.built = false
	over := newBook()
	over.put(e, o)
	return Overlay(b, over)
}
