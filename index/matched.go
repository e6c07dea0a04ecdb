package index

import (
	"sort"
	"strings"
)

// span is a place of a matched word in a text.
type span struct {
	from, to int
	stem     string
}

// spans lists the places of one field in their order; a word of several parts
// takes the place of its first part.
func spans(field [][]place, table []string) []span {
	var list []span
	for n, places := range field {
		for _, p := range places {
			list = append(list, span{p.from, p.to, strings.TrimPrefix(table[n], "!")})
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

// matched lists the words of a document that met the query, as they stand
// there, in the order of its fields and places, each once.
func matched(d *Document, in *found, table []string) []string {
	list := []string{}
	seen := map[string]bool{}
	for f, field := range d.texts() {
		text := strings.ToLower(field.text)
		for _, p := range spans(in.places[f], table) {
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
