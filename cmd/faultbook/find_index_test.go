package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestFindPages(t *testing.T) {
	ownFolders(t)
	ids := func(args ...string) (list []string) {
		t.Helper()
		out, _, err := find(t, append(args, "--json", "--", "picture", "flickers")...)
		if err != nil {
			t.Fatal(err)
		}
		var hits []foundHit
		if err := json.Unmarshal([]byte(out), &hits); err != nil {
			t.Fatal(err)
		}
		for _, h := range hits {
			list = append(list, h.ID)
		}
		return list
	}
	all := strings.Join(ids("--limit", "15"), " ")
	var pages []string
	for _, page := range []string{"1", "2", "3"} {
		pages = append(pages, ids("--limit", "5", "--page", page)...)
	}
	if got := strings.Join(pages, " "); got != all {
		t.Errorf("three pages: %s\nat once: %s", got, all)
	}
	out, _, err := find(t, "--limit", "5", "--page", "2", "--", "picture", "flickers")
	if err != nil || !strings.Contains(out, "--page 3 shows the next") {
		t.Errorf("%v\n%s", err, out)
	}
	if out, _, err = find(t, "--page", "400", "--", "lens", "cap"); err != nil || !strings.Contains(out, "Nothing on page 400: there are ") {
		t.Errorf("%v\n%s", err, out)
	}
}

// TestFindRebuild builds the index anew, with and without words, and leaves the
// old one where the new one cannot be made.
func TestFindRebuild(t *testing.T) {
	cache := ownFolders(t)
	before, _, err := find(t, "--json", "--", "lens", "cap")
	if err != nil {
		t.Fatal(err)
	}
	if out, errs, err := find(t, "--rebuild"); err != nil || out != "" || !strings.Contains(errs, "built anew with 0 calls in ") {
		t.Errorf("%v %q %q", err, out, errs)
	}
	if out, _, err := find(t, "--rebuild", "--json", "--", "lens", "cap"); err != nil || out != before {
		t.Errorf("%v, other hits after a rebuild: %s", err, out)
	}
	if err := os.RemoveAll(cache); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(cache, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, err := find(t, "--rebuild"); err == nil || !strings.Contains(err.Error(), "rebuild the search index in "+cache) {
		t.Errorf("a cache that cannot be written: %v", err)
	}
}

// TestProgressBar: a short work shows nothing, a long one records, rate and time
// left, in lines where it is no terminal.
func TestProgressBar(t *testing.T) {
	var errs bytes.Buffer
	at := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	b := newProgressBar(streams{Err: &errs}, "search index", "calls")
	b.begin, b.last, b.now = at, at, func() time.Time { return at }
	for i := range 100 {
		at = at.Add(4 * time.Millisecond)
		b.show(i, 100)
	}
	if errs.Len() > 0 {
		t.Errorf("a short work says %q", errs.String())
	}
	at = b.begin.Add(5 * time.Second)
	b.show(50000, 100000)
	b.show(50001, 100000)
	b.end()
	want := "faultbook: search index [##########----------] 50000 of 100000 calls, 10000 a second, 5s left\n"
	if errs.String() != want {
		t.Errorf("got %q, want %q", errs.String(), want)
	}
	if got := b.line(999, 100000, time.Second); got != "search index [--------------------] 999 of 100000 calls, 999 a second" {
		t.Errorf("before 1 %% is done: %q", got)
	}
	errs.Reset()
	b.terminal = true
	at = at.Add(time.Second)
	b.show(60000, 100000)
	b.end()
	if got := errs.String(); !strings.HasPrefix(got, "\rsearch index [############--------] 60000 of") || !strings.HasSuffix(got, "\r\x1b[K") {
		t.Errorf("on a terminal: %q", got)
	}
}

// TestFindSweepsUp: what a build that was killed left behind is gone after the
// next search.
func TestFindSweepsUp(t *testing.T) {
	cache := ownFolders(t)
	left := filepath.Join(cache, "new-999999999-1")
	if err := os.MkdirAll(filepath.Join(left, "book"), 0o700); err != nil {
		t.Fatal(err)
	}
	if _, _, err := find(t, "--", "lens", "cap"); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(left); !os.IsNotExist(err) {
		t.Errorf("%s is still there: %v", left, err)
	}
}
