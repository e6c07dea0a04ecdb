package index

import (
	"regexp"
	"strings"
)

// entryNumber is a letter or two and a number, however they are joined.
var entryNumber = regexp.MustCompile(`\b([a-z]{1,2})[- ]?([0-9]{1,3})\b`)

// idsIn lists what may be ids in a text, in small letters: words with hyphens,
// numbers of entries however they are written (VL-03, vl3, vl 03), and a text of
// one word as it stands.
func idsIn(text string) []string {
	text = strings.ToLower(strings.TrimSpace(text))
	seen := map[string]bool{}
	var ids []string
	add := func(id string) {
		if id != "" && !seen[id] {
			seen[id] = true
			ids = append(ids, id)
		}
	}
	if !strings.ContainsAny(text, " \t\n") {
		add(text)
	}
	for _, w := range strings.Fields(text) {
		if w = strings.Trim(w, ".,;:?!()\"'"); strings.Contains(w, "-") {
			add(w)
		}
	}
	for _, m := range entryNumber.FindAllStringSubmatch(text, 8) {
		number := m[2]
		add(m[1] + "-" + number)
		for len(number) < 3 {
			number = "0" + number
			add(m[1] + "-" + number)
		}
	}
	return ids
}
