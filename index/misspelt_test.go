package index

import "testing"

func TestSlips(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"screen", "screen", 0},
		{"screan", "screen", 1},
		{"scren", "screen", 1},
		{"screeen", "screen", 1},
		{"sceren", "screen", 1}, // swapped neighbours
		{"projekter", "projector", 2},
		{"display", "speaker", 3}, // more than the limit
		{"", "ab", 2},
	} {
		if got := slips(c.a, c.b, 2); got != c.want {
			t.Errorf("slips(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
		if got := slips(c.b, c.a, 2); got != c.want {
			t.Errorf("slips(%q, %q) = %d, want %d", c.b, c.a, got, c.want)
		}
	}
}

func TestNearest(t *testing.T) {
	lx := &lexicon{words: map[string]*word{}}
	for w, count := range map[string]int{"screen": 9, "scree": 1, "lamp": 3, "projector": 5, "microphone": 4, "cable": 7, "table": 8} {
		lx.words[w] = &word{count: count}
	}
	lx.seal()
	for text, want := range map[string]string{
		"screan":    "screen",
		"csreen":    "screen",
		"projekter": "projector",
		"micrphone": "microphone",
		"lump":      "", // another word, not a slip
		"lapm":      "lamp",
		"lmap":      "lamp",
		"cabel":     "cable",
		"kable":     "cable",
		"xyzzy":     "",
		"abc":       "",
		"500ma":     "",
		"scren":     "screen", // as near as scree, but used more
	} {
		if got := lx.nearest(text); got != want {
			t.Errorf("nearest(%q) = %q, want %q", text, got, want)
		}
	}
}
