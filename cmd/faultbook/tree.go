package main

import (
	"fmt"
	"strings"
	"time"

	"faultbook/cmd/faultbook/drawing"
	"faultbook/kb"

	"github.com/spf13/cobra"
)

// treeOptions are the flags of tree.
type treeOptions struct {
	format     string
	technician bool
	page       bool
	pageSet    bool // --page was given, so the format does not decide
	cover      float64
	depth      int
	json       bool
	learnt     bool
}

func newTreeCommand(s streams) *cobra.Command {
	var o treeOptions
	cmd := &cobra.Command{
		Use:   "tree SYMPTOM",
		Short: "Draw the decision tree of a symptom, to carry on paper",
		Long: fmt.Sprintf(`Tree follows the way of a call from the first question on, keeps the branches
that most calls take and draws them: as an outline in plain text, as Markdown,
as a picture (svg) or as a card to print (html: one file, A4).

--cover says which share of the calls is to end on the tree as it would with the
program. Each cut says what share of the calls it leaves out and what to do then.
The card and the picture are cut further until the card fits one page; --page
does so for the other formats, --page=false lets the card be as long as it gets.
At most %d states are planned, so a symptom with many causes may keep less than
was asked for. Every drawing says what it keeps and why it is no more.

The tree goes by the book alone, with --learnt by your closed cases as well. The
same book, cases and flags give the same bytes.

Exit status 0: done, 1: no plan could be made, 2: wrong use.`, drawing.MaxSteps),
		Example: `  faultbook tree F-18
  faultbook tree F-18 --technician --format html > F-18.html
  faultbook tree F-12 --format markdown --cover 0.6 --page`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.pageSet = cmd.Flags().Changed("page")
			if o.json && cmd.Flags().Changed("format") {
				return wrongUse("--json is a format of its own: leave --format out")
			}
			return runTree(s, args[0], o)
		},
		ValidArgsFunction: completeSymptoms(s),
	}
	f := cmd.Flags()
	f.StringVar(&o.format, "format", "text", "`format` of the drawing: "+strings.Join(treeFormats(), ", "))
	f.BoolVar(&o.technician, "technician", false, "a technician is on site")
	f.Float64Var(&o.cover, "cover", 0.8, "`share` of the calls to keep, above 0 and at most 1")
	f.IntVar(&o.depth, "depth", 0, "steps on a branch at most (0: no limit)")
	f.BoolVar(&o.page, "page", false, "cut further until the card fits one A4 page (default for html and svg)")
	f.BoolVar(&o.learnt, "learnt", false, "go by your closed cases, too, as a call does")
	f.BoolVar(&o.json, "json", false, "print one JSON document")
	return cmd
}

func treeFormats() []string { return []string{"text", "markdown", "svg", "html"} }

func runTree(s streams, symptom string, o treeOptions) error {
	if !(o.cover > 0 && o.cover <= 1) {
		return wrongUse("--cover %v: must be above 0 and at most 1", o.cover)
	}
	if o.depth < 0 {
		return wrongUse("--depth %d: must be zero or more", o.depth)
	}
	write := treeWriter(s, o)
	if write == nil {
		return wrongUse("there is no format %q; known: %s", o.format, strings.Join(treeFormats(), ", "))
	}
	book, err := openBook(s)
	if err != nil {
		return err
	}
	if kb.Get[kb.Symptom](book, symptom) == nil {
		symptom = strings.ToUpper(symptom)
	}
	if kb.Get[kb.Symptom](book, symptom) == nil {
		return wrongUse("there is no symptom %q; `faultbook list --kind symptom` shows them", symptom)
	}
	set := drawing.Setting{Symptom: symptom, Who: kb.WhoCaller, Cover: o.cover, Depth: o.depth, OnePage: o.page}
	if o.learnt {
		desk, err := openDesk(s, time.Now)
		if err != nil {
			return err
		}
		set.Counts = learntCounts(s, desk.Store, false)
	}
	if o.technician {
		set.Who = kb.WhoTechnician
	}
	if !o.pageSet && !o.json {
		set.OnePage = o.format == "html" || o.format == "svg"
	}
	t, err := drawing.Build(book, set)
	if err != nil {
		return err
	}
	return write(t)
}

// treeWriter gives what writes the wanted format, nil where there is none.
func treeWriter(s streams, o treeOptions) func(*drawing.Tree) error {
	switch {
	case o.json:
		return func(t *drawing.Tree) error { return printJSON(s.Out, t) }
	case o.format == "text":
		return func(t *drawing.Tree) error { return t.Text(s.Out, terminalWidth(s)) }
	case o.format == "markdown":
		return func(t *drawing.Tree) error { return t.Markdown(s.Out) }
	case o.format == "svg":
		return func(t *drawing.Tree) error { return t.SVG(s.Out) }
	case o.format == "html":
		return func(t *drawing.Tree) error { return t.HTML(s.Out) }
	}
	return nil
}

// terminalWidth is that of the terminal, 0 where the output goes elsewhere:
// lines are not broken into pipes.
func terminalWidth(s streams) int {
	if _, ok := terminalOf(s.Out); ok {
		return width(s.Out)
	}
	return 0
}

// completeSymptoms offers the symptoms with their titles.
func completeSymptoms(s streams) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		book, err := openBook(s)
		if err != nil {
			return nil, cobra.ShellCompDirectiveError
		}
		var list []cobra.Completion
		for _, e := range kb.All[kb.Symptom](book) {
			list = append(list, cobra.CompletionWithDesc(e.ID, e.Title))
		}
		return list, cobra.ShellCompDirectiveNoFileComp
	}
}
