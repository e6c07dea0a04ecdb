package main

import (
	"fmt"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"

	"github.com/spf13/cobra"
)

func newCasesCommand(s streams) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "cases",
		Short: "Past and open calls: list, show, close, note, redact, count",
		Long: `Cases looks at the calls that were taken and adds to them. Each is a file of
its own below the data folder; a call that is still open goes on with
faultbook call --resume ID.

A case has ended when a remedy cured it, when it was passed on, or when it was
closed. Its cause is the one that it was closed with, else the last one that a
remedy mended. faultbook learn shows what the book learns from that.`,
		Example: "  faultbook cases list --open\n  faultbook cases close 20261125-130723-kbtz --cause VL-03",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var names []string
			for _, sub := range cmd.Commands() {
				names = append(names, sub.Name())
			}
			return wrongUse("say what to do with the cases: %s", strings.Join(names, ", "))
		},
	}
	cmd.AddCommand(
		newCasesListCommand(s),
		newCasesShowCommand(s),
		newCasesCloseCommand(s),
		newCasesReopenCommand(s),
		newCasesNoteCommand(s),
		newCasesRedactCommand(s),
		newCasesStatsCommand(s, time.Now),
	)
	return cmd
}

// findID gives the id of an entry of one of the kinds as the book writes it,
// letter case aside; "" stays "".
func findID(book *kb.Book, id string, kinds ...kb.Kind) (string, error) {
	if id == "" || strings.EqualFold(id, kb.SomethingElse) {
		return strings.ToLower(id), nil
	}
	for _, k := range kinds {
		for _, known := range book.IDs(k) {
			if strings.EqualFold(id, known) {
				return known, nil
			}
		}
	}
	return "", wrongUse("there is no %s %q; `faultbook list --kind %s` lists them", kinds[0], id, kinds[0])
}

// titleOf names an entry for people; its id where the book does not have it.
func titleOf(book *kb.Book, id string) string { return call.TitleOf(book, id) }

// count is a number with its noun.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// wholePercent is a share for people.
func wholePercent(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

// openCase gives the desk and a call on the case with the id.
func openCase(s streams, id string) (*call.Desk, *call.Call, error) {
	desk, err := openDesk(s, time.Now)
	if err != nil {
		return nil, nil, err
	}
	file, err := desk.Store.Load(id)
	if err != nil {
		return nil, nil, wrongUse("%w", err)
	}
	if id := call.NotInBook(desk.Book, file); id != "" {
		return nil, nil, failed("case %s speaks of %s, which the book does not have any more: lay that entry back into your own book", file.ID, id)
	}
	return desk, call.Resume(desk, file), nil
}
