package index

import (
	"fmt"
	"sort"
	"strings"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/search/query"
)

const (
	defaultLimit = 20
	mostLimit    = 1000
	spare        = 120  // hits beyond those asked for, to put in order
	mostMatched  = 8    // words shown with a hit
	mostQuery    = 2000 // bytes of a query that are read
)

// Options narrow a search; the zero value asks for everything.
type Options struct {
	Kinds   []string // cause, symptom, practice, case, remedy, caution, part, value, term
	Symptom string   // only what belongs to the symptom
	Room    string   // only cases in the room
	Since   string   // only cases from that day on, as 2026-11-25
	State   string   // only entries or cases in the state
	Limit   int      // 20 where 0, at most 1000
	Offset  int
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
// has, in the more telling places. An id finds its entry. The same words give
// the same hits in the same order with every index of the same source.
func (x *Index) Search(text string, o Options) (Results, error) {
	if len(text) > mostQuery {
		text = strings.ToValidUTF8(text[:mostQuery], "")
	}
	idx, memory := x.current()
	res, err := x.searchGuarded(idx, text, o)
	if err == nil || memory {
		return res, err
	}
	idx, again := x.fallBack(idx, err)
	if again != nil {
		return Results{}, again
	}
	return x.searchGuarded(idx, text, o)
}

func (x *Index) searchGuarded(idx bleve.Index, text string, o Options) (res Results, err error) {
	err = guarded(func() error {
		res, err = x.search(idx, text, o)
		return err
	})
	return res, err
}

// search finds candidates, puts them in order and reads the texts of those
// that are shown.
func (x *Index) search(idx bleve.Index, text string, o Options) (Results, error) {
	o.Limit = min(max(o.Limit, 0), mostLimit)
	if o.Limit == 0 {
		o.Limit = defaultLimit
	}
	o.Offset = max(o.Offset, 0)
	inner, err := idx.Advanced()
	if err != nil {
		return Results{}, fmt.Errorf("read the index: %w", err)
	}
	reader, err := inner.Reader()
	if err != nil {
		return Results{}, fmt.Errorf("read the index: %w", err)
	}
	defer reader.Close()
	s := speller{reader: reader, same: x.same}
	words, mended := x.wants(text, &s)
	res := Results{Hits: []Hit{}}
	if s.mended {
		res.DidYouMean = mended
	}
	ids := idsIn(text)
	if s.err != nil || len(words) == 0 && len(ids) == 0 {
		return res, s.err
	}
	k, err := x.newRanker(reader, words, ids)
	if err != nil {
		return res, err
	}
	list, total, err := x.candidates(idx, k, o)
	if err != nil {
		return res, err
	}
	res.Total = total
	from := min(o.Offset, len(list))
	res.Hits, err = hits(idx, list[from:min(from+o.Limit, len(list))])
	return res, err
}

// candidates finds what has any of the words, and what an id names, in order.
func (x *Index) candidates(idx bleve.Index, k *ranker, o Options) (list []ranked, total int, err error) {
	any := x.anyOf(k.words)
	req := bleve.NewSearchRequestOptions(narrowed(any, o), o.Offset+o.Limit+spare, 0, false)
	req.SortBy([]string{"-_score", "_id"})
	found, err := idx.Search(req)
	if err != nil {
		return nil, 0, fmt.Errorf("search: %w", err)
	}
	keys := make([]string, 0, len(found.Hits))
	for _, h := range found.Hits {
		keys = append(keys, h.ID)
	}
	linked, err := x.linked(idx, k.ids, o)
	if err != nil {
		return nil, 0, err
	}
	list, err = x.ordered(idx, k, any, keys, len(o.Kinds) > 0)
	if err != nil {
		return nil, 0, err
	}
	list, more := withLinked(list, linked)
	inScoreOrder(list)
	return list, int(found.Total) + more, nil
}

// ordered looks again at the candidates, now with the places of the words.
func (x *Index) ordered(idx bleve.Index, k *ranker, any query.Query, keys []string, kindsAsked bool) ([]ranked, error) {
	if len(keys) == 0 {
		return nil, nil
	}
	q := bleve.NewBooleanQuery()
	q.AddMust(any)
	q.AddFilter(bleve.NewDocIDQuery(keys))
	req := bleve.NewSearchRequestOptions(q, len(keys), 0, false)
	req.IncludeLocations = true
	found, err := idx.Search(req)
	if err != nil {
		return nil, fmt.Errorf("search: %w", err)
	}
	return k.rank(found.Hits, kindsAsked)
}

// linked finds what is named by an id, or belongs to a symptom that is.
func (x *Index) linked(idx bleve.Index, ids []string, o Options) (map[string]float64, error) {
	scores := map[string]float64{}
	for field, score := range map[string]float64{"id": idScore, "symptoms": linkScore} {
		any := bleve.NewDisjunctionQuery()
		for _, id := range ids {
			any.AddQuery(termQuery(field, id, 1))
		}
		if len(ids) == 0 {
			continue
		}
		req := bleve.NewSearchRequestOptions(narrowed(any, o), spare, 0, false)
		req.SortBy([]string{"_id"})
		found, err := idx.Search(req)
		if err != nil {
			return nil, fmt.Errorf("search for ids: %w", err)
		}
		for _, h := range found.Hits {
			scores[h.ID] += score
		}
	}
	return scores, nil
}

// withLinked adds the scores for ids; more is the number of hits that have
// nothing but their id.
func withLinked(list []ranked, linked map[string]float64) (all []ranked, more int) {
	for i := range list {
		list[i].score += linked[list[i].key]
		delete(linked, list[i].key)
	}
	keys := make([]string, 0, len(linked))
	for key := range linked {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	for _, key := range keys {
		r := ranked{key: key, score: linked[key]}
		r.id, r.kind, _ = strings.Cut(key, "/")
		list = append(list, r)
	}
	return list, len(keys)
}

// hits reads the titles and the words that matched.
func hits(idx bleve.Index, list []ranked) ([]Hit, error) {
	out := make([]Hit, 0, len(list))
	if len(list) == 0 {
		return out, nil
	}
	keys := make([]string, len(list))
	for i, r := range list {
		keys[i] = r.key
	}
	req := bleve.NewSearchRequestOptions(bleve.NewDocIDQuery(keys), len(keys), 0, false)
	req.Fields = []string{"*"}
	found, err := idx.Search(req)
	if err != nil {
		return nil, fmt.Errorf("read the hits: %w", err)
	}
	texts := map[string]map[string]interface{}{}
	for _, h := range found.Hits {
		texts[h.ID] = h.Fields
	}
	for _, r := range list {
		fields := texts[r.key]
		title, _ := fields["title"].(string)
		out = append(out, Hit{ID: r.id, Kind: r.kind, Title: title, Score: r.score, Matched: matched(fields, r)})
	}
	return out, nil
}

// matched lists the words of a document that met the query, as they stand
// there, in the order of its fields and places, each once.
func matched(fields map[string]interface{}, r ranked) []string {
	list := []string{}
	seen := map[string]bool{}
	for _, f := range textBoosts() {
		text, _ := fields[f.name].(string)
		text = strings.ToLower(text)
		for _, p := range spans(r.places[f.name]) {
			if p.to > len(text) || p.from >= p.to {
				continue
			}
			if word := text[p.from:p.to]; !seen[p.stem] {
				seen[p.stem] = true
				if list = append(list, word); len(list) == mostMatched {
					return list
				}
			}
		}
	}
	return list
}
