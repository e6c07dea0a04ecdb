package index

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"faultbook/kb/cases"
	"faultbook/testdata/synthetic"
)

// The peer is SQLite's full-text index FTS5 (Debian package sqlite3) with the
// porter tokenizer and bm25, over the same fields with the same boosts. One
// process reads the table and all queries, asks each twice and tells the time of
// the second, so its start does not count. A query means the same to both: any of
// the words, the best ten. FTS5 knows no misspellings: a misspelt word finds it
// nothing, which costs it nothing. What it takes where all words are asked for,
// its own default, is printed beside.

// newFlushedStore gives a function that writes a case file, flushed, as the
// program does.
func newFlushedStore(b *testing.B) func(c *cases.Case) {
	dir := b.TempDir()
	return func(c *cases.Case) {
		var buf bytes.Buffer
		enc := json.NewEncoder(&buf)
		enc.Encode(c.Header)
		for _, e := range c.Events {
			enc.Encode(e)
		}
		if err := cases.WriteFile(filepath.Join(dir, c.ID+".jsonl"), buf.Bytes(), true); err != nil {
			b.Fatal(err)
		}
	}
}

func comparePeer(b *testing.B, dir string, c *corpus, queries []synthetic.Query, own times) {
	if _, err := exec.LookPath("sqlite3"); err != nil {
		tell("sqlite3 is not installed: no peer")
		return
	}
	db := filepath.Join(dir, "peer.db")
	begin := time.Now()
	sqlite(b, db, peerTable(c))
	took := time.Since(begin)
	info, err := os.Stat(db)
	if err != nil {
		b.Fatal(err)
	}
	tell("FTS5 built in %v, %.0f records/s, %.1f MB", took.Round(time.Millisecond), float64(c.n)/took.Seconds(), mega(int(info.Size())))
	any := peerTimes(b, db, queries, " OR ")
	reportTimes(b, "FTS5", queries, any)
	tell("%-10s %-10s %s", "FTS5", "all words", percentiles(peerTimes(b, db, queries, " ").clock))
	for _, of := range []struct {
		name     string
		own, any []time.Duration
	}{{"the clock", own.clock, any.clock}, {"processor time", own.worked, any.worked}} {
		tell("by %s faultbook takes %.3f of what FTS5 takes at the median, %.3f at the 99th percentile", of.name,
			ms(percentile(of.own, 50))/ms(percentile(of.any, 50)), ms(percentile(of.own, 99))/ms(percentile(of.any, 99)))
	}
	if err := os.Remove(db); err != nil {
		b.Fatal(err)
	}
}

func sqlite(b *testing.B, db string, script io.Reader) string {
	cmd := exec.Command("sqlite3", db)
	cmd.Stdin = io.MultiReader(strings.NewReader("PRAGMA cache_size=-200000; PRAGMA mmap_size=2000000000; PRAGMA synchronous=OFF;\n"), script)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil || errs.Len() > 0 {
		b.Fatalf("sqlite3: %v %s", err, errs.String())
	}
	return string(out)
}

// peerTable writes the statements that make the table, as they are read.
func peerTable(c *corpus) io.Reader {
	out, in := io.Pipe()
	go func() {
		w := bufio.NewWriterSize(in, 1<<20)
		w.WriteString("CREATE VIRTUAL TABLE calls USING fts5(id UNINDEXED, room UNINDEXED, day UNINDEXED, about UNINDEXED, title, words, tells, why, remedy, notes, tokenize='porter');\nBEGIN;\n")
		for i := range c.n {
			d := c.doc(i)
			w.WriteString("INSERT INTO calls VALUES(")
			for k, v := range []string{d.ID, d.Room, d.When, " " + strings.Join(d.Symptoms, " ") + " ", d.Title, d.Words, d.Tells, d.Why, d.Remedy, d.Notes} {
				if k > 0 {
					w.WriteByte(',')
				}
				w.WriteString("'" + strings.ReplaceAll(v, "'", "''") + "'")
			}
			w.WriteString(");\n")
		}
		w.WriteString("COMMIT;\nINSERT INTO calls(calls) VALUES('optimize');\n")
		in.CloseWithError(w.Flush())
	}()
	return out
}

// peerQuery writes a query for FTS5.
func peerQuery(q synthetic.Query, between string) string {
	parts := append([]string(nil), q.Words...)
	if q.Prefix != "" {
		parts = append(parts, q.Prefix+"*")
	}
	if q.Field != "" {
		parts = append(parts, q.Field+":"+q.InIt)
	}
	if len(q.Phrase) > 0 {
		parts = append(parts, `"`+strings.Join(q.Phrase, " ")+`"`)
	}
	where := ""
	switch {
	case q.Room != "":
		where = fmt.Sprintf(" AND room = '%s'", q.Room)
	case q.Since != "":
		where = fmt.Sprintf(" AND day >= '%s'", q.Since)
	case q.About != "":
		where = fmt.Sprintf(" AND about LIKE '%% %s %%'", q.About)
	}
	return fmt.Sprintf("SELECT id, title FROM calls WHERE calls MATCH '%s'%s AND rank MATCH 'bm25(0,0,0,0,4,2.5,2,1,1,0.5)' ORDER BY rank LIMIT 10;\n", strings.Join(parts, between), where)
}

var peerTime = regexp.MustCompile(`Run Time: real ([0-9.]+) user ([0-9.]+) sys ([0-9.]+)`)

func peerTimes(b *testing.B, db string, queries []synthetic.Query, between string) times {
	var s strings.Builder
	for _, q := range queries {
		s.WriteString(".timer off\n" + peerQuery(q, between) + ".timer on\n" + peerQuery(q, between))
	}
	found := peerTime.FindAllStringSubmatch(sqlite(b, db, strings.NewReader(s.String())), -1)
	if len(found) != len(queries) {
		b.Fatalf("sqlite3 told %d times of %d", len(found), len(queries))
	}
	var t times
	for _, f := range found {
		var v [3]time.Duration
		for k := range v {
			seconds, err := strconv.ParseFloat(f[k+1], 64)
			if err != nil {
				b.Fatal(err)
			}
			v[k] = time.Duration(seconds * float64(time.Second))
		}
		t.clock, t.worked = append(t.clock, v[0]), append(t.worked, v[1]+v[2])
	}
	return t
}
