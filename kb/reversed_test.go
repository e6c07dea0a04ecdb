package kb

import (
	"slices"
	"strings"
	"testing"
)

// TestReversedRows writes one row each on a question that nearly everybody
// answers with "a", and wants the finding at the row's own line.
func TestReversedRows(t *testing.T) {
	for _, c := range []struct {
		row      string
		reversed bool
	}{
		{"{a: usually}", true},
		{"{a: sometimes}", true},
		{"{a: usually, c: hardly ever}", true}, // c is less likely than usual, too
		{"{a: usually, c: 0.075}", true},       // c is as likely as usual: no sign
		{"{a: always}", false},
		{"{a: 0.85}", false},               // as usual: says nothing, but nothing wrong
		{"{a: usually, b: seldom}", false}, // b is the sign
		{"{b: seldom}", false},
		{"{a: seldom}", false}, // says on purpose that a is unlikely
		{"{c: hardly ever}", false},
		{"{a: often, c: 0.35}", false},
	} {
		t.Run(c.row, func(t *testing.T) {
			if got := reversedLines(t, c.row); slices.Equal(got, []int{9}) != c.reversed || len(got) > 1 {
				t.Errorf("findings at lines %v, want one at line 9: %v", got, c.reversed)
			}
		})
	}
}

// reversedLines are the lines of the warnings on a cause with that row.
func reversedLines(t *testing.T, row string) []int {
	t.Helper()
	book := Empty()
	for _, yaml := range []string{
		"kind: question\nid: q\ntitle: Q\nask: Which?\nanswers: [{value: a, say: A, default: 0.85}, {value: b, say: B}, {value: c, say: C}]\nwho: caller\nminutes: 1\nsense: look\n",
		"kind: cause\nid: own-1\ntitle: A cause\nplain: Plainly.\nwhy: Why.\nfrequency: common\nsymptoms: [F-01]\ntells:\n  q: " + row + "\nremedies: [fix]\nowner: visit\n",
	} {
		if err := book.Add(strings.NewReader(yaml), "x.yaml"); err != nil {
			t.Fatal(err)
		}
	}
	var lines []int
	for _, f := range Check(book) {
		if f.Code != "reversed-row" {
			continue
		}
		lines = append(lines, f.Line)
		if want := `"a" is answered with 0.85 when nothing is wrong`; f.Level != LevelWarning || !strings.HasPrefix(f.Text, want) {
			t.Errorf("%s, want a warning that begins with %s", f, want)
		}
	}
	return lines
}
