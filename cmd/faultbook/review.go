package main

import (
	"errors"
	"fmt"
	"sort"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"

	"github.com/spf13/cobra"
)

// reviewOptions are the flags of review.
type reviewOptions struct {
	by   string
	json bool
}

func newReviewCommand(s streams) *cobra.Command {
	var o reviewOptions
	cmd := &cobra.Command{
		Use:   "review [ID]",
		Short: "List the drafts of your own book, or mark one as checked",
		Long: fmt.Sprintf(`Review without ID lists the entries of your own book that nobody has checked.
With ID it shows the entry, and marks it as checked once you say so at the
terminal or give your initials with --by or in %s. Who wrote an entry may
not check it. The mark is a new revision; a later change makes it a draft again.

Exit status 0: done, 1: there is no such draft, or you may not check it,
2: wrong use.`, initialsFrom),
		Example: "  faultbook review\n  faultbook review own-hub-lost-its-supply --by cd",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return runDrafts(s, o)
			}
			return runReview(s, args[0], o)
		},
	}
	cmd.Flags().StringVar(&o.by, "by", "", "your `initials`")
	cmd.Flags().BoolVar(&o.json, "json", false, "print JSON")
	return cmd
}

// shownDraft is a draft as it is printed.
type shownDraft struct {
	Kind     kb.Kind `json:"kind"`
	ID       string  `json:"id"`
	Title    string  `json:"title"`
	By       string  `json:"by"`
	Revision int     `json:"revision"`
	File     string  `json:"file"`
}

// ownEntries are the user's own entries that a test picks, by kind and id.
func ownEntries(book *kb.Book, pick func(*kb.Head) bool) ([]kb.Entry, error) {
	dir, err := home()
	if err != nil {
		return nil, err
	}
	var list []kb.Entry
	for _, kind := range kb.Kinds() {
		for _, id := range book.IDs(kind) {
			for _, e := range book.Find(id) {
				if h := kb.HeadOf(e); h.Kind == kind && pick(h) && call.OwnFile(dir, book, e) != "" {
					list = append(list, e)
				}
			}
		}
	}
	return list, nil
}

func isDraft(h *kb.Head) bool { return h.State != "checked" }

func runDrafts(s streams, o reviewOptions) error {
	book, err := openBook(s)
	if err != nil {
		return err
	}
	list, err := ownEntries(book, isDraft)
	if err != nil {
		return err
	}
	drafts := []shownDraft{}
	for _, e := range list {
		h := kb.HeadOf(e)
		drafts = append(drafts, shownDraft{h.Kind, h.ID, h.Title, h.By, h.Revision, book.File(e)})
	}
	sort.SliceStable(drafts, func(i, j int) bool { return drafts[i].ID < drafts[j].ID })
	if o.json {
		return printJSON(s.Out, drafts)
	}
	if len(drafts) == 0 {
		fmt.Fprintln(s.Out, "No drafts in your own book.")
	}
	for _, d := range drafts {
		fmt.Fprintf(s.Out, "%-8s %s, revision %d, by %s\n    %s\n", d.Kind, d.ID, d.Revision, orElseText(d.By, "nobody"), d.Title)
	}
	return nil
}

func runReview(s streams, id string, o reviewOptions) error {
	book, err := openBook(s)
	if err != nil {
		return err
	}
	list, err := ownEntries(book, func(h *kb.Head) bool { return strings.EqualFold(h.ID, id) && isDraft(h) })
	if err != nil {
		return err
	}
	if len(list) == 0 {
		return failed("there is no draft %q in your own book; `faultbook review` lists them", id)
	}
	by, err := reviewer(s, book, list, o)
	if err != nil {
		return err
	}
	var checked []kb.Entry
	for _, e := range list {
		c, err := call.Checked(e, by, time.Now().UTC().Format(time.DateOnly))
		if err != nil {
			return failed("%w", err)
		}
		checked = append(checked, c)
	}
	return saveRevised(s, book, checked, "checked", o.json)
}

// reviewer gives the initials of who checks; at a terminal the entries are
// shown first.
func reviewer(s streams, book *kb.Book, list []kb.Entry, o reviewOptions) (string, error) {
	by := initials(o.by)
	_, terminal := terminalOf(s.In)
	if o.by != "" || by != "" && !terminal {
		return by, nil
	}
	if !terminal {
		return "", wrongUse("say who checks it: --by INITIALS")
	}
	for _, e := range list {
		p := pager{streams: s, book: book, width: width(s.Out)}
		p.entry(e)
		fmt.Fprintln(s.Out)
	}
	prompt := "Right as it stands? Your initials mark it as checked, an empty line leaves it: "
	text, err := newKeyboard(s).Line(prompt)
	if err != nil {
		return "", leave(s, nil, err)
	}
	if by = kb.Initials(text); by == "" {
		return "", failed("left as a draft")
	}
	return by, nil
}

// saveRevised writes new revisions and says so.
func saveRevised(s streams, book *kb.Book, list []kb.Entry, what string, asJSON bool) error {
	dir, err := home()
	if err != nil {
		return err
	}
	saved, findings, err := call.Revise(dir, book, list)
	for _, f := range findings {
		fmt.Fprintln(s.Err, f)
	}
	switch {
	case errors.Is(err, call.ErrFindings):
		return failed("%w", err)
	case err != nil:
		return failed("%w; set FAULTBOOK_HOME to a folder of yours", err)
	}
	if asJSON {
		return printJSON(s.Out, saved)
	}
	for i, e := range saved {
		fmt.Fprintf(s.Out, "%s %s %s, revision %d: %s\n", what, e.Kind, e.ID, kb.HeadOf(list[i]).Revision, e.File)
	}
	return nil
}
