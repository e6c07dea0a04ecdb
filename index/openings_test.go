package index

import (
	"bufio"
	"math"
	"os"
	"strings"
	"sync"
	"testing"

	"faultbook/kb"
)

// builtin gives the book that comes with the program, loaded once.
var builtin = sync.OnceValue(func() *kb.Book {
	b, err := kb.Builtin()
	if err != nil {
		panic(err)
	}
	return b
})

// line is one line of a sheet: what is wanted, and the words.
type line struct {
	want []string
	text string
}

// readSheet reads a sheet of ../testdata/find. wantFirst tells on which side
// of the bar the wanted ids stand.
func readSheet(t testing.TB, name string, wantFirst bool) []line {
	t.Helper()
	f, err := os.Open("../testdata/find/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var list []line
	for sc := bufio.NewScanner(f); sc.Scan(); {
		text := strings.TrimSpace(sc.Text())
		if text == "" || text[0] == '#' {
			continue
		}
		a, b, ok := strings.Cut(text, " | ")
		if !ok {
			t.Fatalf("%s: no bar in %q", name, text)
		}
		if !wantFirst {
			a, b = b, a
		}
		list = append(list, line{strings.FieldsFunc(a, func(r rune) bool { return r == ',' || r == ' ' }), b})
	}
	return list
}

// tally is how well some opening sentences were understood.
type tally struct {
	n, top1, top3, sure, sureRight int
	loss                           float64 // nats a sentence
}

func (s *tally) add(o line, list []Chance) {
	rank, chance := len(list), 0.0
	for i, c := range list {
		for _, w := range o.want {
			if c.ID == w {
				rank, chance = min(rank, i), chance+c.Chance
			}
		}
	}
	s.n++
	if rank < 1 {
		s.top1++
	}
	if rank < 3 {
		s.top3++
	}
	if list[0].Chance >= 0.8 {
		s.sure++
		if rank == 0 {
			s.sureRight++
		}
	}
	s.loss -= math.Log(math.Max(chance, 1e-9))
}

func score(book *kb.Book, k constants, list []line) (odd, even tally) {
	reader := newOpening(book, k)
	for i, o := range list {
		if h := reader.Read(o.text); i%2 == 0 {
			odd.add(o, h.Symptoms)
		} else {
			even.add(o, h.Symptoms)
		}
	}
	return odd, even
}

func share(a, b int) float64 { return float64(a) / float64(max(b, 1)) }

// TestOpeningSheet holds the share of opening sentences whose symptom comes
// first, and among the first three, at what was reached when it was recorded.
// Where one symptom is given 0.8 or more, it has to be the right one about as
// often as that says. The sheet's source: written by somebody who did not write
// the entries, from the list of symptoms; common practice, no source.
func TestOpeningSheet(t *testing.T) {
	odd, even := score(builtin(), tuned(), readSheet(t, "openings.txt", true))
	for name, s := range map[string]tally{"odd": odd, "even": even} {
		t.Logf("%s: %d sentences, first %.2f, first three %.2f, sure %.2f, right when sure %.2f, loss %.2f", name, s.n,
			share(s.top1, s.n), share(s.top3, s.n), share(s.sure, s.n), share(s.sureRight, s.sure), s.loss/float64(s.n))
		if s.n < 140 {
			t.Errorf("%s: only %d sentences", name, s.n)
		}
		if share(s.top1, s.n) < 0.83 || share(s.top3, s.n) < 0.92 {
			t.Errorf("%s: first %.3f, recorded 0.83; first three %.3f, recorded 0.92", name, share(s.top1, s.n), share(s.top3, s.n))
		}
		if share(s.sure, s.n) < 0.65 || share(s.sureRight, s.sure) < 0.93 {
			t.Errorf("%s: sure %.3f, recorded 0.65; right when sure %.3f, recorded 0.93", name, share(s.sure, s.n), share(s.sureRight, s.sure))
		}
	}
}

// TestSafetySheet: a danger that is told in any sentence is heard, and
// sentences with the same words in which there is none stop no call.
func TestSafetySheet(t *testing.T) {
	o := NewOpening(builtin())
	heard, dangers := 0, 0
	for _, l := range readSheet(t, "safety.txt", true) {
		var got []string
		for _, f := range o.Read(l.text).Facts {
			if f.Safety {
				got = append(got, f.Question+"="+f.Value)
			}
		}
		if l.want[0] == "none" {
			if len(got) > 0 {
				t.Errorf("%q: heard %v, where there is no danger", l.text, got)
			}
			continue
		}
		dangers++
		if contains(got, l.want[0]) {
			heard++
		} else {
			t.Logf("%q: not heard as %s: %v", l.text, l.want[0], got)
		}
	}
	t.Logf("%d of %d dangers heard", heard, dangers)
	if share(heard, dangers) < recordedSafety {
		t.Errorf("%d of %d dangers heard, recorded %.2f", heard, dangers, recordedSafety)
	}
}

const recordedSafety = 0.98

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func TestOpeningKnowsNothing(t *testing.T) {
	o := NewOpening(builtin())
	for _, words := range []string{"", "   ", "xyzzy qwrtzp", "hello, good morning, please help", "???"} {
		h := o.Read(words)
		if len(h.Symptoms) < 25 || len(h.Facts) != 0 {
			t.Fatalf("%q: %d symptoms, facts %v", words, len(h.Symptoms), h.Facts)
		}
		for _, c := range h.Symptoms {
			if math.Abs(c.Chance-1/float64(len(h.Symptoms))) > 1e-12 {
				t.Errorf("%q: %s has %v, want a flat distribution", words, c.ID, c.Chance)
			}
		}
	}
}

func TestOpeningChances(t *testing.T) {
	o := NewOpening(builtin())
	for _, l := range readSheet(t, "openings.txt", true) {
		h := o.Read(l.text)
		sum := 0.0
		for i, c := range h.Symptoms {
			sum += c.Chance
			if math.IsNaN(c.Chance) || c.Chance < 0 || i > 0 && c.Chance > h.Symptoms[i-1].Chance {
				t.Fatalf("%q: %v", l.text, h.Symptoms)
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Fatalf("%q: chances sum to %v", l.text, sum)
		}
	}
}

// TestOpeningMoods: what is denied and what is fine changes what is meant.
func TestOpeningMoods(t *testing.T) {
	o := NewOpening(builtin())
	for words, want := range map[string]string{
		"picture is fine but there is no sound":    "F-06",
		"no sound, the picture is fine":            "F-06",
		"sound is ok but there is no picture":      "F-01",
		"the telly is black":                       "F-01",
		"the beamer is black":                      "F-01",
		"flickrs on the telly, comes and gos":      "F-02",
		"they cannot hear us":                      "F-08",
		"we cannot hear anything from the speaker": "F-06",
	} {
		if got := o.Read(words).Symptoms[0]; got.ID != want {
			t.Errorf("%q: %s %.2f, want %s", words, got.ID, got.Chance, want)
		}
	}
}

func TestOpeningIsDeterministic(t *testing.T) {
	sheet := readSheet(t, "openings.txt", true)
	a, b := NewOpening(builtin()), NewOpening(builtin())
	for _, l := range sheet {
		x, y := a.Read(l.text), b.Read(l.text)
		for i := range x.Symptoms {
			if x.Symptoms[i] != y.Symptoms[i] {
				t.Fatalf("%q: %v and %v", l.text, x.Symptoms[i], y.Symptoms[i])
			}
		}
		if len(x.Facts) != len(y.Facts) {
			t.Fatalf("%q: %v and %v", l.text, x.Facts, y.Facts)
		}
		for i := range x.Facts {
			if x.Facts[i].Question != y.Facts[i].Question || x.Facts[i].Score != y.Facts[i].Score {
				t.Fatalf("%q: %v and %v", l.text, x.Facts[i], y.Facts[i])
			}
		}
	}
}

func TestOpeningServesSeveral(t *testing.T) {
	o := NewOpening(builtin())
	sheet := readSheet(t, "openings.txt", true)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for _, l := range sheet {
				o.Read(l.text)
			}
		})
	}
	wg.Wait()
}

func BenchmarkNewOpening(b *testing.B) {
	book := builtin()
	b.ReportAllocs()
	for b.Loop() {
		NewOpening(book)
	}
}

func BenchmarkRead(b *testing.B) {
	o := NewOpening(builtin())
	b.ReportAllocs()
	for b.Loop() {
		o.Read("hello, i am in the bordroom and the telly does not show anything, the sound is fine, and there is a funny smell of burning from the rack")
	}
}
