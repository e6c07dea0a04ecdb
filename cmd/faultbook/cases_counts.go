package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// bookOnly is the variable that, set to anything, makes calls go by the book
// alone, as --book-only does for one.
const bookOnly = "FAULTBOOK_BOOK_ONLY"

// learntCounts gives what a call learns from closed cases: the counts as the
// last command that looked at the cases left them. It reads one small file. It
// is nil where a call goes by the book alone or there is nothing to learn from.
func learntCounts(s streams, store *cases.Store, off bool) func(symptom, cause string) float64 {
	if off || os.Getenv(bookOnly) != "" {
		return nil
	}
	folder, err := cacheFolder()
	if err != nil {
		return nil
	}
	counts, err := cases.ReadCounts(folder, store)
	if err != nil {
		fmt.Fprintf(s.Err, "faultbook: this call goes by the book alone: %v\n", err)
	}
	if len(counts) == 0 {
		return nil
	}
	return counts.Of
}

// openLedger gives the records of all cases. Notes on the cache go to the
// standard error; without a cache folder the records are made each time.
func openLedger(s streams, desk *call.Desk) *cases.Ledger {
	folder, err := cacheFolder()
	if err != nil {
		fmt.Fprintf(s.Err, "faultbook: %v: the records of past calls are made each time\n", err)
		folder = ""
	}
	return ledgerIn(folder, desk)
}

func ledgerIn(folder string, desk *call.Desk) *cases.Ledger {
	return cases.NewLedger(folder, desk.Store, bookKey(desk.Book), call.NewJudge(desk).Record)
}

// judgeFormat is counted up whenever call.Judge judges otherwise.
const judgeFormat = "judge 1"

// bookKey names what a judgement rests on: symptoms, causes, questions and
// remedies of the book.
func bookKey(b *kb.Book) string {
	h := sha256.New()
	fmt.Fprintln(h, judgeFormat)
	enc := json.NewEncoder(h)
	for _, part := range []any{kb.All[kb.Symptom](b), kb.All[kb.Cause](b), kb.All[kb.Question](b), kb.All[kb.Remedy](b)} {
		if err := enc.Encode(part); err != nil {
			return "" // entries always marshal; a key that never changes is merely late
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:12])
}

// refreshCounts brings the records and counts up to date beside a call that
// waits for its agent. If the program ends before, nothing is lost.
func refreshCounts(s streams, desk *call.Desk) {
	s.beside(func() {
		if folder, err := cacheFolder(); err == nil {
			ledgerIn(folder, desk).Refresh(0)
		}
	})
}

// fewCases is how many waiting cases are read at the end of a command; more,
// as in a first build, are left to the background of the next call.
const fewCases = 200

// countCalls takes the case that has just been written into the counts, so
// that the next call knows of it. It costs as much as the calls of its year;
// where it fails the next command that lists cases does it.
func countCalls(desk *call.Desk) {
	if folder, err := cacheFolder(); err == nil {
		ledgerIn(folder, desk).Refresh(fewCases)
	}
}

// namedErrors is how many unreadable cases are named one by one.
const namedErrors = 10

// allRecords gives the records of all cases. Cases that cannot be read are
// named and left out; unread is their number.
func allRecords(s streams, desk *call.Desk) (list []cases.Record, unread int) {
	list, errs := openLedger(s, desk).Records()
	saidNotKept := false
	for _, err := range errs {
		if errors.Is(err, cases.ErrNotKept) {
			if saidNotKept {
				continue
			}
			saidNotKept = true
		} else if unread++; unread > namedErrors {
			continue
		}
		fmt.Fprintf(s.Err, "faultbook: %v\n", err)
	}
	if unread > namedErrors {
		fmt.Fprintf(s.Err, "faultbook: and %d more\n", unread-namedErrors)
	}
	if unread > 0 {
		fmt.Fprintf(s.Err, "faultbook: %d case files or folders of them cannot be used and are left out; the rest is used\n", unread)
	}
	return list, unread
}

// parseDay reads a day; the zero time for none.
func parseDay(text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return time.Time{}, wrongUse("--since %q: write the day as 2026-11-25", text)
	}
	return day, nil
}

// dropIndex deletes the search indexes in the cache, so that nothing of what
// was removed from a case stays in them; the next search builds one.
func dropIndex() error {
	folder, err := cacheFolder()
	if err != nil {
		return nil // nothing can lie there
	}
	for _, pattern := range []string{"index-*", "new-*", "old-*"} {
		list, err := filepath.Glob(filepath.Join(folder, pattern))
		if err != nil {
			return fmt.Errorf("look for search indexes: %w", err)
		}
		for _, path := range list {
			if err := os.RemoveAll(path); err != nil {
				return fmt.Errorf("delete the old search index: %w; delete %s yourself", err, path)
			}
		}
	}
	return nil
}
