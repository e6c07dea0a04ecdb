package main

import (
	"context"
	"errors"
	"fmt"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/exchange"

	"github.com/spf13/cobra"
)

func newSyncCommand(s streams) *cobra.Command {
	var o exchange.Options
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "sync [REMOTE]",
		Short: "Exchange records with a folder on a stick or a git server",
		Long: `Sync sends your entries, cases, room sheets and visits to a common git repository,
with the revisions that newer ones replaced, and fetches those of others, through
the git that is installed. REMOTE is a folder,
which is made a repository where it is new or empty, or the address of an empty
repository on a server; it is named once and remembered.

Records are merged one by one as faultbook import does, and what one deleted
and nobody changed is deleted for all. No program of a repository is run: no
hooks, no filters, and a repository whose settings could name one is refused.
Every record is whole at any time; a sync that was broken off is repeated.

A text that was redacted leaves all cases with the next syncs, but an old commit
still holds it. --new-history leaves the old commits behind: at once here and in
a folder, for others at their next sync, on a server by its own rules.

Exit status 0: done, also with conflicts, 1: not reachable, not writable or not
safe, 2: wrong use, 130: interrupted.`,
		Example: "  faultbook sync /media/stick/faultbook.git\n  faultbook sync ssh://git@server/faultbook.git\n  faultbook sync",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			to := ""
			if len(args) > 0 {
				to = args[0]
			}
			return runSync(s, to, o, asJSON)
		},
	}
	cmd.Flags().BoolVar(&o.Deletions, "allow-deletions", false, "delete for everybody what is missing here, however much it is")
	cmd.Flags().BoolVar(&o.NewHistory, "new-history", false, "leave all older commits behind, so that none holds what was redacted")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object")
	return cmd
}

func runSync(s streams, to string, o exchange.Options, asJSON bool) error {
	dir, err := home()
	if err != nil {
		return err
	}
	ctx, back := s.halt()
	defer back()
	bar := newProgressBar(s, "merging", "records")
	o.Progress = bar.show
	out, err := exchange.Sync(ctx, dir, to, o)
	bar.end()
	if out.Redacted { // also where the sending failed
		err = errors.Join(err, dropIndex())
	}
	switch {
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(s.Err, "faultbook: broken off; what is there is whole, sync again to go on")
		return call.ErrInterrupted
	case errors.Is(err, exchange.ErrUnnamed), errors.Is(err, exchange.ErrNoGit):
		return wrongUse("%w", err)
	case err != nil:
		return failed("%w", err)
	}
	if asJSON {
		return printJSON(s.Out, out)
	}
	fmt.Fprintf(s.Out, "%s: %s sent; here ", out.Remote, plural(out.Sent, "record", "records"))
	printMerged(s, dir, out.Result)
	return nil
}
