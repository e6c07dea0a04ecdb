package main

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"faultbook/kb/cases"
)

// lasting is a context that ends when it has been asked some times.
type lasting struct {
	context.Context
	left int
}

func (l *lasting) Err() error {
	if l.left--; l.left < 0 {
		return context.Canceled
	}
	return nil
}

// TestImportBrokenOff breaks an import off in its middle: it says how far it
// came, and the next import completes it.
func TestImportBrokenOff(t *testing.T) {
	const all = 60
	theirs := casesHome(t)
	newSynth(t, 3).write(t, theirs, all)
	archive := filepath.Join(t.TempDir(), "calls.tgz")
	typed(t, 0, "", "export", archive)

	ours := casesHome(t)
	var out, errs bytes.Buffer
	s := streams{In: strings.NewReader(""), Out: &out, Err: &errs, Halt: func() (context.Context, func()) {
		return &lasting{context.Background(), all / 2}, func() {}
	}}
	if code := run([]string{"import", archive}, s); code != exitInterrupted {
		t.Fatalf("status %d: %s", code, &errs)
	}
	done := 0
	if _, err := fmt.Sscanf(strings.TrimPrefix(errs.String(), "faultbook: "+archive+": "), "broken off after %d records; what is there is whole, import it again to go on", &done); err != nil || done < 1 || done >= all {
		t.Errorf("%d records, %v: says %q", done, err, &errs)
	}
	if ids, err := cases.NewStore(ours, nil).IDs(); err != nil || len(ids) != done {
		t.Errorf("%d cases are there, %d are told: %v", len(ids), done, err)
	}
	typed(t, 0, "", "import", archive)
	ids, err := cases.NewStore(ours, nil).IDs()
	if err != nil || len(ids) != all {
		t.Errorf("%d cases after the second import, want %d: %v", len(ids), all, err)
	}
	for _, id := range ids {
		if _, err := cases.NewStore(ours, nil).Load(id); err != nil {
			t.Error(err)
		}
	}
}

// TestBreakOff: the first signal goes to the command that took it, no other does.
func TestBreakOff(t *testing.T) {
	var b breakOff
	if b.signalled() {
		t.Error("a signal was taken by nobody")
	}
	ctx, back := b.take()
	if ctx.Err() != nil || !b.signalled() || ctx.Err() == nil {
		t.Error("the first signal does not end the work")
	}
	if b.signalled() {
		t.Error("the second signal does not end the program")
	}
	back()
	_, back = b.take()
	back()
	if b.signalled() {
		t.Error("a signal was taken by work that is over")
	}
}
