package index

import (
	"sort"
	"strings"

	"github.com/blevesearch/bleve/v2/search"
)

// span is a place of a matched word in a text.
type span struct {
	from, to int
	stem     string
}

// spans lists the places of one field in their order; a word of several parts
// takes the place of its first part.
func spans(in search.TermLocationMap) []span {
	var list []span
	for term, places := range in {
		for _, p := range places {
			list = append(list, span{int(p.Start), int(p.End), strings.TrimPrefix(term, "!")})
		}
	}
	sort.Slice(list, func(i, j int) bool {
		a, b := list[i], list[j]
		if a.from != b.from {
			return a.from < b.from
		}
		if a.to != b.to {
			return a.to > b.to
		}
		return a.stem < b.stem
	})
	out := list[:0]
	for _, s := range list {
		if n := len(out); n > 0 && s.from < out[n-1].to {
			continue
		}
		out = append(out, s)
	}
	return out
}
