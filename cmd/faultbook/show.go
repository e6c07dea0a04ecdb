package main

import (
	"fmt"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"

	"github.com/spf13/cobra"
)

func newShowCommand(s streams) *cobra.Command {
	var asJSON, asYAML, history bool
	revision := 0
	cmd := &cobra.Command{
		Use:     "show ID",
		Short:   "Show one entry of the book",
		Long:    "Show prints an entry with all that it refers to. Case does not matter in ID. With\n--yaml it is printed as it is kept in a file, to begin one of your own with.\n\n--history lists its revisions, those that were replaced here too; --revision N\nprints one of them as it was kept.",
		Example: "  faultbook show UB-05\n  faultbook show UB-05 --yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if history || revision != 0 {
				return runHistory(s, args[0], revision, asJSON)
			}
			return runShow(s, args[0], asJSON, asYAML)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print a JSON object")
	cmd.Flags().BoolVar(&asYAML, "yaml", false, "print the entry as it is kept in a file")
	cmd.Flags().BoolVar(&history, "history", false, "list its revisions, newest first")
	cmd.Flags().IntVar(&revision, "revision", 0, "print revision `N` as it was kept")
	cmd.MarkFlagsMutuallyExclusive("json", "yaml")
	cmd.MarkFlagsMutuallyExclusive("history", "revision", "yaml")
	return cmd
}

func runShow(s streams, id string, asJSON, asYAML bool) error {
	book, err := openBook(s)
	if err != nil {
		return err
	}
	list, err := findEntries(book, id)
	if err != nil {
		return err
	}
	if asJSON {
		sum := kb.Summarise(book, list[0])
		sum.Entry = list[0]
		return printJSON(s.Out, sum)
	}
	if asYAML {
		text, err := kb.Write(list[0])
		if err != nil {
			return err
		}
		_, err = s.Out.Write(text)
		return err
	}
	for i, e := range list {
		if i > 0 {
			fmt.Fprintln(s.Out)
		}
		p := pager{streams: s, book: book, width: width(s.Out)}
		p.entry(e)
	}
	return nil
}

// findEntries gives the entries with an id, of whatever kind; it may be given
// in small letters.
func findEntries(book *kb.Book, id string) ([]kb.Entry, error) {
	list := book.Find(id)
	if len(list) == 0 {
		list = book.Find(strings.ToUpper(id))
	}
	if len(list) == 0 {
		return nil, failed("there is no entry %q; `faultbook find -- WORDS` looks for one", id)
	}
	return list, nil
}

// pager prints an entry for people.
type pager struct {
	streams
	book  *kb.Book
	width int
}

func (p *pager) text(label, text string) {
	if text == "" {
		return
	}
	p.wrapped(fmt.Sprintf("  %-12s", label), text)
}

func (p *pager) wrapped(head, text string) {
	indent := strings.Repeat(" ", len([]rune(head)))
	for i, l := range call.Wrap(text, p.width-len(indent)) {
		if i == 0 {
			fmt.Fprintln(p.Out, strings.TrimRight(head+l, " "))
		} else {
			fmt.Fprintln(p.Out, indent+l)
		}
	}
}

func (p *pager) list(label string, items []string) {
	for i, it := range items {
		if i > 0 {
			label = ""
		}
		p.text(label, it)
	}
}

func (p *pager) entry(e kb.Entry) {
	h := kb.HeadOf(e)
	fmt.Fprintf(p.Out, "%s  %s\n", h.ID, h.Title)
	p.text("kind", fmt.Sprintf("%s, %s", h.Kind, orDraft(h.State)))
	switch e := e.(type) {
	case *kb.Cause:
		p.cause(e)
	case *kb.Symptom:
		p.symptom(e)
	case *kb.Question:
		p.question(e)
	case *kb.Remedy:
		p.remedy(e)
	case *kb.Caution:
		p.text("say", e.Say)
		p.text("defer to", e.Defer)
	case *kb.Handover:
		p.text("say", e.Say)
		p.text("minutes", fmt.Sprintf("%g, %g more where it does not own the cause", e.Minutes, e.Wrong))
	case *kb.Rule:
		p.rule(e)
	case *kb.Part:
		p.text("note", e.Note)
	case *kb.Value:
		p.text("figure", e.Figure)
		p.text("note", e.Note)
	case *kb.Practice:
		p.text("page", e.Text)
		p.list("ticks", e.Ticks)
	case *kb.Words:
		p.text("words", strings.Join(e.Same, ", "))
	case *kb.Term:
		p.text("means", e.Text)
	}
	p.list("source", p.sources(h.Source))
	p.text("file", p.book.File(e))
}

func orDraft(state string) string {
	if state == "" {
		return "draft"
	}
	return state
}

// sources spells check values out.
func (p *pager) sources(list []string) []string {
	var out []string
	for _, id := range list {
		if v := kb.Get[kb.Value](p.book, id); v != nil {
			id = fmt.Sprintf("%s: %s: %s (%s)", id, v.Title, v.Figure, strings.Join(v.Source, "; "))
		}
		out = append(out, id)
	}
	return out
}

func (p *pager) cause(e *kb.Cause) {
	p.text("plainly", e.Plain)
	p.text("why", e.Why)
	p.text("how often", string(e.Frequency))
	for i, x := range e.Symptoms {
		label := ""
		if i == 0 {
			label = "shows as"
		}
		if sym := kb.Get[kb.Symptom](p.book, x.ID); sym != nil {
			p.text(label, x.ID+" "+sym.Title)
		}
	}
	for i, t := range e.Tells {
		label := ""
		if i == 0 {
			label = "told by"
		}
		if q := kb.Get[kb.Question](p.book, t.Question); q != nil {
			for _, a := range t.Row {
				p.text(label, fmt.Sprintf("%s: %q %s", q.Title, q.AnswerLabel(a.Answer), a.Chance))
				label = ""
			}
		}
	}
	for i, r := range e.Remedies {
		label := ""
		if i == 0 {
			label = "remedies"
		}
		if rem := kb.Get[kb.Remedy](p.book, r.ID); rem != nil {
			p.text(label, fmt.Sprintf("%s (%s, %s, %g min, cures %s)", rem.Title, r.ID, rem.Who, rem.Minutes, r.CureChance()))
		}
	}
	p.text("owner", e.Owner)
	p.list("parts", e.Parts)
	for _, id := range kb.AllCautions(p.book, e) {
		if c := kb.Get[kb.Caution](p.book, id); c != nil {
			p.text("! caution", c.Say+" Defer to: "+c.Defer)
		}
	}
	p.text("like it", strings.Join(e.Related, ", "))
}

func (p *pager) symptom(e *kb.Symptom) {
	p.list("callers say", e.Words)
	p.list("workaround", e.Workarounds)
	for i, w := range kb.Priors(p.book, e.ID, nil) {
		label := ""
		if i == 0 {
			label = "causes"
		}
		if c := kb.Get[kb.Cause](p.book, w.ID); c != nil {
			p.text(label, fmt.Sprintf("%s %s, %.1f %%", w.ID, c.Title, 100*w.Chance))
		}
	}
}

func (p *pager) question(e *kb.Question) {
	p.text("ask", e.Ask)
	p.text("look", e.Look)
	p.text("technical", e.Technical)
	for i, a := range e.Answers {
		label := ""
		if i == 0 {
			label = "answers"
		}
		p.text(label, fmt.Sprintf("%s: %s", a.Value, a.Say))
	}
	p.text("who", fmt.Sprintf("%s, %g min, %s", e.Who, e.Minutes, e.Sense))
}

func (p *pager) remedy(e *kb.Remedy) {
	for _, id := range e.Cautions {
		if c := kb.Get[kb.Caution](p.book, id); c != nil {
			p.text("! caution", c.Say+" Defer to: "+c.Defer)
		}
	}
	p.text("say", e.Say)
	for i, st := range e.Steps {
		label := ""
		if i == 0 {
			label = "steps"
		}
		p.text(label, fmt.Sprintf("%d. %s", i+1, st))
	}
	p.text("check", e.Check)
	p.text("put back", e.Undo)
	p.text("technical", e.Technical)
	p.text("who", fmt.Sprintf("%s, %g min", e.Who, e.Minutes))
	p.list("parts", e.Parts)
	p.list("practice", e.Practice)
}

func (p *pager) rule(e *kb.Rule) {
	for _, f := range e.When {
		p.text("when", f.Question+" is "+strings.Join(f.Is, " or "))
	}
	p.list("excludes", e.Exclude)
	p.list("only", e.Only)
	p.list("asks", e.Ask)
	if e.Stop != nil {
		p.text("stops", e.Stop.Say)
	}
}
