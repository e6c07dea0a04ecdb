package synthetic

import (
	"reflect"
	"testing"

	"faultbook/kb"
)

// TestSynthetic: the same seed makes the same calls and queries in any order,
// ids are in order and differ, and calls are closed.
func TestSynthetic(t *testing.T) {
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	g, again := New(book, 1, 5000), New(book, 1, 5000)
	kinds := map[string]int{}
	for i, q := range g.Queries(200) {
		kinds[q.Kind]++
		if q.Text() == "" {
			t.Errorf("query %d is empty: %+v", i, q)
		}
	}
	if kinds["match"] != 70 || kinds["misspelt"] != 40 || kinds["prefix"] != 30 || kinds["fielded"] != 20 || kinds["phrase"] != 20 || kinds["filter"] != 20 {
		t.Errorf("kinds of queries: %v", kinds)
	}
	for i := 4999; i > 0; i -= 97 {
		c := g.Case(i)
		if !c.Ended() || c.ID != g.ID(i) || g.ID(i) <= g.ID(i-1) {
			t.Errorf("call %d: %s after %s, ended %v", i, c.ID, g.ID(i-1), c.Ended())
		}
	}
	if !reflect.DeepEqual(g.Case(17), again.Case(17)) || !reflect.DeepEqual(g.Queries(50), again.Queries(50)) {
		t.Error("the same seed makes something else")
	}
	if reflect.DeepEqual(g.Case(17), New(book, 2, 5000).Case(17)) {
		t.Error("another seed makes the same")
	}
}
