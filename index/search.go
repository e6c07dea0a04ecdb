package index

import (
	"slices"
	"sort"
	"strings"

	"github.com/RoaringBitmap/roaring/v2"
)

const (
	defaultLimit = 20
	mostLimit    = 1000
	spare        = 120  // candidates beyond those asked for, to put in order
	mostMatched  = 8    // words shown with a hit
	mostQuery    = 2000 // bytes of a query that are read
)

// MostOffset is how many hits can be passed over.
const MostOffset = 10000

// Options narrow a search; the zero value asks for everything.
type Options struct {
	Kinds   []string // cause, symptom, practice, case, remedy, caution, part, value, term
	Symptom string   // only what belongs to the symptom
	Room    string   // only cases in the room
	Since   string   // only cases from that day on, as 2026-11-25
	State   string   // only entries or cases in the state
	Limit   int      // 20 where 0, at most 1000
	Offset  int      // hits to pass over, at most 10000
}

// Results are the hits of a search, best first.
type Results struct {
	Hits []Hit
	// Total is how many there are without the limit.
	Total int
	// DidYouMean is the query with its misspellings mended; empty where no
	// word seems misspelt.
	DidYouMean string
}

// Hit is one thing that was found. Score is for comparing within one result
// only.
type Hit struct {
	ID, Kind, Title string
	Score           float64
	// Matched are the words of the document that met the query.
	Matched []string
}

// Search looks for words. A hit has any of them; it comes first the more it
// has, in the more telling places. An id finds its entry. "Words in quotes"
// must stand in a row if they do anywhere, title:word counts in one field (title,
// words, tells, why, remedy, notes), and flick* is any word that begins so. Of
// the hits at most every other is a past call, as long as the book has more. The
// same words give the same hits in the same order with every index of the same
// source.
func (x *Index) Search(text string, o Options) (Results, error) {
	if len(text) > mostQuery {
		text = strings.ToValidUTF8(text[:mostQuery], "")
	}
	o.Limit = min(max(o.Limit, 0), mostLimit)
	if o.Limit == 0 {
		o.Limit = defaultLimit
	}
	o.Offset = min(max(o.Offset, 0), MostOffset)
	res, generation, err := x.searchGuarded(text, o)
	if err == nil {
		return res, nil
	}
	if again := x.fallBack(generation, err); again != nil {
		return Results{}, again
	}
	res, _, err = x.searchGuarded(text, o)
	return res, err
}

func (x *Index) searchGuarded(text string, o Options) (res Results, generation int, err error) {
	x.mutex.RLock()
	defer x.mutex.RUnlock()
	err = guarded(func() error {
		res, err = x.search(text, o)
		return err
	})
	return res, x.generation, err
}

// search finds candidates, puts them in order and reads the texts of those
// that are shown.
func (x *Index) search(text string, o Options) (Results, error) {
	res := Results{Hits: []Hit{}}
	t := takeApart(text)
	words, mended, err := x.wants(t)
	if err != nil {
		return res, err
	}
	res.DidYouMean = mended
	ids := idsIn(text)
	if len(words) == 0 && len(ids) == 0 {
		return res, nil
	}
	q, err := x.ask(words, t.phrases)
	if err != nil {
		return res, err
	}
	filters, err := o.filters(q.parts)
	if err != nil {
		return res, err
	}
	if filters, err = q.phrases(x.sides(), filters); err != nil {
		return res, err
	}
	list, total, err := x.order(q, ids, filters, o)
	if err != nil {
		return res, err
	}
	res.Total = total
	res.Hits, err = q.hits(list)
	return res, err
}

// order gives the hits of the page that is asked for, and how many there are in
// all: entries of the book and past calls are put in order apart, then taken by
// turns, so that neither hides the other.
func (x *Index) order(q *question, ids []string, filters []*roaring.Bitmap, o Options) ([]ranked, int, error) {
	var lists [2][]ranked
	total := 0
	for i, parts := range x.sides() {
		if i == 1 && len(o.Kinds) > 0 && !slices.Contains(o.Kinds, "case") {
			continue
		}
		chosen, n, err := q.choose(parts, filters, o.Offset+o.Limit+spare)
		if err != nil {
			return nil, 0, err
		}
		list, err := q.rank(chosen, len(o.Kinds) > 0)
		if err != nil {
			return nil, 0, err
		}
		linked, err := q.linked(parts, ids, filters)
		if err != nil {
			return nil, 0, err
		}
		list, more := withLinked(list, linked)
		inScoreOrder(list)
		lists[i], total = list, total+n+more
	}
	list := byTurns(lists[0], lists[1], o.Offset+o.Limit)
	list = list[min(o.Offset, len(list)):]
	inScoreOrder(list)
	return list, total, nil
}

// byTurns takes the n best of two lists, but from the second no more than from
// the first as long as that has some.
func byTurns(a, b []ranked, n int) []ranked {
	var list []ranked
	ia, ib := 0, 0
	for len(list) < n && (ia < len(a) || ib < len(b)) {
		second := ia == len(a) || ib < len(b) && ib <= ia && b[ib].score > a[ia].score
		if second {
			list = append(list, b[ib])
			ib++
			continue
		}
		list = append(list, a[ia])
		ia++
	}
	return list
}

// rank looks at the candidates closely.
func (q *question) rank(chosen []candidate, kindsAsked bool) ([]ranked, error) {
	s := newScanner(q)
	list := make([]ranked, 0, len(chosen))
	for _, c := range chosen {
		in, err := s.scan(c.part, c.number)
		if err != nil {
			return nil, err
		}
		r := ranked{part: c.part, number: c.number}
		if err := r.name(q); err != nil {
			return nil, err
		}
		r.score = q.score(in, kindsAsked || isMain(r.kind))
		list = append(list, r)
	}
	return list, nil
}

func (r *ranked) name(q *question) (err error) {
	if r.key, err = q.parts[r.part].key(r.number); err != nil {
		return err
	}
	r.id, r.kind, _ = strings.Cut(r.key, "/")
	return nil
}

// linked finds what is named by an id, or belongs to a symptom that is.
func (q *question) linked(parts []int, ids []string, filters []*roaring.Bitmap) ([]ranked, error) {
	var list []ranked
	for _, id := range ids {
		for _, p := range parts {
			named, err := named(q.parts[p], id)
			if err != nil {
				return nil, err
			}
			of, err := q.parts[p].having("symptoms", id)
			if err != nil {
				return nil, err
			}
			for _, link := range []struct {
				set   *roaring.Bitmap
				score float64
			}{{named, idScore}, {of, linkScore}} {
				if link.set == nil {
					continue
				}
				if filters[p] != nil {
					link.set = roaring.And(link.set, filters[p])
				}
				for _, n := range firstByKey(q.parts[p], link.set, spare) {
					r := ranked{part: p, number: n, score: link.score}
					if err := r.name(q); err != nil {
						return nil, err
					}
					list = append(list, r)
				}
			}
		}
	}
	return list, nil
}

// named gives the documents of any kind with the id, which is in small letters:
// ids of entries are written in capitals or in small letters.
func named(p part, id string) (*roaring.Bitmap, error) {
	set := roaring.New()
	for _, kind := range []string{"cause", "symptom", "practice", "case", "remedy", "caution", "part", "value", "term"} {
		for _, written := range []string{id, strings.ToUpper(id)} {
			n, ok, err := p.number((&Document{ID: written, Kind: kind}).key())
			if err != nil {
				return nil, err
			}
			if ok {
				set.Add(n)
			}
		}
	}
	return set, nil
}

// firstByKey gives a set, or of a large one the first documents by their keys,
// where their order is known.
func firstByKey(p part, set *roaring.Bitmap, most int) []uint32 {
	list := set.ToArray()
	if len(list) <= most {
		return list
	}
	sort.SliceStable(list, func(i, j int) bool {
		a, _ := p.rank(list[i])
		b, _ := p.rank(list[j])
		return a < b
	})
	return list[:most]
}

// withLinked adds the scores for ids; more is the number of hits that have
// nothing but their id.
func withLinked(list, linked []ranked) (all []ranked, more int) {
	at := map[string]int{}
	for i := range list {
		at[list[i].key] = i
	}
	for _, r := range linked {
		i, ok := at[r.key]
		if ok {
			list[i].score += r.score
			continue
		}
		at[r.key] = len(list)
		list = append(list, r)
		more++
	}
	return list, more
}

// hits reads the titles and the words that matched.
func (q *question) hits(list []ranked) ([]Hit, error) {
	out := make([]Hit, 0, len(list))
	s := newScanner(q)
	for _, r := range list {
		in, err := s.scan(r.part, r.number)
		if err != nil {
			return nil, err
		}
		doc, err := q.parts[r.part].texts(r.number)
		if err != nil {
			return nil, err
		}
		out = append(out, Hit{ID: r.id, Kind: r.kind, Title: doc.Title, Score: r.score, Matched: matched(&doc, in, q.table)})
	}
	return out, nil
}
