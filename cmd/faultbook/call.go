package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"sync"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/spf13/cobra"
)

// callOptions are the flags of call.
type callOptions struct {
	json   bool
	script string
	resume bool
	who    string
	byBook bool
	room   string
}

func newCallCommand(s streams) *cobra.Command {
	var o callOptions
	cmd := &cobra.Command{
		Use:   "call [WORDS…]",
		Short: "Take a call: from the caller's first words to the ticket",
		Long: `Call takes one call. Type the caller's words, answer by single keys, read out
what the screen says; the next step is always there. The case is saved after
every key, so leaving or a power cut loses nothing.

With --json one object a line is read and one is written for each; the first
comes at once; {"room":"ID"} sets the room, "room" in the state is what its
sheet means. With --script a call is played from a file and the transcript
printed. With --resume the last open case goes on, or the one that is named.

Exit status 0: done or left, 1: a script ended otherwise than it expects,
2: wrong use or unreadable input, 130: interrupted (the case is saved).`,
		Example: `  faultbook call "the screen is black and there is no light on it"
  faultbook call --technician --json "only 30 Hz on the big display"
  faultbook call --resume`,
		RunE: func(_ *cobra.Command, args []string) error { return runCall(s, o, args) },
	}
	f := cmd.Flags()
	f.BoolVar(&o.json, "json", false, "JSON lines on standard input and output")
	f.StringVar(&o.script, "script", "", "play the call in `FILE` (- for standard input) and print the transcript")
	f.BoolVar(&o.resume, "resume", false, "go on with the last open case, or with the id or file given as argument")
	f.BoolVar(&o.byBook, "book-only", false, "go by the book alone, not by what closed calls taught")
	f.StringVar(&o.room, "room", "", "the `room` of the caller, by id or name: its sheet is used")
	technician := f.Bool("technician", false, "a technician is on the line, on site")
	cmd.PreRun = func(*cobra.Command, []string) {
		if *technician {
			o.who = string(kb.WhoTechnician)
		}
	}
	return cmd
}

// hasty is how far the heap grows, in per cent, before it is tidied, until the
// first question is on the screen.
const hasty = 800

func runCall(s streams, o callOptions, args []string) error {
	if o.script != "" {
		if o.json || o.resume || len(args) > 0 {
			return wrongUse("--script plays a file of its own: leave --json, --resume and words out")
		}
		return runScript(s, o.script)
	}
	// Until the first question is there the memory is not tidied: the caller
	// waits, and what is read for a call lives as long as the call.
	tidy := debug.SetGCPercent(hasty)
	desk, err := openDesk(s, time.Now)
	if err != nil {
		return err
	}
	desk.Begun = func() {
		debug.SetGCPercent(tidy)
		refreshIndex(s, desk.Book, desk.Store)
		refreshCounts(s, desk)
	}
	desk.Similar = similar(s, desk.Book)
	desk.Counts = learntCounts(s, desk.Store, o.byBook)
	if desk.Counts != nil {
		desk.RoomCounts = roomCounts(s, desk)
	}
	if o.resume {
		return resumeCall(s, o, desk, args)
	}
	if _, isTerminal := terminalOf(s.In); !isTerminal && !o.json {
		return wrongUse("call asks at a terminal; without one use --json for JSON lines or --script FILE")
	}
	words := strings.Join(args, " ")
	if !o.json && words == "" {
		fmt.Fprintln(s.Out, "  What does the caller say? Type their words, then Enter.")
		if words, err = newKeyboard(s).Line("  > "); err != nil {
			return leave(s, nil, err)
		}
	}
	c, err := call.New(desk, words, o.who)
	if err != nil {
		return wrongUse("open a case: %w", err)
	}
	defer countCalls(desk)
	if o.room != "" {
		if _, err := c.Do(call.In{Room: o.room}); err != nil {
			return wrongUse("%w", err)
		}
	}
	return takeCall(s, o, c)
}

// openDesk gathers what a call needs.
func openDesk(s streams, now func() time.Time) (*call.Desk, error) {
	book, err := openBook(s)
	if err != nil {
		return nil, err
	}
	dir, err := home()
	if err != nil {
		return nil, err
	}
	return &call.Desk{Book: book, Store: cases.NewStore(filepath.Join(dir, "cases"), now),
		Listen: listener(book), Rooms: roomsOf(s, roomFolder), Library: libraryOf(s, filepath.Join(dir, "rooms"))}, nil
}

// listener hears what callers say. Making ready for that begins at once and
// beside the rest: the case file is written meanwhile.
func listener(book *kb.Book) func(words string) index.Heard {
	ready := sync.OnceValue(func() *index.Opening { return index.NewOpening(book) })
	go ready()
	return func(words string) index.Heard { return ready().Read(words) }
}

func resumeCall(s streams, o callOptions, desk *call.Desk, args []string) error {
	file, err := findCase(desk.Store, args)
	if err != nil {
		return wrongUse("%w", err)
	}
	defer countCalls(desk)
	return takeCall(s, o, call.Resume(desk, file))
}

// findCase gives the case that is named by id or file, or the last open one.
func findCase(store *cases.Store, args []string) (*cases.Case, error) {
	if len(args) > 1 {
		return nil, errors.New("--resume takes one id or file")
	}
	if len(args) == 1 {
		if _, err := os.Stat(args[0]); err == nil {
			return store.Adopt(args[0])
		}
		return store.Load(args[0])
	}
	file, err := store.Last()
	if err == nil && file == nil {
		err = fmt.Errorf("there is no open case in %s", store.Dir())
	}
	return file, err
}

func takeCall(s streams, o callOptions, c *call.Call) error {
	if o.json {
		return call.Lines(c, s.In, s.Out)
	}
	out, err := c.Out()
	if err != nil {
		return err
	}
	keys := newKeyboard(s)
	screen := &call.Screen{Out: s.Out, Width: width(s.Out), Colour: colour(s.Out), Keys: true}
	screen.Heard(out)
	t := call.Terminal{Call: c, Screen: screen, Keys: keys}
	out, err = t.Run(out)
	if err != nil || out.Step.Kind != call.StepDone {
		return leave(s, c, err)
	}
	return nil
}

// leave says where the case lies when a call is broken off.
func leave(s streams, c *call.Call, err error) error {
	if c != nil {
		fmt.Fprintf(s.Err, "Saved. `faultbook call --resume %s` goes on.\n", c.ID())
	}
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

// runScript plays a call in a folder of its own that is thrown away, with a
// clock that goes on only by the minutes of the steps, so that a script gives
// the same transcript always.
func runScript(s streams, path string) error {
	script, err := openScript(s, path)
	if err != nil {
		return wrongUse("%w", err)
	}
	dir, err := os.MkdirTemp("", "faultbook-script-*")
	if err != nil {
		return fmt.Errorf("make a folder for the script's case: %w", err)
	}
	defer os.RemoveAll(dir)
	at := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	desk, err := openDesk(s, func() time.Time { return at })
	if err != nil {
		return err
	}
	if folder := script.RoomFolder(); folder != "" {
		desk.Rooms, desk.Library = roomsOf(s, func() (string, error) { return folder, nil }), libraryOf(s, folder)
	}
	desk.Store = cases.NewStore(dir, func() time.Time { return at }).WithSuffix(func() string { return "script" })
	screen := &call.Screen{Out: s.Out, Width: 80}
	screen.Text("The caller says", script.Say)
	c, err := call.New(desk, script.Say, script.Who)
	if err != nil {
		return err
	}
	first, err := c.Out()
	if err != nil {
		return err
	}
	screen.Heard(first)
	err = call.Play(c, script, screen, func(minutes float64) { at = at.Add(time.Duration(minutes * float64(time.Minute))) })
	if err != nil {
		return failed("%s: %w", path, err)
	}
	return nil
}

func openScript(s streams, path string) (*call.Script, error) {
	if path == "-" {
		return call.ReadScript(s.In, "standard input")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("open the script: %w", err)
	}
	defer f.Close()
	return call.ReadScript(f, path)
}
