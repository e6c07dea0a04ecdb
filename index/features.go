package index

import "math"

// feature names a concept with its mood, or two in a row.
type feature uint64

func single(c concept, m mood) feature { return feature(c)<<2 | feature(m) }

func pair(a, b concept, ma, mb mood) feature {
	return 1<<63 | single(a, ma)<<29 | single(b, mb)
}

// person names a concept with its mood and whose it is.
func person(c concept, m mood, w who) feature { return 1<<62 | single(c, m)<<8 | feature(w) }

// asked names what is asked for, and whether trouble is told beside it.
func asked(a asking, trouble bool) feature {
	f := 1<<61 | feature(a)
	if trouble {
		f |= 1 << 8
	}
	return f
}

// weighted is a feature with its weight.
type weighted struct {
	feature
	weight float64
}

// features lists the features of some terms, each once; list is used again.
func (k constants) features(terms []term, asks asking, list []weighted) []weighted {
	list = list[:0]
	add := func(f feature, w float64) {
		for _, x := range list {
			if x.feature == f {
				return
			}
		}
		list = append(list, weighted{f, w})
	}
	for i, t := range terms {
		for n, c := range t.concepts {
			w := t.quality
			if n == 0 && len(t.concepts) > 1 {
				w *= k.stem
			}
			add(single(c, t.mood), w)
			if t.mood == denied {
				add(single(c, plain), w*k.denied)
			}
		}
		if len(t.concepts) == 0 {
			continue
		}
		for w := who(1); w != 0; w <<= 1 {
			if t.who&w != 0 {
				add(person(last(t), t.mood, w), k.person*t.quality)
			}
		}
		for back := 1; back <= 2 && i >= back; back++ {
			a := terms[i-back]
			if len(a.concepts) == 0 || a.clause != t.clause {
				continue
			}
			w := k.pair
			if back == 2 {
				w = k.skip
			}
			add(pair(last(a), last(t), a.mood, t.mood), w*a.quality*t.quality)
		}
	}
	trouble := complains(terms)
	for a := asking(1); a != 0; a <<= 1 {
		if asks&a != 0 {
			add(asked(a, trouble), k.asking)
		}
	}
	return list
}

// complains reports whether something is denied or broken: "I want to share and it
// does not find the room" is no wish, nor is "and the panel is frozen".
func complains(terms []term) bool {
	for _, t := range terms {
		if t.mood == denied || t.mood == plain && isBroken(t.text) {
			return true
		}
	}
	return false
}

func isBroken(word string) bool {
	switch word {
	case "dead", "broken", "frozen", "freezes", "stuck", "crashed", "crashes", "hangs", "hung", "faulty", "kaput", "bust", "flickers", "flickering", "error":
		return true
	}
	return false
}

// last is the widest meaning of a term: its group, else its stem.
func last(t term) concept { return t.concepts[len(t.concepts)-1] }

// counts gathers how often each feature occurs in each symptom.
type counts struct {
	numbers map[feature]int32
	rows    []float32 // a row for each feature, a column for each symptom
	total   []float64 // of each symptom
}

func newCounts(symptoms int) *counts {
	return &counts{
		numbers: make(map[feature]int32, 1<<14),
		rows:    make([]float32, 0, symptoms<<14),
		total:   make([]float64, symptoms),
	}
}

// add counts a feature and gives the number of its row.
func (c *counts) add(f feature, symptom int, n float64) int32 {
	width := len(c.total)
	row, ok := c.numbers[f]
	if !ok {
		row = int32(len(c.numbers))
		c.numbers[f] = row
		for range width {
			c.rows = append(c.rows, 0)
		}
	}
	c.rows[int(row)*width+symptom] += float32(n)
	c.total[symptom] += n
	return row
}

// odds turns the counts into logarithms of chances against the whole book.
// Every symptom is given the same room there, however many phrases it has. The
// counts are used up.
func (c *counts) odds(smoothing float64) []float32 {
	n := len(c.total)
	absent := make([]float32, n) // the same for all features
	for i, all := range c.total {
		absent[i] = float32(math.Log(smoothing / (all + smoothing)))
	}
	for f := 0; f < len(c.rows); f += n {
		row := c.rows[f : f+n]
		background := 0.0
		for i, k := range row {
			if k > 0 {
				background += float64(k) / c.total[i] / float64(n)
			}
		}
		for i, k := range row {
			if k == 0 {
				row[i] = absent[i]
				continue
			}
			p := (float64(k) + smoothing*background) / (c.total[i] + smoothing)
			row[i] = float32(math.Log(p / background))
		}
	}
	return c.rows
}
