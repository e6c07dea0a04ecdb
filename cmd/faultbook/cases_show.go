package main

import (
	"encoding/json"
	"fmt"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/spf13/cobra"
)

func newCasesShowCommand(s streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "show ID",
		Short:   "Show a call: what happened, line by line, and the ticket",
		Long:    "Show prints the events of a call in their order, with the titles of the book\nand what was taken back, and the ticket as it stands.",
		Example: "  faultbook cases show 20261125-130723-kbtz",
		Args:    cobra.ExactArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return runCasesShow(s, args[0], asJSON) },
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object")
	return cmd
}

// shownCase is a call as it is printed.
type shownCase struct {
	ID        string       `json:"id"`
	Opened    time.Time    `json:"opened"`
	File      string       `json:"file"`
	State     string       `json:"state"`
	Symptom   string       `json:"symptom"`
	Cause     string       `json:"cause"`
	CauseFrom string       `json:"cause_from"`
	Room      string       `json:"room"`
	Minutes   float64      `json:"minutes"`
	Events    []shownEvent `json:"events"`
	Ticket    string       `json:"ticket"`
}

// shownEvent is an event as it lies in the file and as people read it.
type shownEvent struct {
	At    time.Time       `json:"at"`
	Text  string          `json:"text"`
	Event json.RawMessage `json:"event"`
}

func runCasesShow(s streams, id string, asJSON bool) error {
	desk, err := openDesk(s, time.Now)
	if err != nil {
		return err
	}
	file, err := desk.Store.Load(id)
	if err != nil {
		return wrongUse("%w", err)
	}
	shown, err := showCase(desk, file)
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.Out, shown)
	}
	printCase(s, desk.Book, shown)
	return nil
}

func showCase(desk *call.Desk, file *cases.Case) (shownCase, error) {
	r := call.NewJudge(desk).Record(file)
	out := shownCase{ID: r.ID, Opened: r.Opened, File: desk.Store.Path(file), State: r.End, Symptom: r.Symptom, Cause: r.Cause,
		CauseFrom: r.CauseFrom, Room: r.Room, Minutes: r.Minutes, Events: []shownEvent{}}
	if id := call.NotInBook(desk.Book, file); id != "" {
		out.Ticket = fmt.Sprintf("No ticket: the book does not have %s any more.\n", id)
	} else {
		out.Ticket = call.Resume(desk, file).Ticket()
	}
	for _, e := range file.Events {
		raw, err := json.Marshal(e)
		if err != nil {
			return out, fmt.Errorf("show an event of case %s: %w", file.ID, err)
		}
		out.Events = append(out.Events, shownEvent{e.At, call.EventText(desk.Book, e), raw})
	}
	return out, nil
}

func printCase(s streams, book *kb.Book, c shownCase) {
	fmt.Fprintf(s.Out, "Case %s, %s\n", c.ID, c.State)
	p := pager{streams: s, book: book, width: width(s.Out)}
	p.text("opened", c.Opened.Format("2006-01-02 15:04")+" UTC")
	p.text("symptom", named(book, c.Symptom))
	p.text("cause", named(book, c.Cause)+causeNote(c))
	p.text("room", c.Room)
	p.text("minutes", fmt.Sprintf("%.1f on the line", c.Minutes))
	p.text("file", c.File)
	fmt.Fprintln(s.Out)
	day := c.Opened.Format(time.DateOnly)
	for _, e := range c.Events {
		if d := e.At.Format(time.DateOnly); d != day {
			fmt.Fprintln(s.Out, d)
			day = d
		}
		p.wrapped("  "+e.At.Format("15:04:05")+"  ", e.Text)
	}
	fmt.Fprintf(s.Out, "\n%s", c.Ticket)
}

func causeNote(c shownCase) string {
	switch c.CauseFrom {
	case cases.CauseClosed:
		return ", as closed"
	case cases.CauseFound:
		return ", mended in the call"
	}
	return ""
}

// named is the title of an entry with its id.
func named(book *kb.Book, id string) string { return call.Named(book, id) }
