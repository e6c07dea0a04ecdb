package index

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"testing"
	"time"

	"faultbook/testdata/synthetic"
)

// BenchmarkScale builds an index of made-up past calls, asks it what people
// type, and does the same with SQLite's FTS5 in the same run (peer_bench_test.go).
// It runs 1,000 and 100,000 calls; FAULTBOOK_BENCH_CASES names other numbers, as
// in FAULTBOOK_BENCH_CASES=1000000.
func BenchmarkScale(b *testing.B) {
	sizes := []int{1000, 100000}
	if text := os.Getenv("FAULTBOOK_BENCH_CASES"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			b.Fatal(err)
		}
		sizes = []int{n}
	}
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) { scale(b, n) })
	}
}

// corpus is made-up calls, kept in memory while there are not too many.
type corpus struct {
	g    *synthetic.Generator
	n    int
	kept []Document
}

const mostKept = 200000

func newCorpus(n int) *corpus {
	c := &corpus{g: synthetic.New(builtin(), 1, n), n: n}
	if n <= mostKept {
		c.kept = make([]Document, n)
		for i := range c.kept {
			c.kept[i] = *CaseDocument(builtin(), c.g.Case(i))
		}
	}
	return c
}

func (c *corpus) doc(i int) *Document {
	if c.kept != nil {
		return &c.kept[i]
	}
	return CaseDocument(builtin(), c.g.Case(i))
}

// source lists the calls; text is how many bytes of text they have, taken from a
// sample where they are not kept.
func (c *corpus) source() (src Source, text int) {
	src = Source{Book: builtin()}
	number := make(map[string]int, c.n)
	for i := range c.n {
		id := c.g.ID(i)
		number[id] = i
		src.Cases = append(src.Cases, CaseRef{id, "1"})
	}
	src.Load = func(id string) (*Document, error) { return c.doc(number[id]), nil }
	every := max(1, c.n/mostKept)
	for i := 0; i < c.n; i += every {
		for _, f := range c.doc(i).texts() {
			text += every * len(f.text)
		}
	}
	return src, text
}

// scale measures one size, once however often it is called.
func scale(b *testing.B, n int) {
	c := newCorpus(n)
	src, text := c.source()
	dir := b.TempDir()
	cache := filepath.Join(dir, "cache")
	queries := c.g.Queries(500)
	for b.Loop() {
		if err := os.RemoveAll(cache); err != nil {
			b.Fatal(err)
		}
		runtime.GC()
		begin, worked := time.Now(), processorTime()
		if _, err := Rebuild(context.Background(), cache, src); err != nil {
			b.Fatal(err)
		}
		took, worked := time.Since(begin), processorTime()-worked
		tell("%d calls, %.1f MB of text; built in %v, %.0f records/s, %.0f for each second of a processor; index %.2f times the text", n, mega(text),
			took.Round(time.Millisecond), float64(n)/took.Seconds(), float64(n)/worked.Seconds(), float64(folderSize(b, cache))/float64(text))
		begin = time.Now()
		x, err := Open(cache, src)
		if err != nil {
			b.Fatal(err)
		}
		tell("opened, checked and compared with the cases in %v", time.Since(begin).Round(time.Millisecond))
		own := timesOf(b, x, queries)
		reportTimes(b, "faultbook", queries, own)
		measureAdding(b, x, queries)
		x.Close()
		comparePeer(b, dir, c, queries, own)
	}
}

// tell prints a line at once: a benchmark's own log is cut after ten.
func tell(format string, args ...any) { fmt.Printf("    "+format+"\n", args...) }

func mega(n int) float64 { return float64(n) / 1e6 }

func folderSize(b *testing.B, dir string) (size int64) {
	err := filepath.WalkDir(dir, func(_ string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			size += info.Size()
		}
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
	return size
}

// times are how long queries took: by the clock, and what a processor worked for
// them, which tells more where other programs keep the machine busy.
type times struct{ clock, worked []time.Duration }

// timesOf asks all queries twice and gives the times of the second round.
func timesOf(b *testing.B, x *Index, queries []synthetic.Query) times {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	t := times{make([]time.Duration, len(queries)), make([]time.Duration, len(queries))}
	for range 2 {
		for i, q := range queries {
			o := Options{Kinds: []string{"case"}, Limit: 10, Room: q.Room, Since: q.Since, Symptom: q.About}
			begin, worked := time.Now(), threadTime()
			if _, err := x.Search(q.Text(), o); err != nil {
				b.Fatal(err)
			}
			t.clock[i], t.worked[i] = time.Since(begin), threadTime()-worked
		}
	}
	return t
}

// reportTimes prints median, 95th and 99th percentile, in all and by kind.
func reportTimes(b *testing.B, who string, queries []synthetic.Query, t times) {
	byKind := map[string][]time.Duration{}
	for i, q := range queries {
		byKind[q.Kind] = append(byKind[q.Kind], t.clock[i])
	}
	tell("%-10s %-10s %s", who, "all", percentiles(t.clock))
	tell("%-10s %-10s %s", who, "processor", percentiles(t.worked))
	for _, kind := range sortedKeys(byKind) {
		tell("%-10s %-10s %s", who, kind, percentiles(byKind[kind]))
	}
	b.ReportMetric(ms(percentile(t.clock, 50)), who+"-ms-p50")
	b.ReportMetric(ms(percentile(t.clock, 99)), who+"-ms-p99")
}

func percentiles(times []time.Duration) string {
	return fmt.Sprintf("median %8.2f ms, 95 %% %8.2f ms, 99 %% %8.2f ms, worst %8.2f ms",
		ms(percentile(times, 50)), ms(percentile(times, 95)), ms(percentile(times, 99)), ms(slices.Max(times)))
}

func percentile(times []time.Duration, p int) time.Duration {
	sorted := slices.Sorted(slices.Values(times))
	return sorted[min(len(sorted)*p/100, len(sorted)-1)]
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

// measureAdding writes further calls one by one, each flushed to disk as a
// record before it is put into the index, and finds each at once.
func measureAdding(b *testing.B, x *Index, queries []synthetic.Query) {
	const adds = 10000
	more := synthetic.New(builtin(), 2, adds)
	store := newFlushedStore(b)
	var times []time.Duration
	for i := range adds {
		c := more.Case(i)
		d := CaseDocument(builtin(), c)
		d.Notes += fmt.Sprintf(". tag%dx", i)
		begin := time.Now()
		store(c)
		if err := x.Add(CaseRef{c.ID, "1"}, d); err != nil {
			b.Fatal(err)
		}
		res, err := x.Search(fmt.Sprintf("tag%dx", i), Options{Kinds: []string{"case"}, Limit: 10})
		times = append(times, time.Since(begin))
		if err != nil || len(res.Hits) == 0 || res.Hits[0].ID != c.ID {
			b.Fatalf("%s is not found: %v %v", c.ID, res, err)
		}
	}
	tell("add, flush and find: first 1000 %s", percentiles(times[:1000]))
	tell("add, flush and find: last 1000  %s", percentiles(times[adds-1000:]))
	own := timesOf(b, x, queries)
	tell("asked with %d added, processor %s", adds, percentiles(own.worked))
	b.ReportMetric(ms(percentile(times, 50)), "add-ms-p50")
	b.ReportMetric(ms(percentile(times, 99)), "add-ms-p99")
}
