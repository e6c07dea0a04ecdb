package index

import (
	"container/heap"
	"sort"

	"github.com/RoaringBitmap/roaring/v2"
)

// Which documents are worth a closer look is found with sets alone, so that it
// costs little however many documents there are:
//
//   - where few have any of the words, all of them;
//   - else those that have all the words, then those that lack the least
//     telling one, and so on until there are enough;
//   - of too many, those that have the most telling words in the most telling
//     fields.
//
// The sets are those of all parts together, so the choice does not depend on how
// the documents lie.
const (
	fewDocuments = 3000 // so many are looked through without a choice
	mostSubset   = 6    // words of which subsets are tried
	tooMany      = 4000 // from there on the most telling fields alone
)

// choice is parts of an index among which one choice is made.
type choice struct {
	q     *question
	parts []int
	sets  [][]*roaring.Bitmap // by word, then by part of the choice
	need  int
}

// candidate is a document that is worth a closer look.
type candidate struct {
	part   int
	number uint32
	value  float64
}

// choose gives the documents of some parts that are worth a closer look, about
// as many as are needed, and how many have any of the words. filters may be nil;
// so may be each filter.
func (q *question) choose(parts []int, filters []*roaring.Bitmap, need int) (list []candidate, total int, err error) {
	c := &choice{q: q, parts: parts, need: need}
	for i := range q.words {
		c.sets = append(c.sets, c.any(&q.words[i], filters))
	}
	union := make([]*roaring.Bitmap, len(parts))
	for p := range parts {
		var all []*roaring.Bitmap
		for _, s := range c.sets {
			all = append(all, s[p])
		}
		union[p] = roaring.FastOr(all...)
	}
	total = sizeOf(union)
	chosen := union
	if total > fewDocuments {
		chosen = c.narrow(c.subsets())
	}
	list, err = c.best(chosen)
	return list, total, err
}

// any gives, for each part, the documents that have a word.
func (c *choice) any(w *sought, filters []*roaring.Bitmap) []*roaring.Bitmap {
	sets := make([]*roaring.Bitmap, len(c.parts))
	for i, p := range c.parts {
		var some []*roaring.Bitmap
		for _, s := range w.steps() {
			if set := c.q.sets[p][s.field][s.number]; set != nil {
				some = append(some, set)
			}
		}
		switch len(some) {
		case 0:
			sets[i] = roaring.New()
		case 1:
			sets[i] = some[0]
		default:
			sets[i] = roaring.FastOr(some...)
		}
		if filters != nil && filters[p] != nil {
			sets[i] = roaring.And(sets[i], filters[p])
		}
	}
	return sets
}

func sizeOf(sets []*roaring.Bitmap) int {
	n := 0
	for _, s := range sets {
		n += int(s.GetCardinality())
	}
	return n
}

// subsets gathers the documents that have as many of the most telling words as
// it takes to have enough.
func (c *choice) subsets() []*roaring.Bitmap {
	words := c.telling()
	masks := make([]int, 0, 1<<len(words))
	worth := make([]float64, 1<<len(words))
	for mask := 1; mask < 1<<len(words); mask++ {
		for i, w := range words {
			if mask>>i&1 != 0 {
				worth[mask] += c.q.words[w].worth
			}
		}
		masks = append(masks, mask)
	}
	sort.SliceStable(masks, func(i, j int) bool { return worth[masks[i]] > worth[masks[j]] })
	having := make([][]*roaring.Bitmap, 1<<len(words))
	chosen := make([]*roaring.Bitmap, len(c.parts))
	for p := range chosen {
		chosen[p] = roaring.New()
	}
	for _, mask := range masks {
		all := c.having(mask, words, having)
		if sizeOf(all) == 0 {
			continue
		}
		for p := range chosen {
			chosen[p] = roaring.Or(chosen[p], all[p])
		}
		if sizeOf(chosen) >= c.need {
			break
		}
	}
	return chosen
}

// telling lists the words that are in some document, the most telling first.
func (c *choice) telling() []int {
	var words []int
	for i := range c.q.words {
		if sizeOf(c.sets[i]) > 0 {
			words = append(words, i)
		}
	}
	sort.SliceStable(words, func(a, b int) bool { return c.q.words[words[a]].worth > c.q.words[words[b]].worth })
	return words[:min(len(words), mostSubset)]
}

// having gives the documents that have all words of a mask.
func (c *choice) having(mask int, words []int, known [][]*roaring.Bitmap) []*roaring.Bitmap {
	if known[mask] != nil {
		return known[mask]
	}
	last := 0
	for mask>>(last+1) != 0 {
		last++
	}
	sets := c.sets[words[last]]
	if rest := mask &^ (1 << last); rest != 0 {
		others := c.having(rest, words, known)
		both := make([]*roaring.Bitmap, len(sets))
		for p := range sets {
			both[p] = roaring.And(others[p], sets[p])
		}
		sets = both
	}
	known[mask] = sets
	return sets
}

// narrow cuts too many documents down, word by word from the most telling, to
// those that have it in its most valuable fields.
func (c *choice) narrow(chosen []*roaring.Bitmap) []*roaring.Bitmap {
	for _, w := range c.telling() {
		if sizeOf(chosen) <= tooMany {
			break
		}
		steps := c.q.words[w].steps()
		some := make([]*roaring.Bitmap, len(c.parts))
		for p := range some {
			some[p] = roaring.New()
		}
		for i, s := range steps {
			for k, p := range c.parts {
				if set := c.q.sets[p][s.field][s.number]; set != nil {
					some[k].Or(roaring.And(set, chosen[k]))
				}
			}
			level := i+1 == len(steps) || steps[i+1].value < s.value
			if level && sizeOf(some) >= c.need {
				chosen = some
				break
			}
		}
	}
	return chosen
}

// best judges the chosen by the fields in which they have the words and gives
// those that may be among the best.
func (c *choice) best(chosen []*roaring.Bitmap) ([]candidate, error) {
	var list []candidate
	few := sizeOf(chosen) <= c.need
	top := &queue{choice: c}
	for k, p := range c.parts {
		docs := chosen[k].ToArray()
		var values []float64
		if !few {
			values = c.values(k, chosen[k], docs)
		}
		for i, n := range docs {
			one := candidate{part: p, number: n}
			if few {
				list = append(list, one)
				continue
			}
			one.value = values[i]
			top.offer(one)
		}
	}
	if few {
		return list, nil
	}
	return top.list, top.err
}

// values gives what the documents of one part are worth at least, from the best
// field of each word.
func (c *choice) values(k int, chosen *roaring.Bitmap, docs []uint32) []float64 {
	values, had := make([]float64, len(docs)), make([]float64, len(docs))
	all := 0.0
	for i := range c.q.words {
		w := &c.q.words[i]
		left := roaring.And(c.sets[i][k], chosen)
		if !w.guessed {
			all += w.worth
		}
		for _, s := range w.steps() {
			set := c.q.sets[c.parts[k]][s.field][s.number]
			if set == nil {
				continue
			}
			if left.IsEmpty() {
				break
			}
			here := roaring.And(set, left)
			left.AndNot(here)
			at := 0
			for it := here.Iterator(); it.HasNext(); at++ {
				n := it.Next()
				for docs[at] < n {
					at++
				}
				values[at] += s.value
				if !w.guessed {
					had[at] += w.worth
				}
			}
		}
	}
	for i := range values {
		if all > 0 {
			values[i] *= 1 - coverage + coverage*had[i]/all
		}
	}
	return values
}

// queue keeps the best candidates, the least of them first.
type queue struct {
	choice *choice
	list   []candidate
	err    error
}

func (q *queue) offer(c candidate) {
	if len(q.list) < q.choice.need {
		heap.Push(q, c)
		return
	}
	if q.before(c, q.list[0]) {
		q.list[0] = c
		heap.Fix(q, 0)
	}
}

// before reports whether a comes before b: by value, then by key. The keys of one
// part on disk all come before those of the next.
func (q *queue) before(a, b candidate) bool {
	if a.value != b.value {
		return a.value > b.value
	}
	parts := q.choice.q.parts
	rankA, okA := parts[a.part].rank(a.number)
	rankB, okB := parts[b.part].rank(b.number)
	if okA && okB {
		return a.part < b.part || a.part == b.part && rankA < rankB
	}
	one, err := parts[a.part].key(a.number)
	other, err2 := parts[b.part].key(b.number)
	if err != nil || err2 != nil {
		q.err = firstOf(err, err2)
	}
	return one < other
}

func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func (q *queue) Len() int           { return len(q.list) }
func (q *queue) Less(i, j int) bool { return q.before(q.list[j], q.list[i]) }
func (q *queue) Swap(i, j int)      { q.list[i], q.list[j] = q.list[j], q.list[i] }
func (q *queue) Push(c any)         { q.list = append(q.list, c.(candidate)) }
func (q *queue) Pop() any {
	last := q.list[len(q.list)-1]
	q.list = q.list[:len(q.list)-1]
	return last
}
