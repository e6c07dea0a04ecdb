package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/cases"
)

// BenchmarkManyCases measures what depends on the number of cases, and that
// what a call begins with does not. FAULTBOOK_BENCH_CASES sets the number,
// 1,000 without it; 100,000 make the files for some minutes.
func BenchmarkManyCases(b *testing.B) {
	n := 1000
	if text := os.Getenv("FAULTBOOK_BENCH_CASES"); text != "" {
		var err error
		if n, err = strconv.Atoi(text); err != nil {
			b.Fatal(err)
		}
	}
	dir := b.TempDir()
	b.Setenv("FAULTBOOK_HOME", filepath.Join(dir, "home"))
	b.Setenv("XDG_CACHE_HOME", filepath.Join(dir, "cache"))
	newSynth(b, 1).write(b, filepath.Join(dir, "home", "cases"), n)
	var out, errs bytes.Buffer
	s := streams{In: bytes.NewReader(nil), Out: &out, Err: &errs}
	desk, err := openDesk(s, time.Now)
	if err != nil {
		b.Fatal(err)
	}
	begin := time.Now()
	list, _ := allRecords(s, desk)
	b.Logf("%d cases, first build %v, %d records; notes: %s", n, time.Since(begin), len(list), errs.String())
	id := list[len(list)-1].ID
	begin = time.Now()
	call.Moves(desk, list, call.MovedCalls)
	b.Logf("replay of the newest %d: %v", min(len(list), call.MovedCalls), time.Since(begin))
	for _, part := range []struct {
		name string
		do   func()
	}{
		{"start-of-call", func() { learntCounts(s, desk.Store, false) }},
		{"nothing-new", func() { allRecords(s, desk) }},
		{"after-a-call", func() { countCalls(desk) }},
		{"after-a-change", func() {
			file, err := desk.Store.Load(id)
			if err == nil {
				err = desk.Store.Append(file, cases.Event{Note: "n"})
			}
			if err != nil {
				b.Fatal(err)
			}
			countCalls(desk)
		}},
		{"list", func() {
			if err := runCasesList(s, casesListOptions{limit: 20}); err != nil {
				b.Fatal(err)
			}
		}},
		{"learn", func() {
			if err := runLearn(s, learnOptions{}); err != nil {
				b.Fatal(err)
			}
		}},
		{"learn-rows", func() {
			if err := runLearn(s, learnOptions{rows: true}); err != nil {
				b.Fatal(err)
			}
		}},
		{"stats", func() {
			if err := runCasesStats(s, statsOptions{}, time.Now); err != nil {
				b.Fatal(err)
			}
		}},
	} {
		b.Run(part.name, func(b *testing.B) {
			for b.Loop() {
				part.do()
			}
		})
	}
}
