package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
	"faultbook/kb"

	"github.com/spf13/cobra"
)

// findOptions are the flags of find.
type findOptions struct {
	index.Options
	page    int
	rebuild bool
	json    bool
}

func newFindCommand(s streams) *cobra.Command {
	var o findOptions
	cmd := &cobra.Command{
		Use:   "find -- WORDS",
		Short: "Find causes, symptoms, ways of working and past calls by words",
		Long: `Find looks through the book and the closed calls for WORDS: what a caller says,
terms of the trade, figures (2160p60, 500 mA, 169.254) or an id. Words that
stand for each other count as one, misspellings are forgiven.

"Words in quotes" must stand in a row, if they do anywhere; flick* is any word
that begins so; title:lamp counts in one place alone (title, words, tells, why,
remedy, notes).

The index lies in the cache folder and may be thrown away at any time. What came
since it was built is kept beside it; --rebuild builds it anew, with or without
WORDS. The old one serves until the new one is whole, and a rebuild that is
broken off leaves it as it was.

Exit status 0: done, also where nothing was found, 2: wrong use, 130: broken
off.`,
		Example: `  faultbook find -- sparkles at 2160p60
  faultbook find --kind case --since 2026-11-01 -- camera restarts
  faultbook find --page 2 -- '"no signal" dock'
  faultbook find --rebuild`,
		RunE: func(_ *cobra.Command, args []string) error { return runFind(s, o, args) },
	}
	f := cmd.Flags()
	f.StringSliceVar(&o.Kinds, "kind", nil, "only this `kind`: "+strings.Join(call.FindKinds(), ", "))
	f.StringVar(&o.Symptom, "symptom", "", "only what belongs to the symptom with this `id`")
	f.StringVar(&o.Room, "room", "", "only calls about this `room`")
	f.StringVar(&o.Since, "since", "", "only calls from this `day` on, as 2026-11-25")
	f.StringVar(&o.State, "state", "", "only entries in this `state`: draft, checked; closed for calls")
	f.IntVar(&o.Limit, "limit", 20, "at most `N` hits on a page")
	f.IntVar(&o.page, "page", 1, "page `N` of the hits")
	f.BoolVar(&o.rebuild, "rebuild", false, "build the index anew first")
	f.BoolVar(&o.json, "json", false, "print a JSON array, best first")
	return cmd
}

// check finds wrong use before anything is opened.
func (o findOptions) check(words string) error {
	if words == "" && !o.rebuild {
		return wrongUse("say what to look for: faultbook find -- WORDS")
	}
	if o.Limit < 1 || o.Limit > 1000 {
		return wrongUse("--limit %d: must be from 1 to 1000", o.Limit)
	}
	if most := index.MostOffset/o.Limit + 1; o.page < 1 || o.page > most {
		return wrongUse("--page %d: must be from 1 to %d", o.page, most)
	}
	if o.State != "" && o.State != "draft" && o.State != "checked" && o.State != "closed" {
		return wrongUse("--state %q: must be draft, checked or closed", o.State)
	}
	for _, k := range o.Kinds {
		if !slices.Contains(call.FindKinds(), k) {
			return wrongUse("there is no kind %q to find; known: %s", k, strings.Join(call.FindKinds(), ", "))
		}
	}
	if _, err := time.Parse(time.DateOnly, o.Since); o.Since != "" && err != nil {
		return wrongUse("--since %q: write the day as 2026-11-25", o.Since)
	}
	return nil
}

func runFind(s streams, o findOptions, args []string) error {
	words := strings.TrimSpace(strings.Join(args, " "))
	if err := o.check(words); err != nil {
		return err
	}
	book, err := openBook(s)
	if err != nil {
		return err
	}
	if o.Symptom = strings.ToUpper(o.Symptom); o.Symptom != "" && kb.Get[kb.Symptom](book, o.Symptom) == nil {
		return wrongUse("there is no symptom %q; `faultbook list --kind symptom` lists them", o.Symptom)
	}
	o.Offset = (o.page - 1) * o.Limit
	if o.rebuild {
		if err := rebuildIndex(s, book); err != nil || words == "" {
			return err
		}
	}
	idx, err := openIndex(s, book)
	if err != nil {
		return err
	}
	defer idx.Close()
	told := tellNotes(s, idx, 0)
	res, err := idx.Search(words, o.Options)
	tellNotes(s, idx, told)
	if err != nil {
		return fmt.Errorf("find %q: %w", words, err)
	}
	if o.json {
		return printHitsJSON(s, res)
	}
	printHits(s, res, o)
	return nil
}

// tellNotes prints the notes of the index from one on and gives their number.
func tellNotes(s streams, idx *index.Index, from int) int {
	notes := idx.Notes()
	for _, n := range notes[from:] {
		fmt.Fprintf(s.Err, "faultbook: %s\n", n)
	}
	return len(notes)
}

// foundHit is a hit as it is printed.
type foundHit struct {
	ID      string   `json:"id"`
	Kind    string   `json:"kind"`
	Title   string   `json:"title"`
	Score   float64  `json:"score"`
	Matched []string `json:"matched"`
}

func printHitsJSON(s streams, res index.Results) error {
	list := make([]foundHit, 0, len(res.Hits))
	for _, h := range res.Hits {
		list = append(list, foundHit(h))
	}
	if res.DidYouMean != "" {
		fmt.Fprintf(s.Err, "faultbook: did you mean: %s\n", res.DidYouMean)
	}
	return printJSON(s.Out, list)
}

// printHits prints hits by kind, the best first within each; the kind of the best
// of all comes first.
func printHits(s streams, res index.Results, o findOptions) {
	if res.DidYouMean != "" {
		fmt.Fprintf(s.Out, "Did you mean: %s\n\n", res.DidYouMean)
	}
	if len(res.Hits) == 0 && o.page > 1 {
		fmt.Fprintf(s.Out, "Nothing on page %d: there are %s.\n", o.page, count(res.Total, "hit"))
		return
	}
	if len(res.Hits) == 0 {
		fmt.Fprintln(s.Out, "Nothing found. Try fewer words, or what the caller says.")
		return
	}
	p := pager{streams: s, width: width(s.Out)}
	first := true
	for _, kind := range kindsOf(res.Hits) {
		for i, h := range hitsOf(res.Hits, kind) {
			if i == 0 {
				if !first {
					fmt.Fprintln(s.Out)
				}
				first = false
				fmt.Fprintln(s.Out, call.KindTitle(kind))
			}
			p.hit(h)
		}
	}
	if more := res.Total - o.Offset - len(res.Hits); more > 0 {
		fmt.Fprintf(s.Out, "\n%d more, less like it; --page %d shows the next.\n", more, o.page+1)
	}
}

// kindsOf are the kinds of hits, as they come.
func kindsOf(hits []index.Hit) []string {
	var list []string
	for _, h := range hits {
		if !slices.Contains(list, h.Kind) {
			list = append(list, h.Kind)
		}
	}
	return list
}

func hitsOf(all []index.Hit, kind string) []index.Hit {
	var list []index.Hit
	for _, h := range all {
		if h.Kind == kind {
			list = append(list, h)
		}
	}
	return list
}

// hit prints one hit: its id, its title, and below it the words that matched.
func (p *pager) hit(h index.Hit) {
	head := fmt.Sprintf("  %-7s ", h.ID)
	if len(head) > 10 { // the ids of calls and of remedies are long
		fmt.Fprintln(p.Out, strings.TrimRight(head, " "))
		head = strings.Repeat(" ", 10)
	}
	p.wrapped(head, h.Title)
	if len(h.Matched) > 0 {
		p.wrapped(strings.Repeat(" ", 10)+"· ", strings.Join(h.Matched, ", "))
	}
}
