package drawing

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"faultbook/kb"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew")

// tinyBook is the book of the tests, testdata/tiny.yaml.
func tinyBook(t *testing.T) *kb.Book {
	t.Helper()
	data, err := os.ReadFile("testdata/tiny.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b := kb.Empty()
	for _, doc := range strings.Split(string(data), "\n---\n") {
		if err := b.Add(strings.NewReader(doc), "tiny.yaml"); err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range kb.Check(b) {
		if f.Level == kb.LevelError {
			t.Fatal(f)
		}
	}
	return b
}

func build(t *testing.T, b *kb.Book, set Setting) *Tree {
	t.Helper()
	tree, err := Build(b, set)
	if err != nil {
		t.Fatal(err)
	}
	return tree
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// TestByHand compares with shares worked by hand. F-90 has two common causes
// (weight 4 each) and something else (0.5): 8.5 in all. The lamp is on with
// A-2 and half the time with something else, 4.25 of 8.5, and a visit takes
// the supply along. Off leads to push, which cures nine in ten of A-1: 3.6 of
// 8.5. The others, 0.4 + 0.25, are handed over.
func TestByHand(t *testing.T) {
	tree := build(t, tinyBook(t), Setting{Symptom: "F-90", Who: kb.WhoCaller, Cover: 1})
	ask := tree.Root
	if ask.Kind != Ask || ask.Number != 1 || ask.ID != "lamp" || len(ask.Branches) != 2 {
		t.Fatalf("root: %+v", ask)
	}
	on, push := ask.Branches[0].To, ask.Branches[1].To
	if on.Kind != HandOver || !near(on.Share, 4.25/8.5) || len(on.Parts) != 1 || len(on.Causes) != 2 ||
		on.Causes[0].ID != "A-2" || !near(on.Causes[0].Chance, 4/4.25) {
		t.Errorf("lamp on: %+v", on)
	}
	if push.Kind != Try || push.Number != 2 || !near(push.Share, 4.25/8.5) || len(push.Cautions) != 1 {
		t.Fatalf("lamp off: %+v", push)
	}
	cured, rest := push.Branches[0].To, push.Branches[1].To
	if cured.Kind != Cured || !near(cured.Share, 3.6/8.5) || len(cured.Causes) != 1 || cured.Causes[0].ID != "A-1" {
		t.Errorf("push helps: %+v", cured)
	}
	if rest.Kind != HandOver || !near(rest.Share, 0.65/8.5) || len(rest.Parts) != 0 || !near(rest.Causes[0].Chance, 0.4/0.65) {
		t.Errorf("push does not help: %+v", rest)
	}
	if !near(tree.Kept, 1) || tree.CutShare != 0 || tree.Steps != 2 || tree.Limit != "" {
		t.Errorf("tree: %+v", tree)
	}
}

// TestCut: of what keeps 0.9 the weakest branch is left out, the handover
// after push, 0.65 of 8.5; with one step on a branch push itself is cut, and
// the cut names it as worth a try.
func TestCut(t *testing.T) {
	b := tinyBook(t)
	tree := build(t, b, Setting{Symptom: "F-90", Who: kb.WhoCaller, Cover: 0.9})
	cut := tree.Root.Branches[1].To.Branches[1].To
	if cut.Kind != Cut || !near(tree.CutShare, 0.65/8.5) || !near(tree.Kept, 7.85/8.5) || tree.Tailed != 0 || tree.Limit != "" {
		t.Errorf("cover 0.9: cut %+v, kept %v", cut, tree.Kept)
	}
	tree = build(t, b, Setting{Symptom: "F-90", Who: kb.WhoCaller, Cover: 0.9, Depth: 1})
	cut = tree.Root.Branches[1].To
	if cut.Kind != Cut || len(cut.Tries) != 1 || cut.Tries[0].ID != "push" || !near(cut.Tries[0].Helps, 3.6/4.25) || cut.ID != "visit" {
		t.Errorf("depth 1: %+v", cut)
	}
	if tree.Limit != ByDepth || !near(tree.Kept, 0.5) || !near(tree.CutShare, 0.5) || !near(tree.Tailed, 3.6/8.5) || !near(tree.Owned, 0.65/8.5) {
		t.Errorf("depth 1: %+v", tree)
	}
}

// TestStop: a safety rule ends its branch with its own words, and is never cut
// from a question that stays.
func TestStop(t *testing.T) {
	for _, cover := range []float64{1, 0.5} {
		tree := build(t, tinyBook(t), Setting{Symptom: "F-91", Who: kb.WhoCaller, Cover: cover})
		stop := tree.Root.Branches[0].To
		if stop.Kind != Stop || stop.ID != "burnt" || stop.Say != "Leave it & go." || stop.To != "A <visit> & more" || len(stop.Cautions) != 1 {
			t.Errorf("cover %v: %+v", cover, stop)
		}
		if len(tree.Dangers) != 1 || tree.Dangers[0].If[0] != "Mains & <shock>" {
			t.Errorf("dangers: %+v", tree.Dangers)
		}
	}
}

// TestTechnician: who is on site may do more, and is asked in other words.
func TestTechnician(t *testing.T) {
	tree := build(t, tinyBook(t), Setting{Symptom: "F-90", Who: kb.WhoTechnician, Cover: 1})
	said := ""
	tree.Root.Walk(func(n *Node) { said += n.ID + " " + n.Say + "\n" })
	for _, want := range []string{"swap Swap the supply", "lamp Supply lamp, 12 V present?"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is missing in\n%s", want, said)
		}
	}
}

func TestUnknownSymptom(t *testing.T) {
	if _, err := Build(tinyBook(t), Setting{Symptom: "F-99", Who: kb.WhoCaller, Cover: 1}); err == nil || !strings.Contains(err.Error(), "F-99") {
		t.Errorf("error: %v", err)
	}
}

// TestGolden compares every drawing of the tiny book with a file; -update
// writes them anew.
func TestGolden(t *testing.T) {
	b := tinyBook(t)
	for _, set := range []Setting{
		{Symptom: "F-90", Who: kb.WhoCaller, Cover: 0.9},
		{Symptom: "F-91", Who: kb.WhoCaller, Cover: 1},
	} {
		tree := build(t, b, set)
		for _, f := range formats() {
			var got bytes.Buffer
			if err := f.write(tree, &got); err != nil {
				t.Fatal(err)
			}
			path := filepath.Join("testdata", set.Symptom+f.suffix)
			if *update {
				if err := os.WriteFile(path, got.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(string(want), got.String()); d != "" {
				t.Errorf("%s (-want +got):\n%s", path, d)
			}
		}
	}
}
