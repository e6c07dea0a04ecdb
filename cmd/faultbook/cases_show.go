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
	if id := notInBook(desk.Book, file); id != "" {
		out.Ticket = fmt.Sprintf("No ticket: the book does not have %s any more.\n", id)
	} else {
		out.Ticket = call.Resume(desk, file).Ticket()
	}
	for _, e := range file.Events {
		raw, err := json.Marshal(e)
		if err != nil {
			return out, fmt.Errorf("show an event of case %s: %w", file.ID, err)
		}
		out.Events = append(out.Events, shownEvent{e.At, eventText(desk.Book, e), raw})
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

// eventText words an event for people.
func eventText(book *kb.Book, e cases.Event) string {
	switch {
	case e.Say != "":
		return fmt.Sprintf("The caller: %q", e.Say)
	case e.Symptom != "":
		return "Symptom set: " + named(book, e.Symptom)
	case e.Answer != nil:
		return answerText(book, *e.Answer)
	case e.Unknown != "":
		return titleOf(book, e.Unknown) + ": cannot tell"
	case e.Tried != nil:
		return fmt.Sprintf("Tried: %s: %s", named(book, e.Tried.Remedy), e.Tried.Result)
	case e.Handover != "":
		return "Passed on: " + named(book, e.Handover)
	case e.Close != nil:
		return closeText(book, *e.Close)
	case e.Evidence != nil:
		return evidenceText(*e.Evidence)
	}
	return recordText(e)
}

// recordText words the events that are not about the fault.
func recordText(e cases.Event) string {
	switch {
	case e.Undo:
		return "Undo: the step before is taken back"
	case e.Reopen:
		return "Reopened: what ended the call is taken back"
	case e.Redacted > 0:
		return "A text was removed from the record, in " + count(e.Redacted, "place")
	case e.Note != "":
		return "Note: " + e.Note
	case e.Meeting != nil:
		return fmt.Sprintf("The meeting begins in %g minutes", *e.Meeting)
	case e.Who != "":
		return "On the line now: " + e.Who
	case e.Workaround == "works":
		return "A workaround got the meeting going"
	case e.Workaround != "":
		return "The workarounds were no help"
	case e.Room != "":
		return "Room: " + e.Room
	case e.Heard != "":
		return "Read out: " + e.Heard
	}
	return "something that this version cannot word"
}

// named is the title of an entry with its id.
func named(book *kb.Book, id string) string {
	if title := titleOf(book, id); title != id {
		return fmt.Sprintf("%s (%s)", title, id)
	}
	return id
}

func answerText(book *kb.Book, a cases.Answer) string {
	label := a.Value
	if q := kb.Get[kb.Question](book, a.Question); q != nil {
		label = q.AnswerLabel(a.Value)
	}
	text := titleOf(book, a.Question) + ": " + label
	if a.From != "" {
		text += " (" + a.From + ")"
	}
	return text
}

func closeText(book *kb.Book, c cases.Close) string {
	text := "Closed"
	if c.Cause != "" {
		text += ": " + named(book, c.Cause)
	}
	if c.Note != "" {
		text += ": " + c.Note
	}
	return text
}

func evidenceText(v cases.Evidence) string {
	text := "File read: " + v.Name
	if v.From == cases.FromSum {
		text = "Sum done: " + v.Name
	}
	if len(v.Text) > 0 {
		text += ": " + v.Text[0]
	}
	return text
}
