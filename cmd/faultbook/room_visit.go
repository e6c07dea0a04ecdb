package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"time"

	"faultbook/cmd/faultbook/visit"
	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/exchange"
	"faultbook/kb/room"

	"github.com/spf13/cobra"
)

// visitOptions are the flags of room visit.
type visitOptions struct {
	results []string
	rest    string
	by      string
	day     string
	html    string
	json    bool
}

func newRoomVisitCommand(s streams) *cobra.Command {
	var o visitOptions
	cmd := &cobra.Command{
		Use:   "visit ROOM",
		Short: "The list of a verification visit for this room; keep what was found",
		Long: `Visit prints the list of a verification visit as it fits the room: what cannot be
there is left out, and the room's own figures and known weak spots stand beside
each line. With --by it keeps what was found, under visits in the data folder,
and says what changed since the last visit: give each result as --result
V-017=ok, --result "V-034=fault: hum on the left", and what is left with --rest.
At a terminal, --by alone asks line by line.

--html writes the report for paper; it is printed from a browser.`,
		Example: "  faultbook room visit bowline --html list.html\n  faultbook room visit bowline --by kl --result 'V-017=fault: 1080p only' --rest ok --html report.html",
		Args:    cobra.ExactArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return runRoomVisit(s, args[0], o) },
	}
	f := cmd.Flags()
	f.StringArrayVar(&o.results, "result", nil, "what was found: `ID=ok`, ID=not-done, or \"ID=fault: what was seen\"; can be repeated")
	f.StringVar(&o.rest, "rest", "", "what holds for the lines without a result: ok or not-done")
	f.StringVar(&o.by, "by", "", "your `initials`: keep what was found")
	f.StringVar(&o.day, "day", "", "the day of the visit, as 2026-04-02; today if empty")
	f.StringVar(&o.html, "html", "", "write the report for paper to `FILE` (- for standard output)")
	f.BoolVar(&o.json, "json", false, "print one JSON document")
	return cmd
}

func runRoomVisit(s streams, name string, o visitOptions) error {
	sheet, err := openSheet(s, name)
	if err != nil {
		return err
	}
	book, err := openBook(s)
	if err != nil {
		return err
	}
	report := room.Check(sheet)
	paper := &visit.Sheet{Room: sheet, Report: &report, Items: room.List(book, sheet, &report)}
	now, err := visitOf(s, sheet, paper.Items, o)
	if err != nil {
		return err
	}
	day := room.Day{Time: time.Now()}
	if now != nil {
		day = now.Day
	}
	if paper.Before, err = lastVisit(s, sheet.ID, day, now != nil); err != nil {
		return err
	}
	paper.Now, paper.Changes = now, room.Compare(paper.Before, now)
	if now != nil {
		if err := keepVisit(s, now); err != nil {
			return err
		}
	}
	return printVisit(s, paper, o)
}

func printVisit(s streams, paper *visit.Sheet, o visitOptions) error {
	switch {
	case o.html == "-":
		return paper.HTML(s.Out)
	case o.html != "":
		f, err := os.Create(o.html)
		if err != nil {
			return wrongUse("write the report: %w", err)
		}
		defer f.Close()
		if err := paper.HTML(f); err != nil {
			return err
		}
		fmt.Fprintf(s.Out, "Report written to %s: open it in a browser and print it.\n", o.html)
		return f.Close()
	case o.json:
		return printJSON(s.Out, struct {
			Room    string        `json:"room"`
			Items   []room.Item   `json:"items"`
			Now     *room.Visit   `json:"now"`
			Before  *room.Visit   `json:"before"`
			Changes []room.Change `json:"changes"`
		}{paper.Room.ID, paper.Items, paper.Now, paper.Before, paper.Changes})
	}
	return paper.Text(s.Out)
}

// visitOf makes the visit of the flags, or asks; nil where only the list is
// wanted.
func visitOf(s streams, sheet *room.Sheet, items []room.Item, o visitOptions) (*room.Visit, error) {
	if o.by == "" {
		if len(o.results) > 0 || o.rest != "" {
			return nil, wrongUse("results need --by with your initials")
		}
		return nil, nil
	}
	v := &room.Visit{Kind: "visit", Room: sheet.ID, By: o.by, Revision: sheet.Revision}
	if o.day == "" {
		o.day = time.Now().Format(time.DateOnly)
	}
	if err := v.Day.UnmarshalText([]byte(o.day)); err != nil {
		return nil, wrongUse("--day: %w", err)
	}
	given, err := resultsOf(items, o)
	if err != nil {
		return nil, err
	}
	if _, isTerminal := terminalOf(s.In); isTerminal && len(given) == 0 && o.rest == "" {
		return v, askVisit(s, v, items)
	}
	for _, it := range items {
		r, ok := given[it.ID]
		if !ok {
			r = room.Result{ID: it.ID, Result: o.rest}
			if o.rest == "" {
				r.Result = room.VisitNotDone
			}
		}
		v.Results = append(v.Results, r)
	}
	return v, nil
}

// resultsOf reads the results of the flags.
func resultsOf(items []room.Item, o visitOptions) (map[string]room.Result, error) {
	known := []string{room.VisitOK, room.VisitFault, room.VisitNotDone}
	if o.rest != "" && !slices.Contains(known, o.rest) {
		return nil, wrongUse("--rest %q: write ok or not-done", o.rest)
	}
	given := map[string]room.Result{}
	for _, text := range o.results {
		id, rest, _ := strings.Cut(text, "=")
		result, note, _ := strings.Cut(rest, ":")
		r := room.Result{ID: strings.ToUpper(strings.TrimSpace(id)), Result: strings.TrimSpace(result), Note: strings.TrimSpace(note)}
		if !slices.Contains(known, r.Result) {
			return nil, wrongUse("--result %q: write V-017=ok, V-017=not-done or \"V-017=fault: what was seen\"", text)
		}
		if !slices.ContainsFunc(items, func(it room.Item) bool { return it.ID == r.ID }) {
			return nil, wrongUse("--result %q: the list of this room has no line %s", text, r.ID)
		}
		given[r.ID] = r
	}
	return given, nil
}

// askVisit asks line by line at a terminal.
func askVisit(s streams, v *room.Visit, items []room.Item) error {
	keys := newKeyboard(s)
	for i, it := range items {
		fmt.Fprintf(s.Out, "\n%d of %d  %s  %s (%s)\n", i+1, len(items), it.ID, it.Must, it.How)
		for _, x := range append(append([]string{}, it.Expect...), it.Weak...) {
			fmt.Fprintf(s.Out, "    %s\n", x)
		}
		line, err := keys.Line("  Enter ok, n not done, or what is wrong: ")
		if err != nil {
			return err
		}
		r := room.Result{ID: it.ID, Result: room.VisitOK}
		switch line = strings.TrimSpace(line); line {
		case "", "ok":
		case "n":
			r.Result = room.VisitNotDone
		default:
			r.Result, r.Note = room.VisitFault, line
		}
		v.Results = append(v.Results, r)
	}
	return nil
}

func visitFolder(id string) (string, error) {
	dir, err := home()
	if err != nil {
		return "", err
	}
	return filepath.Join(dir, "visits", id), nil
}

// lastVisit is the newest visit before a day, of that day too where only the
// list is wanted; nil where there is none.
func lastVisit(s streams, id string, day room.Day, before bool) (*room.Visit, error) {
	dir, err := visitFolder(id)
	if err != nil {
		return nil, err
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil {
		return nil, fmt.Errorf("look for visits: %w", err)
	}
	sort.Sort(sort.Reverse(sort.StringSlice(files)))
	for _, path := range files {
		data, err := cases.ReadPlain(path)
		if err != nil {
			return nil, fmt.Errorf("read the last visit: %w", err)
		}
		v, findings := room.ParseVisit(data, path)
		if kb.CountErrors(findings) > 0 {
			fmt.Fprintf(s.Err, "%s\n", findings[0])
			continue
		}
		if v.Day.Before(day.Time) || !before && !v.Day.After(day.Time) {
			return v, nil
		}
	}
	return nil, nil
}

// keepVisit writes the visit; one of the same day goes into the history.
func keepVisit(s streams, v *room.Visit) error {
	dir, err := visitFolder(v.Room)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("make the folder of visits: %w", err)
	}
	path := filepath.Join(dir, v.Day.String()+".yaml")
	if err := replaceVisit(v, path); err != nil {
		return err
	}
	data, err := v.Encode()
	if err != nil {
		return err
	}
	if err := cases.WriteFile(path, data, false); err != nil {
		return fmt.Errorf("keep the visit: %w", err)
	}
	fmt.Fprintf(s.Err, "Kept as %s\n", path)
	return nil
}

// replaceVisit keeps what was written down for that day before, and lets the new
// one count on from it. What killed programs left beside it goes.
func replaceVisit(v *room.Visit, path string) error {
	dir, err := home()
	if err != nil {
		return err
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(path), ".*"))
	if err != nil {
		return fmt.Errorf("look for remains: %w", err)
	}
	for _, file := range left {
		cases.SweepUnfinished(file)
	}
	old, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("read the visit of that day: %w", err)
	}
	before, err := exchange.ParseRecord("visits/"+v.Room+"/"+filepath.Base(path), old)
	if err != nil {
		return err
	}
	v.Written = max(1, before.Revision) + 1
	return exchange.KeepReplaced(dir, before)
}
