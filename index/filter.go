package index

import (
	"strings"

	"github.com/RoaringBitmap/roaring/v2"
)

// filters gives, for each part, the documents that the options allow; nil where
// they allow all.
func (o Options) filters(parts []part) ([]*roaring.Bitmap, error) {
	var sets []*roaring.Bitmap
	for _, p := range parts {
		set, err := o.filter(p)
		if err != nil {
			return nil, err
		}
		sets = append(sets, set)
	}
	return sets, nil
}

func (o Options) filter(p part) (*roaring.Bitmap, error) {
	var all *roaring.Bitmap
	var failed error
	and := func(set *roaring.Bitmap, err error) {
		switch {
		case err != nil:
			failed = err
		case set == nil:
			all = roaring.New()
		case all == nil:
			all = set
		default:
			all = roaring.And(all, set)
		}
	}
	if len(o.Kinds) > 0 {
		some := roaring.New()
		for _, k := range o.Kinds {
			set, err := p.having("kind", k)
			if err != nil {
				return nil, err
			}
			if set != nil {
				some.Or(set)
			}
		}
		and(some, nil)
	}
	for _, v := range []value{{"symptoms", strings.ToLower(o.Symptom)}, {"room", strings.ToLower(o.Room)}, {"state", o.State}} {
		if v.text != "" {
			and(p.having(v.field, v.text))
		}
	}
	if o.Since != "" {
		and(p.since("when", o.Since))
	}
	return all, failed
}

// mostChecked is how many documents are looked through for a phrase in quotes; of
// more, those that are worth most.
const mostChecked = 600

// phrases narrows the filters to the documents in which the phrases stand, as far
// as they were looked through; where none has them the filters are as they were.
func (q *question) phrases(sides [2][]int, filters []*roaring.Bitmap) ([]*roaring.Bitmap, error) {
	if len(q.phrase) == 0 {
		return filters, nil
	}
	have := make([]*roaring.Bitmap, len(q.parts))
	narrowed := make([]*roaring.Bitmap, len(q.parts))
	for p := range q.parts {
		have[p], narrowed[p] = q.withPhraseWords(p, filters[p]), roaring.New()
	}
	s := newScanner(q)
	any := false
	for _, side := range sides {
		list, _, err := q.choose(side, have, mostChecked)
		if err != nil {
			return nil, err
		}
		for _, c := range list {
			in, err := s.scan(c.part, c.number)
			if err != nil {
				return nil, err
			}
			if q.stand(in) {
				narrowed[c.part].Add(c.number)
				any = true
			}
		}
	}
	if !any {
		return filters, nil
	}
	return narrowed, nil
}

// withPhraseWords gives the documents of a part that have all words of each
// phrase in one field.
func (q *question) withPhraseWords(p int, filter *roaring.Bitmap) *roaring.Bitmap {
	all := filter
	for _, row := range q.phrase {
		some := roaring.New()
		for _, field := range q.sets[p] {
			sets := make([]*roaring.Bitmap, 0, len(row))
			for _, n := range row {
				if field[n] != nil {
					sets = append(sets, field[n])
				}
			}
			if len(sets) == len(row) {
				some.Or(roaring.FastAnd(sets...))
			}
		}
		if all == nil {
			all = some
		} else {
			all = roaring.And(all, some)
		}
	}
	return all
}

// stand reports whether all phrases stand in a document.
func (q *question) stand(in *found) bool {
	for _, row := range q.phrase {
		stands := false
		for _, field := range in.places {
			for _, first := range field[row[0]] {
				stands = stands || goesOn(field, row, first.pos)
			}
		}
		if !stands {
			return false
		}
	}
	return true
}

func goesOn(field [][]place, row []int, from int) bool {
	for i, n := range row {
		there := false
		for _, p := range field[n] {
			there = there || p.pos == from+i
		}
		if !there {
			return false
		}
	}
	return true
}
