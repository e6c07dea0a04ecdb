package index

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"faultbook/kb"

	"github.com/google/go-cmp/cmp"
)

// builtinOpening reads opening words with the book that comes with the program.
var builtinOpening = sync.OnceValue(func() *Opening { return NewOpening(builtin()) })

// FuzzOpening reads any bytes as a caller's words: the chances of the symptoms
// are those of a distribution, facts are answers of the book, each question
// once, and the same words give the same again.
func FuzzOpening(f *testing.F) {
	for _, s := range []string{"the telly is dead, there is no light on it at all", "it is not the sound, never was", "smells of burning", "0", "",
		"4K@60 over USB-C doesn't work since Tuesday 10:30", "\xff\xfe\x00", "İſK DEAD", strings.Repeat("no ", 2000), strings.Repeat("a", 9000), "no no no not never without",
		"\u202eneercs eht", "we've changed nothing: the hub, the cable, the dock", "🙂🙂 no picture", "e\u0301cran noir"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, words string) {
		if len(words) > 1<<14 {
			return
		}
		h := builtinOpening().Read(words)
		sum := 0.0
		for i, s := range h.Symptoms {
			if !(s.Chance >= 0 && s.Chance <= 1) || i > 0 && s.Chance > h.Symptoms[i-1].Chance || kb.Get[kb.Symptom](builtin(), s.ID) == nil {
				t.Fatalf("symptom %d: %+v", i, s)
			}
			sum += s.Chance
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Fatalf("the chances sum to %v", sum)
		}
		seen := map[string]bool{}
		for _, x := range h.Facts {
			q := kb.Get[kb.Question](builtin(), x.Question)
			if q == nil || !q.Has(x.Value) || seen[x.Question] || !(x.Score > 0 && x.Score <= 1) || len(x.Words) == 0 {
				t.Fatalf("fact %+v", x)
			}
			seen[x.Question] = true
		}
		if diff := cmp.Diff(h, builtinOpening().Read(words)); diff != "" {
			t.Fatalf("read twice:\n%s", diff)
		}
	})
}

// FuzzSearch asks the index anything: hits are of the book, in order, within
// the limit, and the same question gives the same hits.
func FuzzSearch(f *testing.F) {
	for _, s := range []string{"black screen", `"no signal" 2160p60`, "title:lamp", "flick* -usb", `"`, `""`, "title:", "*", "a*", ":::", "kind:cause", "\x00\xff", "PW-01",
		strings.Repeat("picture ", 400), "500 mA usb", "don't", `"no "signal" again"`, "title:\"no picture\" words:*"} {
		f.Add(s, "cause", "F-01", 5, 0)
	}
	f.Add("sound", "", "", -3, -3)
	f.Add("sound", "nothing", "F-99", 1<<40, 1<<40)
	f.Fuzz(func(t *testing.T, text, kind, symptom string, limit, offset int) {
		o := Options{Symptom: symptom, Limit: limit, Offset: offset}
		if kind != "" {
			o.Kinds = []string{kind}
		}
		r, err := builtinIndex().Search(text, o)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Hits) > mostLimit || len(r.Hits) > r.Total || !utf8.ValidString(r.DidYouMean) && utf8.ValidString(text) {
			t.Fatalf("%d hits of %d, %q", len(r.Hits), r.Total, r.DidYouMean)
		}
		for _, h := range r.Hits {
			if h.ID == "" || math.IsNaN(h.Score) || math.IsInf(h.Score, 0) || kind != "" && h.Kind != kind {
				t.Fatalf("hit %+v", h)
			}
		}
		again, err := builtinIndex().Search(text, o)
		if err != nil || cmp.Diff(r, again) != "" {
			t.Fatalf("asked twice: %v\n%s", err, cmp.Diff(r, again))
		}
	})
}

// FuzzJournal opens an index beside which a journal of any bytes lies: what is
// damaged is passed over, and the cases of the store are found whatever it says.
func FuzzJournal(f *testing.F) {
	j := &journal{path: filepath.Join(f.TempDir(), "journal")}
	if err := j.append(change{ID: "20261110-080000-eeee", Stamp: "1", Doc: &Document{ID: "20261110-080000-eeee", Kind: "case", Words: "grommet"}}, change{ID: "x", Gone: true}); err != nil {
		f.Fatal(err)
	}
	if err := j.close(); err != nil {
		f.Fatal(err)
	}
	seed, err := os.ReadFile(j.path)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(seed)
	f.Add(seed[:len(seed)-3])
	f.Add([]byte("\n\n00000000 \nzzzzzzzz x\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		j := &journal{path: filepath.Join(t.TempDir(), "journal")}
		put := func() (list []change, damaged int) {
			list, damaged, err := j.read()
			if err != nil {
				t.Fatal(err)
			}
			return list, damaged
		}
		if err := os.WriteFile(j.path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		before, damaged := put()
		if err := j.append(change{ID: "new", Stamp: "2"}); err != nil {
			t.Fatal(err)
		}
		if err := j.close(); err != nil {
			t.Fatal(err)
		}
		after, still := put()
		if len(after) < len(before)+1 || after[len(after)-1].ID != "new" || still > damaged {
			t.Fatalf("%d changes and %d damaged lines, then %d and %d", len(before), damaged, len(after), still)
		}
	})
}
