package exchange

import (
	"bytes"
	"cmp"
	"slices"

	"faultbook/kb/cases"
)

// reduce merges the versions of one record, all of the same key: it drops what
// another version supersedes and gives first the one that takes the record's
// place, then those that are set aside. It depends on the set alone, not on its
// order, and reduce of what it gave and further versions is reduce of all.
func reduce(list []Record) []Record {
	list = distinct(list)
	if len(list) > 1 && list[0].Kind == KindCase {
		list = distinct(carryRedactions(list))
	}
	list = unbeaten(list)
	slices.SortFunc(list, inPlaceFirst)
	for i := range list {
		r := &list[i]
		switch {
		case i > 0:
			r.Aside, r.Path = true, asidePath(r.Kind, r.ID, r.Data)
		case r.Aside: // what was in place is gone
			r.Aside, r.Path = false, place(r.Kind, r.ID)
		}
	}
	return list
}

// distinct keeps one of several versions with the same bytes. The path is the
// first in the alphabet of those that are in place somewhere.
func distinct(list []Record) []Record {
	var kept []Record
	for _, r := range list {
		i := slices.IndexFunc(kept, func(k Record) bool { return bytes.Equal(k.Data, r.Data) })
		switch {
		case i < 0:
			kept = append(kept, r)
		case kept[i].Aside && !r.Aside, kept[i].Aside == r.Aside && r.Path < kept[i].Path:
			kept[i] = r
		}
	}
	return kept
}

// unbeaten drops the versions that another one supersedes.
func unbeaten(list []Record) []Record {
	if len(list) < 2 {
		return list
	}
	beats := supersedes
	if list[0].Kind == KindCase {
		beats = goesOn(list)
	}
	var kept []Record
	for i := range list {
		beaten := false
		for j := range list {
			beaten = beaten || i != j && beats(&list[j], &list[i])
		}
		if !beaten {
			kept = append(kept, list[i])
		}
	}
	return kept
}

// supersedes is the rule for entries and room sheets.
func supersedes(a, b *Record) bool { return a.ID == b.ID && a.Revision > b.Revision }

// goesOn gives the rule for cases: a holds all events of b in their order, as
// when it goes on where b ends, or when somebody put two versions together.
// Where both hold the same, written differently, it is the one with the smaller
// digest.
func goesOn(list []Record) func(a, b *Record) bool {
	read := map[*Record]history{}
	for i := range list {
		read[&list[i]] = historyOf(&list[i])
	}
	return func(a, b *Record) bool {
		x, y := read[a], read[b]
		if !y.within(x) {
			return false
		}
		return len(y.lines) < len(x.lines) || digest(a.Data) < digest(b.Data)
	}
}

// history is what a case holds, each event as the line that it is written as;
// that a text was removed is no part of it.
type history struct {
	cases.Header
	lines []string
}

func historyOf(r *Record) history {
	c := decoded(r)
	h := history{Header: c.Header}
	for _, e := range c.Events {
		if e.Redacted == 0 {
			h.lines = append(h.lines, line(e))
		}
	}
	return h
}

// within reports whether x holds all of h, in its order.
func (h history) within(x history) bool {
	if h.ID != x.ID || h.Version != x.Version || !h.Opened.Equal(x.Opened) {
		return false
	}
	found := 0
	for _, l := range x.lines {
		if found < len(h.lines) && l == h.lines[found] {
			found++
		}
	}
	return found == len(h.lines)
}

// inPlaceFirst orders versions of which none supersedes another.
func inPlaceFirst(a, b Record) int {
	return cmp.Or(-cmp.Compare(a.Revision, b.Revision), cmp.Compare(digest(a.Data), digest(b.Data)))
}

// merge3 merges what two sides hold of one record with the versions that both
// knew before: a version that one side has dropped since is dropped, one that
// came in since is taken, and reduce does the rest.
func merge3(base, ours, theirs []Record) []Record {
	var list []Record
	for _, r := range ours {
		old, other := find(base, r), find(theirs, r)
		switch {
		case other != nil:
			list = append(list, settled(old, &r, other))
		case old == nil:
			list = append(list, r)
		}
	}
	for _, r := range theirs {
		if find(base, r) == nil && find(ours, r) == nil {
			list = append(list, r)
		}
	}
	return reduce(list)
}

func find(list []Record, r Record) *Record {
	for i := range list {
		if bytes.Equal(list[i].Data, r.Data) {
			return &list[i]
		}
	}
	return nil
}

// settled picks the place of a version that both sides have: where one moved
// it since, there.
func settled(old, ours, theirs *Record) Record {
	if old != nil && !ours.Aside && !theirs.Aside {
		switch old.Path {
		case ours.Path:
			return *theirs
		case theirs.Path:
			return *ours
		}
	}
	return distinct([]Record{*ours, *theirs})[0]
}
