package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"faultbook/kb/exchange"

	"github.com/spf13/cobra"
)

func newConflictsCommand(s streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "conflicts",
		Short: "List what two people changed at once, and settle it",
		Long: `Conflicts lists the entries, room sheets and calls that two people changed
without knowing of each other. One version is in place and used, the same for
everybody; the others lie below conflicts in the data folder.`,
		Example: "  faultbook conflicts\n  faultbook conflicts settle room hall",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runConflicts(s, asJSON) },
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON array")
	cmd.AddCommand(newSettleCommand(s))
	return cmd
}

func runConflicts(s streams, asJSON bool) error {
	dir, err := home()
	if err != nil {
		return err
	}
	list, err := exchange.Conflicts(dir)
	if err != nil {
		return failed("%w", err)
	}
	if asJSON {
		return printJSON(s.Out, list)
	}
	if len(list) == 0 {
		fmt.Fprintln(s.Out, "No conflicts.")
	}
	for _, c := range list {
		printConflict(s, dir, c)
	}
	return nil
}

func printConflict(s streams, dir string, c exchange.Conflict) {
	p := pager{streams: s, width: width(s.Out)}
	p.wrapped("", "conflict: "+c.Kind+" "+c.ID+": "+c.Remedy())
	fmt.Fprintf(s.Out, "  in place:  %s\n", filepath.Join(dir, filepath.FromSlash(c.Kept)))
	for _, a := range c.Aside {
		fmt.Fprintf(s.Out, "  set aside: %s\n", filepath.Join(dir, filepath.FromSlash(a)))
	}
}

func newSettleCommand(s streams) *cobra.Command {
	var take string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "settle KIND ID",
		Short: "Settle one: take a version, or put both sides of a call together",
		Long: `Settle makes a version that supersedes the others, here at once and elsewhere
with the next exchange. Of an entry or room sheet it is the one in place, or the
file that --take names, as the next revision; the others stay readable in the
history. Of a call it is the one in place with what the others have behind it.

Exit status 0: done, 1: there is no such conflict or it cannot be settled so.`,
		Example: "  faultbook conflicts settle case 20261125-130723-kbtz\n  faultbook conflicts settle room hall --take conflicts/room/hall.0123456789abcdef.yaml",
		Args:    cobra.ExactArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			return runSettle(s, args[0], args[1], take, asJSON)
		},
	}
	cmd.Flags().StringVar(&take, "take", "", "the `FILE` to take, instead of the one in place")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object")
	return cmd
}

func runSettle(s streams, kind, id, take string, asJSON bool) error {
	dir, err := home()
	if err != nil {
		return err
	}
	if inner, err := filepath.Rel(dir, take); err == nil && filepath.IsAbs(take) {
		take = inner
	}
	c, err := exchange.Settle(dir, kind, id, strings.TrimPrefix(filepath.ToSlash(take), "./"))
	if errors.Is(err, exchange.ErrSettled) {
		return failed("%w; `faultbook conflicts` lists them", err)
	}
	if err != nil {
		return failed("settle %s %s: %w", kind, id, err)
	}
	if asJSON {
		return printJSON(s.Out, c)
	}
	fmt.Fprintf(s.Out, "Settled %s %s: %s. The next import or sync settles it elsewhere.\n", kind, id, filepath.Join(dir, filepath.FromSlash(c.Kept)))
	return nil
}
