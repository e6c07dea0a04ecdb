package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"sync"

	"golang.org/x/term"
)

// streams are the three files that a command talks through.
type streams struct {
	In       io.Reader
	Out, Err io.Writer
	// Beside counts the work that a command leaves running beside its end,
	// for a test that takes its folders away; nil where nobody waits for it.
	Beside *sync.WaitGroup
	// Halt gives a context that ends when the program is told to stop, and what
	// gives it back; nil where nothing tells it.
	Halt func() (context.Context, func())
}

// halt is Halt, or a context that never ends.
func (s streams) halt() (ctx context.Context, back func()) {
	if s.Halt == nil {
		return context.Background(), func() {}
	}
	return s.Halt()
}

// beside does the work beside the rest of the command. The program may end
// before it does.
func (s streams) beside(work func()) {
	if s.Beside == nil {
		go work()
		return
	}
	s.Beside.Go(work)
}

// printJSON writes one document, indented, with a line feed.
func printJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("write JSON: %w", err)
	}
	return nil
}

// printLine writes one object on one line.
func printLine(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("write JSON line: %w", err)
	}
	return nil
}

// terminalOf gives the file behind a stream where it is a terminal.
func terminalOf(stream any) (*os.File, bool) {
	f, ok := stream.(*os.File)
	return f, ok && term.IsTerminal(int(f.Fd()))
}

// width is that of the terminal behind out, else 80 columns.
func width(out io.Writer) int {
	if f, ok := terminalOf(out); ok {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w >= 20 {
			return w
		}
	}
	return 80
}

// colour reports whether out may be coloured: a terminal that is not dumb and
// no NO_COLOR.
func colour(out io.Writer) bool {
	_, ok := terminalOf(out)
	return ok && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}
