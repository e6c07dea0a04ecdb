package main

import (
	"context"
	"fmt"
	"path/filepath"
	"time"

	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"

	"golang.org/x/term"
)

// openIndex opens the index of the book and the closed calls; where it has to be
// built first it shows how far that is.
func openIndex(s streams, book *kb.Book) (*index.Index, error) {
	src, err := indexSource(book)
	if err != nil {
		return nil, err
	}
	cache, err := cacheFolder()
	if err != nil {
		fmt.Fprintf(s.Err, "faultbook: %v: the search index is not kept\n", err)
		cache = ""
	}
	bar := newProgressBar(s, "search index", "calls")
	src.Progress = bar.show
	defer bar.end()
	return index.Open(cache, src)
}

func indexSource(book *kb.Book) (index.Source, error) {
	dir, err := home()
	if err != nil {
		return index.Source{}, err
	}
	return index.FromStore(book, cases.NewStore(filepath.Join(dir, "cases"), time.Now))
}

// rebuildIndex builds the index anew beside the one that is there. A signal ends
// the program at once, as everywhere: the unfinished index never bears a name
// that is opened, and the next search removes it.
func rebuildIndex(s streams, book *kb.Book) error {
	src, err := indexSource(book)
	if err != nil {
		return err
	}
	cache, err := cacheFolder()
	if err != nil {
		return failed("rebuild the search index: %w", err)
	}
	bar := newProgressBar(s, "search index", "calls")
	src.Progress = bar.show
	begin := time.Now()
	notes, err := index.Rebuild(context.Background(), cache, src)
	bar.end()
	for _, n := range notes {
		fmt.Fprintf(s.Err, "faultbook: %s\n", n)
	}
	if err != nil {
		return failed("rebuild the search index in %s: %w; the one that was there is as it was", cache, err)
	}
	fmt.Fprintf(s.Err, "faultbook: the search index is built anew with %s in %v\n", count(len(src.Cases), "call"), time.Since(begin).Round(100*time.Millisecond))
	return nil
}

// progressBar tells on standard error how far a long work is: records done, how
// many a second, and the time left. On a terminal it is one line that changes;
// elsewhere a line now and then.
type progressBar struct {
	streams
	what, unit  string // what is made, of what
	terminal    bool
	begin, last time.Time
	now         func() time.Time
	shown       bool
}

// A bar appears only when the work takes longer than a blink.
const (
	barAfter     = 500 * time.Millisecond
	barEvery     = 100 * time.Millisecond
	barLineEvery = 5 * time.Second
)

func newProgressBar(s streams, what, unit string) *progressBar {
	f, ok := s.Err.(interface{ Fd() uintptr })
	b := &progressBar{streams: s, what: what, unit: unit, terminal: ok && term.IsTerminal(int(f.Fd())), now: time.Now}
	b.begin = b.now()
	b.last = b.begin
	return b
}

// show tells that so many of all records are done.
func (b *progressBar) show(done, all int) {
	now := b.now()
	every := barLineEvery
	if b.terminal {
		every = barEvery
	}
	if now.Sub(b.begin) < barAfter || now.Sub(b.last) < every {
		return
	}
	b.last = now
	line := b.line(done, all, now.Sub(b.begin))
	if b.terminal {
		b.shown = true
		fmt.Fprintf(b.Err, "\r%s\x1b[K", line)
		return
	}
	fmt.Fprintf(b.Err, "faultbook: %s\n", line)
}

// end takes the line away.
func (b *progressBar) end() {
	if b.shown {
		fmt.Fprint(b.Err, "\r\x1b[K")
	}
}

// line words a state: a bar of 20 places, records, rate, and from 1 % on the time
// left.
func (b *progressBar) line(done, all int, spent time.Duration) string {
	const places = 20
	full := 0
	if all > 0 {
		full = places * done / all
	}
	rate := float64(done) / max(spent.Seconds(), 1e-3)
	left := time.Duration(float64(all-done) / max(rate, 1e-3) * float64(time.Second))
	bar := ""
	for i := range places {
		if i < full {
			bar += "#"
		} else {
			bar += "-"
		}
	}
	text := fmt.Sprintf("%s [%s] %d of %d %s, %.0f a second", b.what, bar, done, all, b.unit, rate)
	if 100*done < all {
		return text // too soon to tell
	}
	return fmt.Sprintf("%s, %v left", text, left.Round(time.Second))
}
