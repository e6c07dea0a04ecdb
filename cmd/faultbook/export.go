package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"faultbook/kb/cases"
	"faultbook/kb/exchange"

	"github.com/spf13/cobra"
)

// exportOptions are the flags of export.
type exportOptions struct {
	choice  exchange.Choice
	since   string
	replace bool
	json    bool
}

func newExportCommand(s streams) *cobra.Command {
	var o exportOptions
	cmd := &cobra.Command{
		Use:   "export FILE",
		Short: "Write your entries, cases, room sheets and visits into one archive",
		Long: `Export packs your own entries, the cases, the room sheets and the visits into one
archive, with the revisions that newer ones replaced, for a stick or a message;
faultbook import brings it into another data folder. FILE is - for the standard
output.

The archive is a plain tar file, compressed by gzip where FILE ends in .gz or
.tgz. Its first file, MANIFEST, has a line with the format's version and then a
line a record: kind, id, revision, size, SHA-256 and path, divided by tabs.
Unpacked, it is a data folder. The same records give the same bytes.

Exit status 0: done, 1: it could not be written, 2: wrong use.`,
		Example: "  faultbook export monday.tgz\n  faultbook export --cases --since 2026-11-01 cases.tar\n  tar -xOf monday.tgz MANIFEST",
		Args:    cobra.ExactArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return runExport(s, args[0], o) },
	}
	f := cmd.Flags()
	f.BoolVar(&o.choice.Book, "book", false, "only entries, with the other kinds that are named")
	f.BoolVar(&o.choice.Cases, "cases", false, "only cases, with the other kinds that are named")
	f.BoolVar(&o.choice.Rooms, "rooms", false, "only room sheets and visits, with the other kinds that are named")
	f.StringVar(&o.since, "since", "", "only what is of this `day` or later, as 2026-11-25: cases and visits by their own, the rest by the day in its line by")
	f.BoolVar(&o.replace, "replace", false, "replace FILE where it exists")
	f.BoolVar(&o.json, "json", false, "print a JSON object")
	return cmd
}

// exported is what export prints as JSON.
type exported struct {
	File    string   `json:"file"`
	Entries int      `json:"entries"`
	Cases   int      `json:"cases"`
	Rooms   int      `json:"rooms"`
	Visits  int      `json:"visits"`
	Older   int      `json:"older"` // revisions that were replaced
	Bytes   int      `json:"bytes"`
	LeftOut []string `json:"left_out"` // files that are no records, with the reason
}

func runExport(s streams, file string, o exportOptions) error {
	dir, err := home()
	if err != nil {
		return err
	}
	if o.choice.Since, err = parseDay(o.since); err != nil {
		return err
	}
	if o.json && file == "-" {
		return wrongUse("--json: the standard output holds the archive already; name a file")
	}
	list, notes, err := exchange.Records(dir, o.choice)
	if err != nil {
		return failed("%w", err)
	}
	var buf bytes.Buffer
	if err := exchange.Write(&buf, list, compressed(file)); err != nil {
		if errors.Is(err, exchange.ErrTooMany) {
			return failed("%w: --since, --cases", err)
		}
		return failed("%w", err)
	}
	for _, n := range notes {
		fmt.Fprintf(s.Err, "faultbook: %s\n", n)
	}
	if file == "-" {
		if _, err := s.Out.Write(buf.Bytes()); err != nil {
			return failed("write the archive: %w", err)
		}
		return nil
	}
	if err := cases.WriteFile(file, buf.Bytes(), !o.replace); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return wrongUse("%w; --replace replaces it", err)
		}
		return failed("%w", err)
	}
	return printExported(s, o, countRecords(list, exported{File: file, Bytes: buf.Len(), LeftOut: append([]string{}, notes...)}))
}

// compressed reports whether the name asks for gzip.
func compressed(file string) bool {
	ending := strings.ToLower(filepath.Ext(file))
	return ending == ".gz" || ending == ".tgz"
}

func countRecords(list []exchange.Record, out exported) exported {
	for _, r := range list {
		switch r.Kind {
		case exchange.KindCase:
			out.Cases++
		case exchange.KindRoom:
			out.Rooms++
		case exchange.KindVisit:
			out.Visits++
		case exchange.KindHistory:
			out.Older++
		default:
			out.Entries++
		}
	}
	return out
}

func printExported(s streams, o exportOptions, out exported) error {
	if o.json {
		return printJSON(s.Out, out)
	}
	fmt.Fprintf(s.Out, "Wrote %s: %s, %s, %s", out.File, plural(out.Entries, "entry", "entries"), count(out.Cases, "case"), count(out.Rooms, "room sheet"))
	if out.Visits > 0 {
		fmt.Fprintf(s.Out, ", %s", count(out.Visits, "visit"))
	}
	if out.Older > 0 {
		fmt.Fprintf(s.Out, ", %s", count(out.Older, "older revision"))
	}
	fmt.Fprintln(s.Out, ".")
	return nil
}

// plural is a number with its noun where an s does not make it.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
