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
	var asJSON, alone, advice bool
	cmd := &cobra.Command{
		Use:   "check [DIR]",
		Short: "Check a folder of entries, file by file and as a whole",
		Long: `Check reads every entry below DIR (your own book where none is named), lays it
over the built-in book and reports what is wrong, one line each:

  file:line:col: level: text [code]

With --advice it plans on every symptom, once there is no error, and says which
causes no question tells apart, which questions never pay, which remedies
another one makes needless, which rows contradict a rule and which common causes
take more than ten steps to find. Advice is given on the entries of DIR only.

Exit status 0: no error (warnings and advice do not count), 1: errors, 2: DIR
cannot be read.`,
		Example: "  faultbook check kb/book --alone",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			dir := ""
			if len(args) == 1 {
				dir = args[0]
			}
			return runCheck(s, dir, asJSON, alone, advice)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print findings as a JSON array")
	cmd.Flags().BoolVar(&advice, "advice", false, "plan on the book, too, and say what could be better (takes a minute)")
	cmd.Flags().BoolVar(&alone, "alone", false, "check DIR as a whole book of its own, without the built-in one below")
	return cmd
}

func runCheck(s streams, dir string, asJSON, alone, advice bool) error {
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
	n, whole := book.Len(), book
	if !alone {
		base, err := kb.Builtin()
		if err != nil {
			return err
		}
		merged := kb.Overlay(base, book)
		findings = append(findings, kb.FindingsFor(merged, book)...)
		whole = merged
	} else {
		findings = append(findings, kb.Check(book)...)
	}
	findings = append(findings, kb.CheckMeasured(book, call.Instruments())...)
	if advice && kb.CountErrors(findings) == 0 {
		more, err := kb.Advise(whole, func(e kb.Entry) bool { return !whole.Builtin(e) })
		if err != nil {
			return err
		}
		findings = append(findings, more...)
	}
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
		fmt.Fprintf(s.Err, "%s, %d errors, %d warnings", summary, kb.CountErrors(list), kb.Count(list, kb.LevelWarning))
		if n := kb.Count(list, kb.LevelAdvice); n > 0 {
			fmt.Fprintf(s.Err, ", %d advice", n)
		}
		fmt.Fprintln(s.Err)
	}
	if kb.CountErrors(list) > 0 {
		return errQuiet
	}
	return nil
}
