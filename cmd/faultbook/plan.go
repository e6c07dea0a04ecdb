package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"faultbook/diagnose"

	"github.com/spf13/cobra"
)

func newPlanCommand(s streams) *cobra.Command {
	var opt planOptions
	cmd := &cobra.Command{
		Use:   "plan FILE",
		Short: "Work out the cheapest way through a diagnosis model",
		Long: `Plan reads a model (causes with priors, questions, repairs, final actions) in
JSON from FILE, or from standard input if FILE is -, and prints the expected
cost of the best policy that it finds, the lower bound that it has proved and
the first step.

--budget counts states that the search expands, never seconds, so that the
same file gives the same answer everywhere.

Exit status 0: done, 1: no policy is sure to end the case, 2: FILE cannot be
read or is no model.`,
		Example: "  faultbook plan --tree model.json",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return runPlan(s, args[0], opt)
		},
	}
	cmd.Flags().IntVar(&opt.budget, "budget", 0, "states to expand at most (0: as many as suit the size of the model)")
	cmd.Flags().BoolVar(&opt.tree, "tree", false, "write out the whole policy")
	cmd.Flags().IntVar(&opt.depth, "depth", 0, "steps of the tree to write out (0: all)")
	cmd.Flags().BoolVar(&opt.json, "json", false, "print one JSON document")
	return cmd
}

type planOptions struct {
	budget, depth int
	tree, json    bool
}

// treeNodes is how many steps of a tree are written out at most.
const treeNodes = 2000

func runPlan(s streams, file string, opt planOptions) error {
	if opt.budget < 0 {
		return wrongUse("--budget %d: must be zero or more", opt.budget)
	}
	m, err := readModelFile(s, file)
	if err != nil {
		return err
	}
	policy, plan, err := m.Policy(m.NewState(), diagnose.Options{Budget: opt.budget})
	var endless *diagnose.EndlessError
	if errors.As(err, &endless) {
		return failed("%s: %w", file, err)
	}
	if err != nil {
		return wrongUse("%s: %w", file, err)
	}
	cost, err := diagnose.EvaluatePolicy(m, m.NewState(), policy)
	if err != nil {
		return fmt.Errorf("follow the policy found: %w", err)
	}
	if math.Abs(cost-plan.Expected) > 1e-6*(1+math.Abs(cost)) {
		return fmt.Errorf("the policy found costs %v, the search said %v; please report this model", cost, plan.Expected)
	}
	var tree *diagnose.Tree
	if opt.tree {
		tree, err = diagnose.BuildTree(m, m.NewState(), policy, diagnose.TreeLimits{Depth: opt.depth, Nodes: treeNodes})
		if err != nil {
			return err
		}
	}
	if opt.json {
		return printJSON(s.Out, planDocument(m, plan, tree))
	}
	printPlan(s.Out, m, plan, tree)
	return nil
}

// mostModel is the largest model that is read, in bytes; those of the book have
// up to one million.
const mostModel = 64 << 20

func readModelFile(s streams, file string) (*diagnose.Model, error) {
	in := s.In
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, wrongUse("%w", err)
		}
		defer f.Close()
		in = f
	}
	m, err := diagnose.ReadModel(io.LimitReader(in, mostModel)) // a device may never end
	if err != nil {
		return nil, wrongUse("%s: %w", file, err)
	}
	return m, nil
}

type planJSON struct {
	ExpectedCost float64    `json:"expected_cost"`
	Exact        bool       `json:"exact"`
	LowerBound   float64    `json:"lower_bound"`
	FirstAction  actionJSON `json:"first_action"`
	States       int        `json:"states"`
	Tree         *treeJSON  `json:"tree,omitempty"`
}

type actionJSON struct {
	Kind   string   `json:"kind"`
	ID     string   `json:"id"`
	Extras []string `json:"extras,omitempty"`
}

type treeJSON struct {
	On     string     `json:"on,omitempty"`
	Chance float64    `json:"chance"`
	Action actionJSON `json:"action"`
	Cut    bool       `json:"cut,omitempty"`
	Next   []treeJSON `json:"next,omitempty"`
}

func planDocument(m *diagnose.Model, p diagnose.Plan, t *diagnose.Tree) planJSON {
	doc := planJSON{p.Expected, p.Exact, p.Lower, actionDocument(m, p.First), p.States, nil}
	if t != nil {
		root := treeDocument(m, t, nil)
		doc.Tree = &root
	}
	return doc
}

func actionDocument(m *diagnose.Model, a diagnose.Action) actionJSON {
	doc := actionJSON{Kind: a.Kind.String()}
	switch a.Kind {
	case diagnose.Ask:
		doc.ID = m.Questions[a.Index].ID
	case diagnose.Try:
		doc.ID = m.Repairs[a.Index].ID
	case diagnose.End:
		doc.ID = m.Finals[a.Index].ID
		for _, x := range a.Extras {
			doc.Extras = append(doc.Extras, m.Finals[a.Index].Extras[x].ID)
		}
	}
	return doc
}

func treeDocument(m *diagnose.Model, t, parent *diagnose.Tree) treeJSON {
	doc := treeJSON{On: outcomeName(m, t, parent), Chance: t.Chance, Action: actionDocument(m, t.Action), Cut: t.Cut}
	for _, k := range t.Kids {
		doc.Next = append(doc.Next, treeDocument(m, k, t))
	}
	return doc
}

// outcomeName says what came of the parent's step.
func outcomeName(m *diagnose.Model, t, parent *diagnose.Tree) string {
	switch {
	case parent == nil:
		return ""
	case t.Answer < 0:
		return "not cured"
	}
	return m.Questions[parent.Action.Index].Answers[t.Answer]
}

func printPlan(w io.Writer, m *diagnose.Model, p diagnose.Plan, t *diagnose.Tree) {
	proof := fmt.Sprintf("no policy costs less than %.6g", p.Lower)
	if p.Exact {
		proof = "no policy costs less"
	}
	fmt.Fprintf(w, "expected cost  %.6g (%s)\n", p.Expected, proof)
	fmt.Fprintf(w, "first step     %s\n", stepText(m, p.First))
	fmt.Fprintf(w, "states         %d\n", p.States)
	if t != nil {
		fmt.Fprintln(w)
		printTree(w, m, t, nil, 0)
	}
}

func stepText(m *diagnose.Model, a diagnose.Action) string {
	doc := actionDocument(m, a)
	if a.Kind == diagnose.Nothing {
		return "none, the cause is known"
	}
	text := doc.Kind + " " + doc.ID
	if len(doc.Extras) > 0 {
		text += " with " + strings.Join(doc.Extras, ", ")
	}
	return text
}

func printTree(w io.Writer, m *diagnose.Model, t, parent *diagnose.Tree, depth int) {
	indent := strings.Repeat("  ", depth)
	on := ""
	if parent != nil {
		on = outcomeName(m, t, parent) + ": "
	}
	step := stepText(m, t.Action)
	switch {
	case t.Cut:
		step = "…"
	case t.Action.Kind == diagnose.Nothing:
		step = "cause found"
	}
	fmt.Fprintf(w, "%s%s%s (%.1f %%)\n", indent, on, step, 100*t.Chance)
	for _, k := range t.Kids {
		printTree(w, m, k, t, depth+1)
	}
}
