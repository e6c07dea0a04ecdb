package index

import (
	"context"
	"errors"
	"fmt"

	"github.com/RoaringBitmap/roaring/v2"
	"github.com/blevesearch/bleve/v2/index/scorch"
	index "github.com/blevesearch/bleve_index_api"
	segment "github.com/blevesearch/scorch_segment_api/v2"
	bolt "go.etcd.io/bbolt/errors"
)

// part is a share of the documents of an index, numbered from 0. An index has
// the entries of the book in one part, the cases in others, and what came since
// in the last, in memory.
type part interface {
	// live is the number of documents that were not dropped.
	live() int
	// having gives the documents that have the word or value in the field; not
	// to be changed, nil for none.
	having(field, text string) (*roaring.Bitmap, error)
	// since gives the documents whose value in the field is that one or later.
	since(field, from string) (*roaring.Bitmap, error)
	// places hands out the packed places of a document's words; they hold until
	// use returns. More may follow them.
	places(n uint32, use func(packed []byte) error) error
	// texts gives a document with its title and its searched texts alone.
	texts(n uint32) (Document, error)
	key(n uint32) (string, error)
	// number finds a document by its key.
	number(key string) (n uint32, ok bool, err error)
	// drop takes a document out: a newer one has its key.
	drop(n uint32)
	// rank is the place of a document among those of the part in the order of
	// their keys; ok is false where that is not known.
	rank(n uint32) (place int, ok bool)
}

// diskPart is an index of bleve with one segment, open for reading.
type diskPart struct {
	idx     index.Index
	reader  *scorch.IndexSnapshot
	segment segment.Segment
	gone    *roaring.Bitmap
	ranks   []byte
	codes   *codes
	hidden  int // documents of bleve that are synonyms
}

// errLocked: another program holds the index for writing, which this one never
// does once an index has its name.
var errLocked = errors.New("another program has locked it")

// lockWait is how long bleve waits for a lock that should not be there; it
// would wait without end.
const lockWait = "200ms"

// openPart opens one index of bleve read-only; readers share it.
func openPart(folder string) (*diskPart, error) {
	idx, err := scorch.NewScorch(scorch.Name, map[string]interface{}{"path": folder, "read_only": true, "bolt_timeout": lockWait}, nil)
	if err == nil {
		err = idx.Open()
	}
	if errors.Is(err, bolt.ErrTimeout) {
		return nil, errLocked
	}
	if err != nil {
		return nil, fmt.Errorf("open the index: %w", err)
	}
	d := &diskPart{idx: idx}
	if err := d.look(); err != nil {
		idx.Close()
		return nil, err
	}
	return d, nil
}

// openRanked opens one of a finished index, with the order of its documents.
func openRanked(folder string) (*diskPart, error) {
	d, err := openPart(folder)
	if err != nil {
		return nil, err
	}
	if err := d.readRanks(folder); err != nil {
		d.close()
		return nil, err
	}
	return d, nil
}

// look takes hold of the segment.
func (d *diskPart) look() error {
	r, err := d.idx.Reader()
	if err != nil {
		return fmt.Errorf("open the index: %w", err)
	}
	snapshot, ok := r.(*scorch.IndexSnapshot)
	if !ok || len(snapshot.Segments()) != 1 {
		r.Close()
		return errors.New("open the index: it is not made of one segment")
	}
	d.reader, d.segment = snapshot, snapshot.Segments()[0].Segment()
	return nil
}

func (d *diskPart) close() error {
	if err := d.reader.Close(); err != nil {
		return err
	}
	return d.idx.Close()
}

func (d *diskPart) live() int {
	n := int(d.segment.Count()) - d.hidden
	if d.gone != nil {
		n -= int(d.gone.GetCardinality())
	}
	return n
}

func (d *diskPart) having(field, text string) (*roaring.Bitmap, error) {
	dict, err := d.segment.Dictionary(field)
	if err != nil {
		return nil, fmt.Errorf("read the index: %w", err)
	}
	return d.posting(dict, text)
}

// posting takes the set of documents out of bleve's list as it lies there.
func (d *diskPart) posting(dict segment.TermDictionary, text string) (*roaring.Bitmap, error) {
	list, err := dict.PostingsList([]byte(text), d.gone, nil)
	if err != nil {
		return nil, fmt.Errorf("read the index: %w", err)
	}
	set, ok := list.Iterator(false, false, false, nil).(segment.OptimizablePostingsIterator)
	if !ok {
		return nil, errors.New("read the index: a list of another form")
	}
	if n, one := set.DocNum1Hit(); one {
		return roaring.BitmapOf(uint32(n)), nil
	}
	return set.ActualBitmap(), nil
}

func (d *diskPart) since(field, from string) (*roaring.Bitmap, error) {
	dict, err := d.segment.Dictionary(field)
	if err != nil {
		return nil, fmt.Errorf("read the index: %w", err)
	}
	var sets []*roaring.Bitmap
	terms := dict.AutomatonIterator(everything{}, []byte(from), nil)
	for {
		e, err := terms.Next()
		if err != nil {
			return nil, fmt.Errorf("read the index: %w", err)
		}
		if e == nil {
			return roaring.FastOr(sets...), nil
		}
		set, err := d.posting(dict, e.Term)
		if err != nil {
			return nil, err
		}
		if set != nil {
			sets = append(sets, set)
		}
	}
}

// everything is an automaton that takes any text.
type everything struct{}

func (everything) Start() int               { return 0 }
func (everything) IsMatch(int) bool         { return true }
func (everything) CanMatch(int) bool        { return true }
func (everything) WillAlwaysMatch(int) bool { return true }
func (everything) Accept(int, byte) int     { return 0 }
func (everything) EOF(int) (int, bool)      { return 0, true }

func (d *diskPart) places(n uint32, use func(packed []byte) error) error {
	failed := error(errPlaces)
	err := d.segment.VisitStoredFields(uint64(n), func(field string, _ byte, value []byte, _ []uint64) bool {
		if field != storedField {
			return true
		}
		failed = use(value)
		return false
	})
	if err = firstOf(err, failed); err != nil {
		return fmt.Errorf("read the index: %w", err)
	}
	return nil
}

func (d *diskPart) texts(n uint32) (doc Document, err error) {
	err = d.places(n, func(packed []byte) error {
		rest, err := visitPlaces(packed, len(textBoosts()), func(int, place) {})
		for _, f := range textBoosts() {
			var text string
			if err == nil {
				text, rest, err = d.codes.decode(rest)
			}
			doc.set(f.name, text)
		}
		return err
	})
	return doc, err
}

func (d *diskPart) key(n uint32) (string, error) {
	id, err := d.segment.DocID(uint64(n))
	if err != nil {
		return "", fmt.Errorf("read the index: %w", err)
	}
	return string(id), nil
}

func (d *diskPart) number(key string) (uint32, bool, error) {
	set, err := d.segment.DocNumbers([]string{key})
	if err != nil {
		return 0, false, fmt.Errorf("read the index: %w", err)
	}
	if set == nil || set.IsEmpty() {
		return 0, false, nil
	}
	n := set.Minimum()
	return n, d.gone == nil || !d.gone.Contains(n), nil
}

func (d *diskPart) drop(n uint32) {
	if d.gone == nil {
		d.gone = roaring.New()
	}
	d.gone.Add(n)
}

// sameAs asks bleve for the words that stand for a word.
func (d *diskPart) sameAs(word string) ([]string, error) {
	terms, err := d.reader.ThesaurusTermReader(context.Background(), synonyms, []byte(word))
	if err != nil {
		return nil, fmt.Errorf("read the synonyms: %w", err)
	}
	defer terms.Close()
	var list []string
	for {
		same, err := terms.Next()
		if err != nil {
			return nil, fmt.Errorf("read the synonyms: %w", err)
		}
		if same == "" {
			return list, nil
		}
		list = append(list, same)
	}
}
