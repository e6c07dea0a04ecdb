package index

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"

	"faultbook/testdata/synthetic"
)

// madeUp gives a source of n made-up cases that can be added to.
func madeUp(t testing.TB, n int) (src Source, docs map[string]*Document) {
	t.Helper()
	docs = map[string]*Document{}
	src = Source{Book: builtin(), Load: func(id string) (*Document, error) { return docs[id], nil }}
	g := synthetic.New(builtin(), 3, n)
	for i := range n {
		d := CaseDocument(builtin(), g.Case(i))
		docs[d.ID] = d
		src.Cases = append(src.Cases, CaseRef{d.ID, "1"})
	}
	return src, docs
}

// sameHits fails where two indexes do not give the same hits with the same
// scores and words.
func sameHits(t testing.TB, a, b *Index, queries []synthetic.Query) {
	t.Helper()
	for _, q := range queries {
		o := Options{Room: q.Room, Since: q.Since, Symptom: q.About}
		if q.Kind != "filter" {
			o.Kinds = []string{"case"}
		}
		if one, other := lookUp(t, a, q.Text(), o), lookUp(t, b, q.Text(), o); !reflect.DeepEqual(one, other) {
			t.Errorf("%s %q %+v:\n%+v\n%+v", q.Kind, q.Text(), o, one, other)
		}
	}
}

// TestAnyWayIsTheSame: an index that was built in one go, one to which cases were
// added, changed and removed one by one, the same opened again, one that caught up,
// and one in memory all give the same hits with the same scores.
func TestAnyWayIsTheSame(t *testing.T) {
	const n = 400
	src, docs := madeUp(t, n)
	queries := synthetic.New(builtin(), 3, n).Queries(60)
	anew := opened(t, t.TempDir(), src)

	half := src
	half.Cases = append([]CaseRef(nil), src.Cases[:n/2]...)
	other := *docs[src.Cases[n/2+1].ID]
	other.ID = "20010101-000000-gone"
	docs[other.ID] = &other
	half.Cases = append(half.Cases, CaseRef{other.ID, "1"}, CaseRef{src.Cases[n-1].ID, "0"})
	dir := t.TempDir()
	grown := opened(t, dir, half)
	for i := n - 1; i >= n/2; i-- {
		ref := src.Cases[i]
		if err := grown.Add(ref, docs[ref.ID]); err != nil {
			t.Fatal(err)
		}
		if i%3 == 0 { // written again
			if err := grown.Add(ref, docs[ref.ID]); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := grown.Add(CaseRef{other.ID, "2"}, nil); err != nil {
		t.Fatal(err)
	}
	sameHits(t, anew, grown, queries)
	grown.Close()
	sameHits(t, anew, opened(t, dir, src), queries)
	newest, err := OpenNewest(dir, src.Book)
	if err != nil {
		t.Fatal(err)
	}
	sameHits(t, anew, newest, queries)
	newest.Close()

	caught := t.TempDir()
	opened(t, caught, half).Close()
	sameHits(t, anew, opened(t, caught, src), queries)
	sameHits(t, anew, opened(t, "", src), queries)
	if _, err := Rebuild(context.Background(), dir, src); err != nil {
		t.Fatal(err)
	}
	rebuilt := opened(t, dir, src)
	if rebuilt.recent.live() != 0 {
		t.Errorf("%d cases beside an index that was just built", rebuilt.recent.live())
	}
	sameHits(t, anew, rebuilt, queries)
}

// TestJournalDamage: a journal that is cut short or has a flipped bit costs
// nothing: what it lacks is read from the cases.
func TestJournalDamage(t *testing.T) {
	const n = 40
	src, docs := madeUp(t, n)
	queries := synthetic.New(builtin(), 3, n).Queries(20)
	anew := opened(t, t.TempDir(), src)
	half := src
	half.Cases = src.Cases[:n/2]
	dir := t.TempDir()
	x := opened(t, dir, half)
	for _, ref := range src.Cases[n/2:] {
		if err := x.Add(ref, docs[ref.ID]); err != nil {
			t.Fatal(err)
		}
	}
	x.Close()
	list, _ := filepath.Glob(filepath.Join(dir, since+"*"))
	if len(list) != 1 {
		t.Fatalf("journals: %v", list)
	}
	whole, err := os.ReadFile(list[0])
	if err != nil {
		t.Fatal(err)
	}
	for bit := 3; bit < len(whole)*8; bit += len(whole)*8/40 + 1 {
		flipped := bytes.Clone(whole)
		flipped[bit/8] ^= 1 << (bit % 8)
		damagedJournal(t, anew, dir, list[0], flipped, src, queries)
	}
	for _, size := range []int{len(whole) - 1, len(whole) / 2, 5, 0} {
		damagedJournal(t, anew, dir, list[0], whole[:size], src, queries)
	}
}

func damagedJournal(t *testing.T, anew *Index, dir, path string, data []byte, src Source, queries []synthetic.Query) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	x := opened(t, dir, src)
	sameHits(t, anew, x, queries[:5])
	if len(data) > 0 && data[len(data)-1] == '\n' && (len(x.Notes()) != 1 || !strings.Contains(x.Notes()[0], "damaged")) {
		t.Errorf("notes %q", x.Notes())
	}
	x.Close()
	sameHits(t, anew, opened(t, dir, src), queries[:5])
}

// TestManyChanges: where very many cases came the index is built anew.
func TestManyChanges(t *testing.T) {
	src, _ := madeUp(t, mostRecent+10)
	few := src
	few.Cases = src.Cases[:5]
	dir := t.TempDir()
	opened(t, dir, few).Close()
	x := opened(t, dir, src)
	if x.recent.live() != 0 || x.memory || x.Stale() {
		t.Errorf("%d beside the index", x.recent.live())
	}
	if list, _ := filepath.Glob(filepath.Join(dir, "*")); len(list) != 1 {
		t.Errorf("left over: %v", list)
	}
}

// TestRebuildBrokenOff: a rebuild that is broken off, at the beginning or in the
// middle, leaves the old index, and nothing of the new one.
func TestRebuildBrokenOff(t *testing.T) {
	src, _ := madeUp(t, 60)
	dir := t.TempDir()
	old := src
	old.Cases = src.Cases[:50]
	folder := sealedIndex(t, dir, old)
	for _, after := range []int{1, 30, 59} {
		ctx, stop := context.WithCancel(context.Background())
		src.Progress = func(done, all int) {
			if all != 60 {
				t.Errorf("%d of %d", done, all)
			}
			if done == after {
				stop()
			}
		}
		if _, err := Rebuild(ctx, dir, src); !errors.Is(err, context.Canceled) {
			t.Fatalf("after %d: %v", after, err)
		}
		list, _ := filepath.Glob(filepath.Join(dir, "*"))
		if len(list) != 1 || list[0] != folder {
			t.Fatalf("after %d: %v", after, list)
		}
		if _, err := checkSeal(folder); err != nil {
			t.Fatal(err)
		}
	}
}

// TestSearchSyntax: quotes, stars and fields.
func TestSearchSyntax(t *testing.T) {
	docs := []Document{
		{ID: "20261101-080000-aaaa", Title: "hum", Words: "dock restarted, then the display was swapped"},
		{ID: "20261101-080000-bbbb", Title: "swapped", Words: "the display restarted and the dock too"},
		{ID: "20261101-080000-cccc", Title: "third", Words: "a projector is projecting a projection", Notes: "hum"},
	}
	for _, dir := range []string{"", t.TempDir()} {
		x := opened(t, dir, caseSource(t, docs...))
		for words, want := range map[string]string{
			`"display restarted"`:      "bbbb",
			`"dock restarted"`:         "aaaa",
			`restarted "display was"`:  "aaaa bbbb", // one word that names something is no phrase
			`"restarted display"`:      "aaaa",      // words that name nothing do not count
			`"swapped dock"`:           "bbbb aaaa", // stands nowhere: any of the words
			`title:hum`:                "aaaa",
			`notes:hum`:                "cccc",
			`hum`:                      "aaaa cccc",
			`title:swapped`:            "bbbb",
			`project*`:                 "cccc",
			`proj*`:                    "cccc",
			`pr*`:                      "",
			`"dock restarted" display`: "aaaa",
		} {
			var got []string
			for _, h := range lookUp(t, x, words, Options{Kinds: []string{"case"}}).Hits {
				got = append(got, h.ID[len(h.ID)-4:])
			}
			if strings.Join(got, " ") != want {
				t.Errorf("%q in %q: got %v, want %s", words, dir, got, want)
			}
		}
	}
}

// TestByTurns: past calls do not hide the book, and the book does not hide them.
func TestByTurns(t *testing.T) {
	var docs []Document
	for i := range 40 {
		docs = append(docs, Document{ID: fmt.Sprintf("20261101-0800%02d-aaaa", i), Title: "camera is dead", Words: "camera is dead"})
	}
	x := opened(t, "", caseSource(t, docs...))
	kinds := map[string]int{}
	for _, h := range lookUp(t, x, "camera is dead", Options{Limit: 4}).Hits {
		kinds[h.Kind]++
	}
	if kinds["case"] == 0 || kinds["case"] == 4 {
		t.Errorf("kinds of four hits: %v", kinds)
	}
	if r := lookUp(t, x, "camera is dead", Options{Limit: 30}); len(r.Hits) != 30 || r.Total < 41 {
		t.Errorf("%d hits of %d", len(r.Hits), r.Total)
	}
}

// TestSearchWhileAdding: several search while cases are added; every case is
// found as soon as Add has returned.
func TestSearchWhileAdding(t *testing.T) {
	x := opened(t, t.TempDir(), caseSource(t, someCases()...))
	var wg sync.WaitGroup
	done := make(chan struct{})
	for range 3 {
		wg.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
				}
				if r, err := x.Search("webcm 500 mA displ*", Options{}); err != nil || len(r.Hits) == 0 {
					t.Errorf("%v %v", r, err)
					return
				}
			}
		})
	}
	for i := range 60 {
		id := fmt.Sprintf("20261201-0800%02d-zzzz", i)
		if err := x.Add(CaseRef{id, "1"}, &Document{ID: id, Kind: "case", Title: "added", Words: fmt.Sprintf("sprocket%dx in the webcam display", i)}); err != nil {
			t.Fatal(err)
		}
		if got := ids(lookUp(t, x, fmt.Sprintf("sprocket%dx", i), Options{Kinds: []string{"case"}}).Hits); got != id {
			t.Errorf("found %q, want %s", got, id)
		}
	}
	close(done)
	wg.Wait()
}
