package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/exchange"

	"github.com/spf13/cobra"
)

func newImportCommand(s streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "import FILE…",
		Short: "Bring archives of others into your data folder",
		Long: `Import merges archives that faultbook export wrote, record by record. A newer
revision replaces an older one; a case that goes on replaces its beginning.
Where two people changed the same, one version is in place, the same for
everybody, the other is set aside below conflicts in the data folder, and both
are named. Neither the order of archives nor importing one twice makes a
difference, and a text that was redacted stays so, whatever older archives hold.

All of an archive is verified before anything is written; one that is damaged
or was tampered with is refused as a whole. FILE is - for the standard input.

Exit status 0: done, also with conflicts, 1: it could not be written,
2: wrong use, or an archive that cannot be used, 130: interrupted.`,
		Example: "  faultbook import monday.tgz\n  faultbook import /media/stick/*.tgz",
		Args:    cobra.MinimumNArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return runImport(s, args, asJSON) },
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object, one line a file")
	return cmd
}

// imported is what import prints as JSON.
type imported struct {
	File string `json:"file"`
	exchange.Result
}

func runImport(s streams, files []string, asJSON bool) error {
	dir, err := home()
	if err != nil {
		return err
	}
	var bad []error
	for _, file := range files {
		r, err := importFile(s, dir, file)
		if err == nil && r.Redacted {
			err = dropIndex()
		}
		if err != nil {
			bad = append(bad, err)
			if !errors.Is(err, exchange.ErrArchive) {
				break // the folder's fault: the next file would meet it too
			}
			continue
		}
		if asJSON {
			if err := printLine(s.Out, imported{file, r}); err != nil {
				return err
			}
			continue
		}
		fmt.Fprintf(s.Out, "%s: ", file)
		printMerged(s, dir, r)
	}
	return errors.Join(bad...)
}

func importFile(s streams, dir, file string) (exchange.Result, error) {
	in := s.In
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return exchange.Result{}, wrongUse("open the archive: %w", err)
		}
		defer f.Close()
		in = f
	}
	list, err := exchange.Read(in, file)
	if err != nil {
		return exchange.Result{}, wrongUse("%w", err)
	}
	ctx, back := s.halt()
	defer back()
	bar := newProgressBar(s, "merging", "records")
	r, err := exchange.ImportShown(ctx, dir, list, bar.show)
	bar.end()
	if errors.Is(err, context.Canceled) {
		fmt.Fprintf(s.Err, "faultbook: %s: broken off after %s; what is there is whole, import it again to go on\n", file, plural(r.Added+r.Updated, "record", "records"))
		return r, call.ErrInterrupted
	}
	if err != nil {
		return r, failed("%s: import stopped after %s: %w; what is there is whole, import it again to go on", file,
			plural(r.Added+r.Updated, "record", "records"), err)
	}
	return r, nil
}

// printMerged says what a merge did and what is left to do.
func printMerged(s streams, dir string, r exchange.Result) {
	parts := []string{}
	for _, p := range []struct {
		n    int
		what string
	}{{r.Added, "added"}, {r.Updated, "updated"}, {r.Removed, "removed"}, {r.Unchanged, "unchanged"}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", p.n, p.what))
		}
	}
	if len(parts) == 0 {
		parts = []string{"nothing to do"}
	}
	fmt.Fprintf(s.Out, "%s.\n", strings.Join(parts, ", "))
	for _, c := range r.Conflicts {
		printConflict(s, dir, c)
	}
	for _, k := range r.Skipped {
		fmt.Fprintf(s.Err, "faultbook: %s\n", k)
	}
}
