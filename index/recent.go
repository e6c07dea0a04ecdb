package index

import (
	"github.com/RoaringBitmap/roaring/v2"
)

// recentPart keeps documents in memory: those that came after the index on
// disk was made, or all where nothing can be kept. It costs nothing to put one
// in, however many there are.
type recentPart struct {
	docs  []prepared
	gone  *roaring.Bitmap
	sets  map[value]*roaring.Bitmap
	byKey map[string]uint32
}

func newRecentPart() *recentPart {
	return &recentPart{gone: roaring.New(), sets: map[value]*roaring.Bitmap{}, byKey: map[string]uint32{}}
}

// add puts a document in; an older one with its key was dropped before.
func (r *recentPart) add(p prepared) {
	n := uint32(len(r.docs))
	for i, f := range textBoosts() {
		for _, word := range p.terms[i] {
			r.put(value{f.name, word.text}, n)
		}
	}
	for _, f := range p.plain() {
		for _, text := range f.texts {
			r.put(value{f.field, text}, n)
		}
	}
	p.terms = nil // in the sets now
	r.docs = append(r.docs, p)
	r.byKey[p.key()] = n
}

func (r *recentPart) put(v value, n uint32) {
	set, ok := r.sets[v]
	if !ok {
		set = roaring.New()
		r.sets[v] = set
	}
	set.Add(n)
}

func (r *recentPart) live() int { return len(r.docs) - int(r.gone.GetCardinality()) }

func (r *recentPart) having(field, text string) (*roaring.Bitmap, error) {
	return r.alive(r.sets[value{field, text}]), nil
}

func (r *recentPart) alive(set *roaring.Bitmap) *roaring.Bitmap {
	if set == nil || r.gone.IsEmpty() {
		return set
	}
	return roaring.AndNot(set, r.gone)
}

func (r *recentPart) since(field, from string) (*roaring.Bitmap, error) {
	all := roaring.New()
	for v, set := range r.sets {
		if v.field == field && v.text >= from {
			all.Or(set)
		}
	}
	return r.alive(all), nil
}

func (r *recentPart) places(n uint32, use func(packed []byte) error) error {
	return use(r.docs[n].places)
}

func (r *recentPart) texts(n uint32) (Document, error) { return r.docs[n].Document, nil }

func (r *recentPart) key(n uint32) (string, error) { return r.docs[n].key(), nil }

func (r *recentPart) number(key string) (uint32, bool, error) {
	n, ok := r.byKey[key]
	return n, ok && !r.gone.Contains(n), nil
}

func (r *recentPart) drop(n uint32) { r.gone.Add(n) }

func (r *recentPart) rank(uint32) (int, bool) { return 0, false }
