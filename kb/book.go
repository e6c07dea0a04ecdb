package kb

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"sort"
)

// Entry is any entry of a book.
type Entry interface{ head() *Head }

func (h *Head) head() *Head { return h }

// HeadOf gives what every entry has.
func HeadOf(e Entry) *Head { return e.head() }

// key names an entry within a book: ids are unique within a kind.
type key struct {
	kind Kind
	id   string
}

// Book is a set of entries. It is not changed once loaded and may be read by
// several goroutines.
type Book struct {
	entries map[key]Entry
	origins map[key]origin
	order   map[Kind][]string // ids of each kind, sorted
	built   string            // hash of the packed book below, "" for none
}

func newBook() *Book {
	return &Book{entries: map[key]Entry{}, origins: map[key]origin{}, order: map[Kind][]string{}}
}

// Kinds lists the kinds of entries in the order in which people are shown them.
func Kinds() []Kind {
	return []Kind{KindSymptom, KindCause, KindQuestion, KindRemedy, KindPractice, KindCaution,
		KindHandover, KindRule, KindPart, KindValue, KindWords, KindTerm}
}

// blank gives an empty entry of the kind, nil where there is no such kind.
func blank(k Kind) Entry {
	switch k {
	case KindSymptom:
		return &Symptom{}
	case KindCause:
		return &Cause{}
	case KindQuestion:
		return &Question{}
	case KindRemedy:
		return &Remedy{}
	case KindCaution:
		return &Caution{}
	case KindHandover:
		return &Handover{}
	case KindRule:
		return &Rule{}
	case KindPart:
		return &Part{}
	case KindValue:
		return &Value{}
	case KindPractice:
		return &Practice{}
	case KindWords:
		return &Words{}
	case KindTerm:
		return &Term{}
	}
	return nil
}

// put adds or replaces an entry; call sortIDs when all are in.
func (b *Book) put(e Entry, o origin) {
	k := key{e.head().Kind, e.head().ID}
	b.entries[k] = e
	b.origins[k] = o
}

func (b *Book) sortIDs() {
	b.order = map[Kind][]string{}
	for k := range b.entries {
		b.order[k.kind] = append(b.order[k.kind], k.id)
	}
	for _, ids := range b.order {
		sort.Strings(ids)
	}
}

// Len is the number of entries.
func (b *Book) Len() int { return len(b.entries) }

// IDs lists the ids of a kind, sorted.
func (b *Book) IDs(k Kind) []string { return b.order[k] }

// Find gives the entries with the id, whatever their kind, in the order of
// Kinds.
func (b *Book) Find(id string) []Entry {
	var list []Entry
	for _, k := range Kinds() {
		if e, ok := b.entries[key{k, id}]; ok {
			list = append(list, e)
		}
	}
	return list
}

// File names the file of an entry; "built-in book" and its path in it for an
// entry that came with the program.
func (b *Book) File(e Entry) string { return b.origins[key{e.head().Kind, e.head().ID}].file }

// Builtin reports whether an entry came with the program.
func (b *Book) Builtin(e Entry) bool { return b.origins[key{e.head().Kind, e.head().ID}].built }

// All lists all entries of a kind in order of their ids.
func All[T any, P interface {
	*T
	Entry
}](b *Book) []P {
	k := kindOf[T, P]()
	list := make([]P, 0, len(b.order[k]))
	for _, id := range b.order[k] {
		list = append(list, b.entries[key{k, id}].(P))
	}
	return list
}

// Get gives the entry of a kind with the id, nil where there is none.
func Get[T any, P interface {
	*T
	Entry
}](b *Book, id string) P {
	e, ok := b.entries[key{kindOf[T, P](), id}].(P)
	if !ok {
		return nil
	}
	return e
}

// kindOf finds the kind of a type by comparing it with the blank entries.
func kindOf[T any, P interface {
	*T
	Entry
}]() Kind {
	var e Entry = P(new(T))
	switch e.(type) {
	case *Symptom:
		return KindSymptom
	case *Cause:
		return KindCause
	case *Question:
		return KindQuestion
	case *Remedy:
		return KindRemedy
	case *Caution:
		return KindCaution
	case *Handover:
		return KindHandover
	case *Rule:
		return KindRule
	case *Part:
		return KindPart
	case *Value:
		return KindValue
	case *Practice:
		return KindPractice
	case *Words:
		return KindWords
	case *Term:
		return KindTerm
	}
	return ""
}

// Fingerprint names the content of the book: two books with the same entries
// of the same built-in book have the same, and a changed, added or removed
// entry gives another.
func (b *Book) Fingerprint() string {
	h := sha256.New()
	fmt.Fprintln(h, "book", b.built)
	for _, k := range Kinds() {
		for _, id := range b.order[k] {
			o := b.origins[key{k, id}]
			if o.built && b.built != "" {
				continue // in the hash of the packed book
			}
			data, err := Write(b.entries[key{k, id}])
			if err != nil {
				data = []byte(err.Error()) // an entry that cannot be written is none of the others
			}
			fmt.Fprintln(h, k, id, len(data))
			h.Write(data)
		}
	}
	return hex.EncodeToString(h.Sum(nil))[:32]
}
