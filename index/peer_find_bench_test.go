package index

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"faultbook/testdata/synthetic"
)

// BenchmarkPeerFind asks 10,000 made-up calls what people type, and the same of
// SQLite's FTS5 (any of the words, the best ten) and of ripgrep over a text file
// for each call (all files with any of the words, not ranked, its start
// included). The figures are medians by the clock.
func BenchmarkPeerFind(b *testing.B) {
	const calls, asked, searched = 10000, 200, 20
	for _, tool := range []string{"sqlite3", "rg"} {
		if _, err := exec.LookPath(tool); err != nil {
			b.Skipf("%s is not installed: no peer", tool)
		}
	}
	c := newCorpus(calls)
	src, _ := c.source()
	queries := c.g.Queries(asked)
	dir := b.TempDir()
	cache, db, texts := filepath.Join(dir, "cache"), filepath.Join(dir, "peer.db"), filepath.Join(dir, "texts")
	if _, err := Rebuild(context.Background(), cache, src); err != nil {
		b.Fatal(err)
	}
	sqlite(b, db, peerTable(c))
	writeTexts(b, texts, c)
	x, err := Open(cache, src)
	if err != nil {
		b.Fatal(err)
	}
	defer x.Close()
	for b.Loop() {
		b.ReportMetric(ms(percentile(timesOf(b, x, queries).clock, 50)), "ms")
		b.ReportMetric(ms(percentile(peerTimes(b, db, queries, " OR ").clock, 50)), "fts5-ms")
		b.ReportMetric(ms(percentile(grepTimes(b, texts, queries[:searched]), 50)), "ripgrep-ms")
	}
}

// writeTexts writes each call as a text file.
func writeTexts(b *testing.B, dir string, c *corpus) {
	if err := os.Mkdir(dir, 0o755); err != nil {
		b.Fatal(err)
	}
	for i := range c.n {
		var text strings.Builder
		for _, f := range c.doc(i).texts() {
			text.WriteString(f.text + "\n")
		}
		if err := os.WriteFile(filepath.Join(dir, c.doc(i).ID+".txt"), []byte(text.String()), 0o644); err != nil {
			b.Fatal(err)
		}
	}
}

// grepTimes looks for any of the words of each query, twice; the second counts.
func grepTimes(b *testing.B, dir string, queries []synthetic.Query) []time.Duration {
	var list []time.Duration
	for _, q := range queries {
		args := []string{"--ignore-case", "--files-with-matches", "--fixed-strings"}
		for _, w := range strings.Fields(q.Text()) {
			args = append(args, "-e", strings.Trim(w, `"*`))
		}
		var took time.Duration
		for range 2 {
			begin := time.Now()
			err := exec.Command("rg", append(args, dir)...).Run()
			took = time.Since(begin)
			var status *exec.ExitError
			if err != nil && (!errors.As(err, &status) || status.ExitCode() != 1) { // 1: nothing found
				b.Fatal(err)
			}
		}
		list = append(list, took)
	}
	return list
}
