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

func newCasesCloseCommand(s streams) *cobra.Command {
	var end cases.Close
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "close ID",
		Short: "Close a call, with the cause that it turned out to be",
		Long: `Close ends a call, or adds to one that was passed on what it turned out to be:
the book learns from the cause. A cause that the book does not know is
something-else. A call can be closed again; the last cause counts.`,
		Example: `  faultbook cases close 20261125-130723-kbtz --cause VL-03 --note "cable replaced by the visit"`,
		Args:    cobra.ExactArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return runCasesClose(s, args[0], end, asJSON) },
	}
	cmd.Flags().StringVar(&end.Cause, "cause", "", "what it was: the `id` of a cause, or something-else; empty where nobody knows")
	cmd.Flags().StringVar(&end.Note, "note", "", "what was done, in words")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object")
	return cmd
}

// changedCase is a case after it was closed, reopened or noted on, as JSON.
type changedCase struct {
	ID        string `json:"id"`
	State     string `json:"state"` // open, cured, handover, closed
	Symptom   string `json:"symptom"`
	Cause     string `json:"cause"`
	CauseFrom string `json:"cause_from"`
}

// printChangedCase judges the case as it lies on disk.
func printChangedCase(s streams, desk *call.Desk, id string) error {
	r, err := recordOf(desk, id)
	if err != nil {
		return err
	}
	return printJSON(s.Out, changedCase{r.ID, r.End, r.Symptom, r.Cause, r.CauseFrom})
}

func runCasesClose(s streams, id string, end cases.Close, asJSON bool) error {
	desk, c, err := openCase(s, id)
	if err != nil {
		return err
	}
	if end.Cause, err = findID(desk.Book, end.Cause, kb.KindCause); err != nil {
		return err
	}
	if _, err := c.Do(call.In{Close: &end}); err != nil {
		return failed("close case %s: %w", id, err)
	}
	countCalls(desk)
	if asJSON {
		return printChangedCase(s, desk, id)
	}
	r, err := recordOf(desk, id)
	if err != nil {
		return err
	}
	if r.Cause == "" {
		fmt.Fprintf(s.Out, "Closed %s without a cause; nothing is learnt from it.\n", id)
		return nil
	}
	fmt.Fprintf(s.Out, "Closed %s: %s, counted under %s.\n", id, named(desk.Book, r.Cause), orElseText(named(desk.Book, r.Symptom), "no symptom"))
	return nil
}

// recordOf judges a case as it lies on disk.
func recordOf(desk *call.Desk, id string) (cases.Record, error) {
	file, err := desk.Store.Load(id)
	if err != nil {
		return cases.Record{}, err
	}
	return call.NewJudge(desk).Record(file), nil
}

func orElseText(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

func newCasesReopenCommand(s streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "reopen ID",
		Short: "Open a call again that had ended",
		Long: `Reopen takes back what ended a call, be it a cure that did not last, a handover
or the closing. All else stays, the record keeps what was taken back, and the
call goes on with faultbook call --resume ID.`,
		Example: "  faultbook cases reopen 20261125-130723-kbtz",
		Args:    cobra.ExactArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return runCasesReopen(s, args[0], asJSON) },
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object")
	return cmd
}

func runCasesReopen(s streams, id string, asJSON bool) error {
	desk, err := openDesk(s, time.Now)
	if err != nil {
		return err
	}
	file, err := desk.Store.Load(id)
	if err != nil {
		return wrongUse("%w", err)
	}
	if !file.Ended() {
		return failed("case %s is open; `faultbook call --resume %s` goes on with it", id, id)
	}
	if err := desk.Store.Append(file, cases.Event{Reopen: true}); err != nil {
		return failed("reopen case %s: %w", id, err)
	}
	countCalls(desk)
	if asJSON {
		return printChangedCase(s, desk, id)
	}
	fmt.Fprintf(s.Out, "Reopened %s. `faultbook call --resume %s` goes on.\n", id, id)
	return nil
}

func newCasesNoteCommand(s streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "note ID TEXT",
		Short:   "Add a note to a call",
		Long:    "Note adds a line to the record of a call, open or ended. It goes into the\nticket and can be found.",
		Example: `  faultbook cases note 20261125-130723-kbtz "the spare cable is in the cupboard now"`,
		Args:    cobra.MinimumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			return runCasesNote(s, args[0], strings.Join(args[1:], " "), asJSON)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object")
	return cmd
}

func runCasesNote(s streams, id, text string, asJSON bool) error {
	if strings.TrimSpace(text) == "" {
		return wrongUse("the note is empty")
	}
	desk, c, err := openCase(s, id)
	if err != nil {
		return err
	}
	if _, err := c.Do(call.In{Note: text}); err != nil {
		return failed("note on case %s: %w", id, err)
	}
	if asJSON {
		return printChangedCase(s, desk, id)
	}
	fmt.Fprintf(s.Out, "Noted on %s.\n", id)
	return nil
}
