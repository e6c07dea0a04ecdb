package index

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
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

// scale measures one size, once however often it is called.
func scale(b *testing.B, n int) {
	g := synthetic.New(builtin(), 1, n)
	docs := syntheticDocuments(g, n)
	src := Source{Book: builtin()}
	text := 0
	by := make(map[string]*Document, n)
	for i := range docs {
		by[docs[i].ID] = &docs[i]
		src.Cases = append(src.Cases, CaseRef{docs[i].ID, "1"})
		for _, f := range docs[i].texts() {
			text += len(f.text)
		}
	}
	src.Load = func(id string) (*Document, error) { return by[id], nil }
	dir := b.TempDir()
	for b.Loop() {
		if err := os.RemoveAll(filepath.Join(dir, "cache")); err != nil {
			b.Fatal(err)
		}
		begin := time.Now()
		x, err := Open(filepath.Join(dir, "cache"), src)
		if err != nil {
			b.Fatal(err)
		}
		took := time.Since(begin)
		tell("%d calls, %.1f MB of text; built in %v, %.0f records/s; index %.2f times the text", n, mega(text), took.Round(time.Millisecond),
			float64(n)/took.Seconds(), float64(folderSize(b, dir))/float64(text))
		queries := g.Queries(500)
		own := timesOf(b, x, queries)
		reportTimes(b, "faultbook", queries, own)
		x.Close()
		begin = time.Now()
		if x, err = Open(filepath.Join(dir, "cache"), src); err != nil {
			b.Fatal(err)
		}
		tell("opened again and compared with the cases in %v", time.Since(begin).Round(time.Millisecond))
		measureAdding(b, x, g, n)
		x.Close()
		comparePeer(b, dir, docs, queries, own)
	}
}

// tell prints a line at once: a benchmark's own log is cut after ten.
func tell(format string, args ...any) { fmt.Printf("    "+format+"\n", args...) }

func mega(n int) float64 { return float64(n) / 1e6 }

func syntheticDocuments(g *synthetic.Generator, n int) []Document {
	docs := make([]Document, n)
	for i := range docs {
		docs[i] = *CaseDocument(builtin(), g.Case(i))
	}
	return docs
}

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

// timesOf asks all queries twice and gives the times of the second round.
func timesOf(b *testing.B, x *Index, queries []synthetic.Query) []time.Duration {
	times := make([]time.Duration, len(queries))
	for range 2 {
		for i, q := range queries {
			o := Options{Kinds: []string{"case"}, Limit: 10, Room: q.Room, Since: q.Since, Symptom: q.About}
			begin := time.Now()
			if _, err := x.Search(q.Text(), o); err != nil {
				b.Fatal(err)
			}
			times[i] = time.Since(begin)
		}
	}
	return times
}

// reportTimes prints median, 95th and 99th percentile, in all and by kind.
func reportTimes(b *testing.B, who string, queries []synthetic.Query, times []time.Duration) {
	byKind := map[string][]time.Duration{}
	for i, q := range queries {
		byKind[q.Kind] = append(byKind[q.Kind], times[i])
	}
	tell("%-12s %-9s %s", who, "all", percentiles(times))
	for _, kind := range sortedKeys(byKind) {
		tell("%-12s %-9s %s", who, kind, percentiles(byKind[kind]))
	}
	b.ReportMetric(ms(percentile(times, 50)), who+"-ms-p50")
	b.ReportMetric(ms(percentile(times, 99)), who+"-ms-p99")
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
func measureAdding(b *testing.B, x *Index, g *synthetic.Generator, n int) {
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
	own := timesOf(b, x, g.Queries(500))
	tell("asked with %d added     %s", adds, percentiles(own))
	b.ReportMetric(ms(percentile(times, 50)), "add-ms-p50")
	b.ReportMetric(ms(percentile(times, 99)), "add-ms-p99")
}
