package kb

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"testing"
)

// TestDangerousAdvice holds testdata/advice.txt: each line is advice to a
// caller, good or dangerous, written for this test.
func TestDangerousAdvice(t *testing.T) {
	f, err := os.Open("testdata/advice.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	count := map[string]int{}
	for sc := bufio.NewScanner(f); sc.Scan(); {
		line := sc.Text()
		if line == "" || line[0] == '#' {
			continue
		}
		want, text, ok := strings.Cut(line, " | ")
		if !ok {
			t.Fatalf("no bar in %q", line)
		}
		as := said
		if strings.HasSuffix(text, "?") {
			as = asked
		}
		got := "good"
		what, _ := dangerIn(text, as)
		if what != "" {
			got = "bad"
		}
		count[want]++
		if got != want {
			t.Errorf("%s, want %s (found %q): %s", got, want, what, text)
		}
	}
	if count["bad"] < 60 || count["good"] < 60 {
		t.Errorf("%v lines: 60 of each are wanted", count)
	}
}

// TestStopRules holds every stop of the book: which caution is read out and
// who comes, and that callers are heard in many words. What goes with what
// follows from the check values in the last column.
func TestStopRules(t *testing.T) {
	want := map[string][4]string{ // question, answer, caution, handover
		"stop-smoke-smell":     {"danger-signs", "smoke-smell", "smoke-smell", "facilities"},           // S-001
		"stop-liquid":          {"danger-signs", "liquid", "liquid", "facilities"},                     // S-001
		"stop-shock":           {"danger-signs", "shock", "shock", "electrician"},                      // S-001
		"stop-repeated-trip":   {"breaker-after-reset", "trips-again", "repeated-trip", "electrician"}, // S-001
		"stop-too-hot":         {"device-heat", "too-hot", "hot-surface", "visit"},                     // S-001, S-007
		"stop-swollen-battery": {"battery-danger", "swollen", "lithium-battery", "facilities"},         // S-012
		"stop-swallowed-cell":  {"battery-danger", "swallowed", "button-cell", "facilities"},           // S-013
		"stop-opening":         {"opening-danger", "yes", "mains", "visit"},                            // S-001
		"stop-climbing":        {"height-danger", "climbing", "height", "visit"},                       // S-003
		"stop-hanging-loose":   {"height-danger", "hanging-loose", "mounts", "facilities"},             // S-005
		"stop-light-in-eye":    {"light-danger", "yes", "lens-light", "facilities"},                    // S-006
		"stop-fibre-in-eye":    {"light-danger", "fibre", "fibre-eye", "facilities"},                   // S-006
	}
	book := authored(t)
	seen := 0
	for _, r := range All[Rule](book) {
		if r.Stop == nil {
			continue
		}
		seen++
		w, ok := want[r.ID]
		if !ok || len(r.When) != 1 || len(r.When[0].Is) != 1 {
			t.Errorf("%s: a stop that this table does not know, or one with several facts", r.ID)
			continue
		}
		got := [4]string{r.When[0].Question, r.When[0].Is[0], r.Stop.Caution, r.Stop.Handover}
		if got != w {
			t.Errorf("%s: %v, want %v", r.ID, got, w)
		}
		q := Get[Question](book, got[0])
		if n := len(q.Answers[q.answer(got[1])].Words); n < 15 {
			t.Errorf("%s: the answer %s has %d phrasings of callers, 15 are wanted", r.ID, got[1], n)
		}
	}
	if seen != len(want) {
		t.Errorf("%d stop rules, want %d", seen, len(want))
	}
}

// TestFindingsOfProseAndSafety gives entries with one thing wrong each.
func TestFindingsOfProseAndSafety(t *testing.T) {
	remedy := func(step, more string) string {
		return "kind: remedy\nid: r\ntitle: T\nsay: Let us try.\nsteps: [\"" + step + "\"]\ncheck: Does it work?\nwho: caller\nminutes: 1\nsource: [common practice]\n" + more
	}
	question := func(ask string) string {
		return "kind: question\nid: q\ntitle: T\nask: \"" + ask + "\"\nanswers: [{value: a, say: A}, {value: b, say: B}]\nwho: caller\nminutes: 1\nsense: look\n"
	}
	for _, c := range []struct{ name, yaml, want string }{
		{"good", remedy("Push the plug in.", ""), ""},
		{"ladder", remedy("Climb on the table.", ""), "dangerous-advice 5"},
		{"technician", strings.Replace(remedy("Climb on the ladder.", "cautions: [height]\n"), "caller", "technician", 1), ""},
		{"caution", remedy("Never climb a ladder.", ""), "missing-caution 1"},
		{"jargon", remedy("Set the VLAN.", ""), "jargon 5"},
		{"term", remedy("Push the plug in.", "technical: The CRC grows.\n"), "no-term 10"},
		{"long", question("Is it one two three four five six seven eight nine ten or is it one two three four five six seven?"), "long-sentence 4"},
		{"hard", question("Does the organisation utility's notification area indicate unsuccessful installation activities?"), "hard-reading 4"},
	} {
		book := Empty()
		for _, yaml := range []string{c.yaml, "kind: caution\nid: height\ntitle: H\nsay: Stay down.\ndefer: EN 131\nhazard: [ladder]\nsource: [x]\n"} {
			if err := book.Add(strings.NewReader(yaml), "x.yaml"); err != nil {
				t.Fatal(err)
			}
		}
		var got []string
		for _, f := range Check(book) {
			switch f.Code {
			case "unused", "few-tells", "unknown-caution":
			default:
				got = append(got, fmt.Sprintf("%s %d", f.Code, f.Line))
			}
		}
		if strings.Join(got, ", ") != c.want {
			t.Errorf("%s: %v, want %q", c.name, got, c.want)
		}
	}
}
