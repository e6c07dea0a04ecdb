package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"

	"github.com/spf13/cobra"
)

// editOptions are the flags of edit.
type editOptions struct {
	by   string
	file string
	line string
	json bool
}

func newEditCommand(s streams) *cobra.Command {
	var o editOptions
	cmd := &cobra.Command{
		Use:   "edit ID",
		Short: "Change an entry in your editor; the revision before is kept",
		Long: fmt.Sprintf(`Edit opens an entry in the editor that VISUAL or EDITOR names, checks what you
leave, and saves it as the next revision into your own book: a draft again, until
somebody else checks it (faultbook review). An entry of the built-in book gets a
copy that is laid over it. What was there before stays readable: faultbook show
ID --history. With --file the text is read from a file, - for the standard input;
with --line one line of a cause is changed, as learn --rows proposes it.

Exit status 0: saved or nothing changed, 1: it did not pass the check, 2: wrong
use. Your initials are taken from --by or %s.`, initialsFrom),
		Example: "  faultbook edit own-hub-lost-its-supply --by cd\n  faultbook show VL-03 --yaml | sed 's/common/rare/' | faultbook edit VL-03 --file -\n  faultbook edit VL-03 --line 'bench-short-cable: {works: often}'",
		Args:    cobra.ExactArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return runEdit(s, args[0], o) },
	}
	cmd.Flags().StringVar(&o.by, "by", "", "your `initials`, as the author of this revision")
	cmd.Flags().StringVar(&o.file, "file", "", "read the new text from `FILE` instead of an editor; - for the standard input")
	cmd.Flags().StringVar(&o.line, "line", "", "change one `LINE` of a cause instead: the row of a question, or its symptoms")
	cmd.MarkFlagsMutuallyExclusive("file", "line")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the saved entries as JSON")
	return cmd
}

func runEdit(s streams, id string, o editOptions) error {
	book, err := openBook(s)
	if err != nil {
		return err
	}
	old, err := findEntries(book, id)
	if err != nil {
		return err
	}
	edited, err := newText(s, book, old, o)
	if errors.Is(err, errGivenUp) {
		return failed("%w", err)
	}
	if err != nil {
		return err
	}
	changed, err := changedOf(old, edited, initials(o.by))
	if err != nil {
		return err
	}
	if len(changed) == 0 {
		fmt.Fprintln(s.Out, "Nothing was changed.")
		return nil
	}
	return saveRevised(s, book, changed, "saved", o.json)
}

// newText reads the entries from a file or lets the user edit them.
func newText(s streams, book *kb.Book, old []kb.Entry, o editOptions) ([]kb.Entry, error) {
	if o.line != "" {
		return withLine(s, book, old, o.line)
	}
	if o.file == "" {
		return editEntries(s, book, old, func(list []kb.Entry) error { return sameEntries(old, list) })
	}
	in := s.In
	if o.file != "-" {
		f, err := os.Open(o.file)
		if err != nil {
			return nil, wrongUse("open the text: %w", err)
		}
		defer f.Close()
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, 1<<20))
	if err != nil {
		return nil, wrongUse("read %s: %w", o.file, err)
	}
	list, err := parseEntries(s, data)
	if err != nil {
		return nil, failed("%w", err)
	}
	return list, nil
}

// opened is the entry that was opened with the kind and id of e, nil for none.
func opened(old []kb.Entry, e kb.Entry) kb.Entry {
	h := kb.HeadOf(e)
	for _, o := range old {
		if k := kb.HeadOf(o); k.Kind == h.Kind && k.ID == h.ID {
			return o
		}
	}
	return nil
}

// sameEntries refuses entries that were not opened: new ones are made by add.
func sameEntries(old, edited []kb.Entry) error {
	for _, e := range edited {
		if h := kb.HeadOf(e); opened(old, e) == nil {
			return failed("%s %s is another entry than the one that was opened: leave kind and id as they are; `faultbook add` makes new ones", h.Kind, h.ID)
		}
	}
	return nil
}

// changedOf gives the next revisions of the entries that were changed.
func changedOf(old, edited []kb.Entry, by string) ([]kb.Entry, error) {
	if err := sameEntries(old, edited); err != nil {
		return nil, err
	}
	var list []kb.Entry
	for _, e := range edited {
		before := opened(old, e)
		was, err := kb.Write(before)
		if err != nil {
			return nil, err
		}
		is, err := kb.Write(e)
		if err != nil {
			return nil, err
		}
		if string(was) == string(is) {
			continue
		}
		next, err := call.Changed(e, kb.HeadOf(before).Revision, by, time.Now().UTC().Format(time.DateOnly))
		if err != nil {
			return nil, err
		}
		list = append(list, next)
	}
	return list, nil
}
