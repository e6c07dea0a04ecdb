package main

import (
	"fmt"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/spf13/cobra"
)

// casesListOptions are the flags of cases list.
type casesListOptions struct {
	filter cases.Filter
	since  string
	limit  int
	json   bool
}

func newCasesListCommand(s streams) *cobra.Command {
	var o casesListOptions
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List calls, newest first",
		Long:    "List prints the calls that fit all flags, newest first: id, day, how it ended,\nsymptom, cause, room, and what the caller said first.",
		Example: "  faultbook cases list --symptom F-01 --since 2026-11-01",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runCasesList(s, o) },
	}
	f := cmd.Flags()
	f.StringVar(&o.filter.Symptom, "symptom", "", "only calls about the symptom with this `id`")
	f.StringVar(&o.filter.Cause, "cause", "", "only calls that ended in the cause with this `id`")
	f.StringVar(&o.filter.Room, "room", "", "only calls about this `room`")
	f.StringVar(&o.since, "since", "", "only calls opened on this `day` or later, as 2026-11-25")
	f.BoolVar(&o.filter.Open, "open", false, "only calls that go on")
	f.BoolVar(&o.filter.Closed, "closed", false, "only calls that have ended")
	f.IntVar(&o.limit, "limit", 20, "at most `N` calls")
	f.BoolVar(&o.json, "json", false, "print a JSON array")
	cmd.MarkFlagsMutuallyExclusive("open", "closed")
	return cmd
}

// listedCase is a call as it is printed.
type listedCase struct {
	ID        string    `json:"id"`
	Opened    time.Time `json:"opened"`
	State     string    `json:"state"` // open, cured, handover, closed
	Symptom   string    `json:"symptom"`
	Cause     string    `json:"cause"`
	CauseFrom string    `json:"cause_from"` // closed, found, ""
	Room      string    `json:"room"`
	Minutes   float64   `json:"minutes"`
	Words     string    `json:"words"`
}

// prepare checks the flags against the book.
func (o *casesListOptions) prepare(book *kb.Book) (err error) {
	if o.limit < 1 || o.limit > 100000 {
		return wrongUse("--limit %d: must be from 1 to 100000", o.limit)
	}
	if o.filter.Since, err = parseDay(o.since); err != nil {
		return err
	}
	if o.filter.Symptom, err = findID(book, o.filter.Symptom, kb.KindSymptom); err != nil {
		return err
	}
	o.filter.Cause, err = findID(book, o.filter.Cause, kb.KindCause)
	return err
}

func runCasesList(s streams, o casesListOptions) error {
	desk, err := openDesk(s, time.Now)
	if err != nil {
		return err
	}
	if err := o.prepare(desk.Book); err != nil {
		return err
	}
	all, _ := allRecords(s, desk)
	picked := o.filter.Pick(all)
	list := []listedCase{}
	for i := len(picked) - 1; i >= 0 && len(list) < o.limit; i-- {
		list = append(list, listed(desk, &picked[i]))
	}
	if o.json {
		return printJSON(s.Out, list)
	}
	if len(list) == 0 {
		fmt.Fprintln(s.Out, "No such calls.")
	}
	for _, c := range list {
		printListed(s, desk.Book, c)
	}
	if more := len(picked) - len(list); more > 0 {
		fmt.Fprintf(s.Out, "\n%d more, older; --limit shows them.\n", more)
	}
	return nil
}

func listed(desk *call.Desk, r *cases.Record) listedCase {
	c := listedCase{ID: r.ID, Opened: r.Opened, State: r.End, Symptom: r.Symptom, Cause: r.Cause, CauseFrom: r.CauseFrom,
		Room: r.Room, Minutes: r.Minutes}
	if file, err := desk.Store.Load(r.ID); err == nil { // gone meanwhile otherwise
		for _, e := range file.Effective() {
			if e.Say != "" {
				c.Words = e.Say
				break
			}
		}
	}
	return c
}

func printListed(s streams, book *kb.Book, c listedCase) {
	head := fmt.Sprintf("%s  %s  %-8s  %-4s  %s", c.ID, c.Opened.Format("2006-01-02 15:04"), c.State, orDash(c.Symptom), orDash(c.Cause))
	if c.Room != "" {
		head += "  " + c.Room
	}
	fmt.Fprintln(s.Out, strings.TrimRight(head, " "))
	p := pager{streams: s, width: width(s.Out)}
	switch {
	case c.Words != "":
		p.wrapped("    ", fmt.Sprintf("%q", c.Words))
	case c.Symptom != "":
		p.wrapped("    ", titleOf(book, c.Symptom))
	}
}

func orDash(id string) string {
	if id == "" {
		return "-"
	}
	return id
}
