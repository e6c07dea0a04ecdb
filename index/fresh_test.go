package index

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// The sheets *-fresh.txt were written before anything was tuned to them. A
// seeded draw splits each: what the reader missed in one half was looked at and
// mended, the other half was only ever counted. Common practice, no source.

// drawHalves splits a sheet: one half to learn from, one to test.
func drawHalves(list []line) (learn, test []line) {
	for k, i := range rand.New(rand.NewPCG(25, 2026)).Perm(len(list)) {
		if k%2 == 0 {
			learn = append(learn, list[i])
		} else {
			test = append(test, list[i])
		}
	}
	return learn, test
}

func (s *tally) of(o *Opening, list []line) *tally {
	for _, l := range list {
		s.add(l, o.Read(l.text).Symptoms)
	}
	return s
}

func (s *tally) log(t *testing.T, name string) {
	t.Helper()
	t.Logf("%s: %d sentences, first %.3f, first three %.3f, sure %.2f, right when sure %.2f, loss %.2f", name, s.n,
		share(s.top1, s.n), share(s.top3, s.n), share(s.sure, s.n), share(s.sureRight, s.sure), s.loss/float64(s.n))
}

// TestFreshOpenings holds how many opening sentences are understood. Before the
// reader was widened the halves had 0.734 and 0.787 first, 0.904 and 0.936
// among three.
func TestFreshOpenings(t *testing.T) {
	o := NewOpening(builtin())
	learn, test := drawHalves(readSheet(t, "openings-fresh.txt", true))
	for _, l := range learn {
		if list := o.Read(l.text).Symptoms; !contains(l.want, list[0].ID) {
			t.Logf("%v %q: %s %.2f, %s %.2f, %s %.2f", l.want, l.text, list[0].ID, list[0].Chance,
				list[1].ID, list[1].Chance, list[2].ID, list[2].Chance)
		}
	}
	new(tally).of(o, learn).log(t, "learn")
	s := new(tally).of(o, test)
	s.log(t, "test")
	if share(s.top1, s.n) < 0.90 || share(s.top3, s.n) < 0.96 {
		t.Errorf("first %.3f, recorded 0.90; first three %.3f, recorded 0.96", share(s.top1, s.n), share(s.top3, s.n))
	}
}

// dangers counts what was heard of a sheet of dangers and of harmless
// sentences that sound like one.
type dangers struct{ told, heard, harmless, stopped int }

func (d *dangers) of(t *testing.T, o *Opening, list []line, show bool) *dangers {
	for _, l := range list {
		var got []string
		for _, f := range o.Read(l.text).Facts {
			if f.Safety {
				got = append(got, f.Question+"="+f.Value)
			}
		}
		right := len(got) == 0
		if l.want[0] == "none" {
			d.harmless++
			if !right {
				d.stopped++
			}
		} else {
			d.told++
			right = false
			for _, g := range got {
				right = right || contains(l.want, g)
			}
			if right {
				d.heard++
			}
		}
		if !right && show {
			t.Logf("%v %q: %v", l.want, l.text, got)
		}
	}
	return d
}

// TestFreshSafety holds how many dangers are heard in sentences that the book
// does not have, and how many harmless ones are taken for a danger. Before, 19
// of 29 and 21 of 34 were heard, 7 of 33 and 6 of 28 harmless ones stopped.
func TestFreshSafety(t *testing.T) {
	o := NewOpening(builtin())
	learn, test := drawHalves(readSheet(t, "safety-fresh.txt", true))
	l, s := new(dangers).of(t, o, learn, true), new(dangers).of(t, o, test, false)
	t.Logf("learn: %d of %d dangers heard, %d of %d harmless ones stopped", l.heard, l.told, l.stopped, l.harmless)
	t.Logf("test: %d of %d dangers heard, %d of %d harmless ones stopped", s.heard, s.told, s.stopped, s.harmless)
	if share(s.heard, s.told) < 0.97 || share(s.stopped, s.harmless) > 0.25 {
		t.Errorf("%d of %d dangers heard, recorded 0.97; %d of %d harmless stopped, recorded 0.25", s.heard, s.told, s.stopped, s.harmless)
	}
}

// TestOpeningReliability prints how often a symptom that was given a chance is
// the right one, over all lines of the sheets that nothing was tuned to, and
// holds the chances to it. Brier score: the mean of the squared differences over
// all symptoms, 0 the best, 2 the worst (Brier 1950, from memory).
func TestOpeningReliability(t *testing.T) {
	o := NewOpening(builtin())
	_, list := drawHalves(readSheet(t, "openings-fresh.txt", true))
	for i, l := range readSheet(t, "openings.txt", true) {
		if i%2 == 1 {
			list = append(list, l)
		}
	}
	var b bins
	for _, l := range list {
		b.add(l, o.Read(l.text).Symptoms)
	}
	t.Logf("\n%s", b.table())
	if brier := b.brier / float64(len(list)); brier > 0.13 {
		t.Errorf("Brier score %.3f, recorded 0.13", brier)
	}
	if e := b.error(); e > 0.004 {
		t.Errorf("chances are off by %.3f in the mean, recorded 0.004", e)
	}
}

// bins gathers chances by tenths.
type bins struct {
	n, right [10]int
	sum      [10]float64
	lines    int
	brier    float64
}

func (b *bins) add(l line, list []Chance) {
	b.lines++
	credit := true // one symptom of those accepted is the right one
	for _, c := range list {
		k := min(int(c.Chance*10), 9)
		hit := credit && contains(l.want, c.ID)
		b.n[k]++
		b.sum[k] += c.Chance
		truth := 0.0
		if hit {
			b.right[k]++
			truth, credit = 1, false
		}
		b.brier += (c.Chance - truth) * (c.Chance - truth)
	}
}

// error is the difference between chance and share that came true, in the
// mean over all chances given.
func (b *bins) error() float64 {
	sum, n := 0.0, 0
	for k := range b.n {
		sum += math.Abs(b.sum[k] - float64(b.right[k]))
		n += b.n[k]
	}
	return sum / float64(n)
}

func (b *bins) table() string {
	var s strings.Builder
	s.WriteString("chance given   times   mean   came true\n")
	for k := range b.n {
		if n := float64(b.n[k]); n > 0 {
			fmt.Fprintf(&s, "%.1f to %.1f   %6d   %.3f   %.3f\n", float64(k)/10, float64(k+1)/10, b.n[k], b.sum[k]/n, float64(b.right[k])/n)
		}
	}
	fmt.Fprintf(&s, "%d sentences, Brier score %.3f, mean difference %.4f\n", b.lines, b.brier/float64(b.lines), b.error())
	return s.String()
}

// TestLastOpenings counts a sheet that was written last and run only. The reader
// as it was before had 0.752 first and 0.888 among three.
func TestLastOpenings(t *testing.T) {
	s := new(tally).of(NewOpening(builtin()), readSheet(t, "openings-last.txt", true))
	s.log(t, "last")
	if share(s.top1, s.n) < 0.86 || share(s.top3, s.n) < 0.97 {
		t.Errorf("first %.3f, recorded 0.86; first three %.3f, recorded 0.97", share(s.top1, s.n), share(s.top3, s.n))
	}
}

// TestBlindOpenings counts a sheet of long opening sentences, written before
// anything was known of the book and run only.
func TestBlindOpenings(t *testing.T) {
	s := new(tally).of(NewOpening(builtin()), readSheet(t, "openings-blind.txt", true))
	s.log(t, "blind")
	if share(s.top1, s.n) < 0.71 || share(s.top3, s.n) < 0.9 {
		t.Errorf("first %.3f, recorded 0.71; first three %.3f, recorded 0.9", share(s.top1, s.n), share(s.top3, s.n))
	}
}

// TestFreshQueries holds how well queries find what they should that the book's
// words were not chosen for: success at 3 and mean reciprocal rank.
func TestFreshQueries(t *testing.T) {
	x := builtinIndex()
	learn, test := drawHalves(readSheet(t, "queries-fresh.txt", false))
	for name, list := range map[string][]line{"learn": learn, "test": test} {
		top3, mrr := 0, 0.0
		for _, l := range list {
			for k, h := range lookUp(t, x, l.text, Options{}).Hits {
				if contains(l.want, h.ID) {
					mrr += 1 / float64(k+1)
					if k < 3 {
						top3++
					}
					break
				}
			}
		}
		mrr /= float64(len(list))
		t.Logf("%s: %d queries, success at 3 %.3f, mean reciprocal rank %.3f", name, len(list), share(top3, len(list)), mrr)
		if share(top3, len(list)) < 0.90 || mrr < 0.83 {
			t.Errorf("%s: below what was recorded: 0.90 and 0.83", name)
		}
	}
}
