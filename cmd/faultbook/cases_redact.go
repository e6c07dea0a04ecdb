package main

import (
	"errors"
	"fmt"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/cases"
	"faultbook/kb/exchange"

	"github.com/spf13/cobra"
)

func newCasesRedactCommand(s streams) *cobra.Command {
	var text string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "redact ID --text TEXT",
		Short: "Take a name or a number out of the record of a call",
		Long: `Redact takes a text that should not have been typed out of everything that was
said, noted or read in a call and puts [removed] in its place, whatever its
letter case. It cannot be undone: the file is written anew without the text,
and the search index is built anew by the next search.

Ids of questions and answers stay, as the call could not be read without them.
Copies that were set aside in an exchange are redacted too, and an import or sync
takes the text out of the case wherever it comes, whatever older copies hold.
Archives that lie about are not reached; the history of a Git repository is by
faultbook sync --new-history.

Exit status 0: done, 1: the text is nowhere in the call, or it could not be
removed, 2: wrong use.`,
		Example: `  faultbook cases redact 20261125-130723-kbtz --text "0555 0100"`,
		Args:    cobra.ExactArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return runCasesRedact(s, args[0], text, asJSON) },
	}
	cmd.Flags().StringVar(&text, "text", "", "what to remove: at least two characters")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object")
	return cmd
}

// redacted is what redact prints as JSON.
type redacted struct {
	ID     string   `json:"id"`
	Places int      `json:"places"`
	Left   int      `json:"left"`    // ids of the book that hold the text and stay
	LookAt []string `json:"look_at"` // entries that were made from the case
}

func runCasesRedact(s streams, id, text string, asJSON bool) error {
	desk, err := openDesk(s, time.Now)
	if err != nil {
		return err
	}
	if _, err := desk.Store.Load(id); err != nil {
		return wrongUse("%w", err)
	}
	dir, err := home()
	if err != nil {
		return err
	}
	done, err := exchange.Redact(dir, desk.Store, id, text, time.Now)
	if errors.Is(err, cases.ErrShort) {
		return wrongUse("%w; give it with --text", err)
	}
	if done.Places > 0 { // what is derived from the record goes even if tidying it failed
		countCalls(desk)
		err = errors.Join(err, dropIndex())
	}
	if done.Left > 0 {
		fmt.Fprintf(s.Err, "faultbook: %s of the book in the call hold the text too and stay\n", count(done.Left, "id"))
	}
	if err != nil {
		return failed("%w", err)
	}
	if done.Places == 0 {
		return failed("the text is nowhere in case %s; nothing was changed", id)
	}
	if asJSON {
		return printJSON(s.Out, redacted{id, done.Places, done.Left, append([]string{}, call.MadeFrom(desk, id)...)})
	}
	fmt.Fprintf(s.Out, "Removed from %s in %s. The next exchange removes it elsewhere too; archives that lie about are not reached, a Git history is by `faultbook sync --new-history`.\n", id, count(done.Places, "place"))
	for _, file := range call.MadeFrom(desk, id) {
		fmt.Fprintf(s.Out, "Look at %s: it was made from this case and is not changed.\n", file)
	}
	return nil
}
