package main

import (
	"fmt"
	"os"
	"path/filepath"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"

	"github.com/spf13/cobra"
)

func newCheckCommand(s streams) *cobra.Command {
	var asJSON, alone bool
	cmd := &cobra.Command{
		Use:   "check [DIR]",
		Short: "Check a folder of entries, file by file and as a whole",
		Long: `Check reads every entry below DIR (your own book where none is named), lays it
over the built-in book and reports what is wrong, one line each:

  file:line:col: level: text [code]

Exit status 0: no error (warnings are advice), 1: errors, 2: DIR cannot be read.`,
		Example: "  faultbook check kb/book --alone",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			dir := ""
			if len(args) == 1 {
				dir = args[0]
			}
			return runCheck(s, dir, asJSON, alone)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print findings as a JSON array")
	cmd.Flags().BoolVar(&alone, "alone", false, "check DIR as a whole book of its own, without the built-in one below")
	return cmd
}

func runCheck(s streams, dir string, asJSON, alone bool) error {
	if dir == "" {
		h, err := home()
		if err != nil {
			return err
		}
		dir = filepath.Join(h, "book")
		if _, err := os.Stat(dir); os.IsNotExist(err) {
			return printFindings(s, nil, asJSON, "no entries of your own yet in "+dir)
		}
	}
	fsys, err := folderFS(dir)
	if err != nil {
		return err
	}
	book, findings := kb.Load(fsys, dir)
	n := book.Len()
	if !alone {
		base, err := kb.Builtin()
		if err != nil {
			return err
		}
		merged := kb.Overlay(base, book)
		findings = append(findings, kb.FindingsFor(merged, book)...)
	} else {
		findings = append(findings, kb.Check(book)...)
	}
	findings = append(findings, kb.CheckMeasured(book, call.Instruments())...)
	kb.SortFindings(findings)
	return printFindings(s, findings, asJSON, fmt.Sprintf("%d entries", n))
}

func printFindings(s streams, list []kb.Finding, asJSON bool, summary string) error {
	if asJSON {
		if list == nil {
			list = []kb.Finding{}
		}
		if err := printJSON(s.Out, list); err != nil {
			return err
		}
	} else {
		for _, f := range list {
			fmt.Fprintln(s.Out, f)
		}
		fmt.Fprintf(s.Err, "%s, %d errors, %d warnings\n", summary, kb.CountErrors(list), len(list)-kb.CountErrors(list))
	}
	if kb.CountErrors(list) > 0 {
		return errQuiet
	}
	return nil
}
