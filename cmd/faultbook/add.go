package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/spf13/cobra"
)

// addOptions are the flags of add.
type addOptions struct {
	caseID string
	draft  call.Draft
	tells  []string
	cures  []string
	caller bool
	edit   bool
	json   bool
}

func newAddCommand(s streams) *cobra.Command {
	var o addOptions
	cmd := &cobra.Command{
		Use:   "add [--case ID]",
		Short: "Turn a closed case, or what you know, into an entry",
		Long: `Add makes a draft entry of what a case holds, or of nothing. It shows first which
entries sound like it already; at a terminal it asks whether it is one of them,
then for what is missing. With --edit the draft is opened in your editor (VISUAL,
EDITOR). It is checked and saved into your own book, where calls and find use it
at once, as a draft until somebody else checks it: faultbook review. Nothing
that exists is replaced.

Exit status 0: saved, 1: it did not pass the check, 2: something is missing.`,
		Example: `  faultbook add --case 20261125-130723-kbtz
  faultbook add --case last
  faultbook add --symptom F-14 --title "Hub in the lectern lost its supply" \
    --why "The supply is on the cleaners' socket." --fix "Plug the hub's supply into the lectern strip." \
    --tell usb-all-or-one=all`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return runAdd(s, o) },
	}
	f := cmd.Flags()
	f.StringVar(&o.caseID, "case", "", "start from the case with this `ID`, or from the newest that has ended: "+lastCase)
	f.StringVar(&o.draft.Title, "title", "", "one line that names the cause")
	f.StringVar(&o.draft.Plain, "plain", "", "the cause in a caller's words")
	f.StringVar(&o.draft.Why, "why", "", "why it happens")
	f.StringVar(&o.draft.Symptom, "symptom", "", "the symptom that it shows as, such as F-14")
	f.StringVar(&o.draft.Fix, "fix", "", "what cured it, in one plain sentence")
	f.StringVar(&o.draft.Owner, "owner", "", "the handover that ends it when nobody on the line can (default visit)")
	f.StringVar(&o.draft.By, "by", "", "your `initials`, else those in "+initialsFrom)
	f.StringArrayVar(&o.draft.Words, "words", nil, "what a caller says when it is this; can be repeated")
	f.StringArrayVar(&o.tells, "tell", nil, "`question=answer[=likelihood]` that tells it; can be repeated")
	f.StringArrayVar(&o.cures, "remedy", nil, "a remedy of the book that cures it, `id[=likelihood]`; can be repeated")
	f.BoolVar(&o.caller, "caller-can", false, "a caller can do the fix: no tools, no opening, no climbing")
	f.BoolVar(&o.edit, "edit", false, "change the draft in your editor before it is saved")
	f.BoolVar(&o.json, "json", false, "print the saved entries as JSON")
	return cmd
}

func runAdd(s streams, o addOptions) error {
	desk, err := openDesk(s, time.Now)
	if err != nil {
		return err
	}
	if o.caseID == lastCase {
		if o.caseID, err = newestClosed(s, desk.Store); err != nil {
			return err
		}
	}
	draft, err := startDraft(desk, o)
	if err != nil {
		return err
	}
	if !o.json {
		done, err := offerSimilar(s, desk, draft, o.caseID)
		if done || err != nil {
			return err
		}
	}
	if err := askMissing(s, &draft, o.edit); err != nil {
		return err
	}
	if draft.By = initials(o.draft.By); draft.By != "" {
		draft.By += " " + time.Now().UTC().Format(time.DateOnly)
	}
	list := draft.Entries(desk.Book)
	if o.edit {
		if list, err = editEntries(s, desk.Book, list, func([]kb.Entry) error { return nil }); errors.Is(err, errGivenUp) {
			return failed("%w", err)
		}
		if err != nil {
			return err
		}
	}
	saved, err := saveEntries(s, desk.Book, list)
	if err != nil {
		return err
	}
	if o.json {
		return printJSON(s.Out, saved)
	}
	for _, e := range saved {
		fmt.Fprintf(s.Out, "saved %s %s as a draft: %s\n", e.Kind, e.ID, e.File)
	}
	return nil
}

// lastCase stands for the id of the newest case that has ended: who writes an
// entry has usually just closed it.
const lastCase = "last"

// newestClosed finds that case and says which it is. Files that cannot be read
// are passed over.
func newestClosed(s streams, store *cases.Store) (string, error) {
	ids, err := store.IDs()
	if err != nil {
		return "", failed("%w", err)
	}
	for _, id := range slices.Backward(ids) {
		c, err := store.Load(id)
		if err != nil || !c.Ended() {
			continue
		}
		said := ""
		for _, e := range c.Effective() {
			if said == "" {
				said = e.Say
			}
		}
		fmt.Fprintf(s.Err, "Case %s: %s\n", id, orElseText(said, "nothing was said"))
		return id, nil
	}
	return "", wrongUse("no case has ended yet: `faultbook cases list` shows them")
}

// startDraft joins the case and the flags; flags win.
func startDraft(desk *call.Desk, o addOptions) (call.Draft, error) {
	var d call.Draft
	if o.caseID != "" {
		file, err := desk.Store.Load(o.caseID)
		if err != nil {
			return d, wrongUse("%w", err)
		}
		d = call.DraftFrom(desk, file)
	}
	f := o.draft
	for _, pair := range []struct {
		to   *string
		from string
	}{{&d.Title, f.Title}, {&d.Plain, f.Plain}, {&d.Why, f.Why}, {&d.Symptom, strings.ToUpper(f.Symptom)}, {&d.Fix, f.Fix}, {&d.Owner, f.Owner}, {&d.By, f.By}} {
		if pair.from != "" {
			*pair.to = pair.from
		}
	}
	d.Words = append(d.Words, f.Words...)
	if o.caller {
		d.Who = kb.WhoCaller
	}
	for _, t := range o.tells {
		tell, err := parseTell(t)
		if err != nil {
			return d, err
		}
		d.Tells = append(d.Tells, tell)
	}
	for _, c := range o.cures {
		id, chance, err := parseChance(c)
		if err != nil {
			return d, err
		}
		d.Remedies = append(d.Remedies, kb.Cure{ID: id, Cures: chance})
	}
	return d, nil
}

func parseTell(text string) (kb.Tell, error) {
	question, rest, ok := strings.Cut(text, "=")
	if !ok {
		return kb.Tell{}, wrongUse("--tell %q: write question=answer or question=answer=likelihood", text)
	}
	answer, chance, err := parseChance(rest)
	if err != nil {
		return kb.Tell{}, err
	}
	return kb.Tell{Question: question, Row: kb.Row{{Answer: answer, Chance: chance}}}, nil
}

// parseChance splits "id=usually"; usually where no likelihood is given.
func parseChance(text string) (string, kb.Chance, error) {
	id, word, ok := strings.Cut(text, "=")
	if !ok {
		word = "usually"
	}
	c, err := kb.ParseChance(word)
	if err != nil {
		return "", 0, wrongUse("%s: %w", text, err)
	}
	return id, c, nil
}

// askMissing prompts for what a draft lacks; without a terminal it is an error
// that names the flags. What is edited needs a title alone, from which the id
// is made.
func askMissing(s streams, d *call.Draft, edit bool) error {
	missing := d.Missing()
	if edit && d.Title != "" || len(missing) == 0 {
		return nil
	}
	if edit {
		missing = []string{"title"}
	}
	if _, ok := terminalOf(s.In); !ok {
		return wrongUse("the entry needs --%s", strings.Join(missing, ", --"))
	}
	keys := newKeyboard(s)
	targets := map[string]*string{"title": &d.Title, "symptom": &d.Symptom, "why": &d.Why, "fix": &d.Fix}
	prompts := map[string]string{"title": "What was it, in one line? ", "symptom": "Which symptom (F-01 … F-25)? ",
		"why": "Why does it happen? ", "fix": "What cured it, in one plain sentence? "}
	for _, name := range missing {
		text, err := keys.Line(prompts[name])
		if err != nil {
			return leave(s, nil, err)
		}
		*targets[name] = strings.TrimSpace(text)
	}
	d.Symptom = strings.ToUpper(d.Symptom)
	if missing = d.Missing(); len(missing) > 0 && (!edit || d.Title == "") {
		return wrongUse("the entry still needs: %s", strings.Join(missing, ", "))
	}
	return nil
}

// saveEntries checks the entries as part of the whole book and then writes
// them into the user's own; on any error nothing is written.
func saveEntries(s streams, book *kb.Book, list []kb.Entry) ([]kb.Summary, error) {
	dir, err := home()
	if err != nil {
		return nil, err
	}
	saved, findings, err := call.SaveEntries(dir, book, list)
	for _, f := range findings {
		fmt.Fprintln(s.Err, f)
	}
	switch {
	case errors.Is(err, call.ErrFindings):
		return nil, failed("%w", err)
	case err != nil:
		return nil, wrongUse("%w; set FAULTBOOK_HOME to a folder of yours", err)
	}
	return saved, nil
}
