package main

import (
	"fmt"
	"runtime"

	"faultbook/kb"

	"github.com/spf13/cobra"
)

func newRehearseCommand(s streams) *cobra.Command {
	set := kb.RehearseSetting{Who: kb.WhoCaller, Workers: runtime.GOMAXPROCS(0)}
	var asJSON, technician bool
	cmd := &cobra.Command{
		Use:   "rehearse [--symptom F-01]…",
		Short: "Play simulated calls for every cause and say how they go",
		Long: `Rehearse plays simulated calls for each cause of each symptom: the answers are
drawn from the book's own rows, misreadings included, remedies help by their
chance. It reports the share found, wrong remedies, questions and minutes, pairs
of causes that the questions hardly tell apart, and what three plain ways of
working take for the very same calls: the list of causes from top to bottom
(fixed order), one question ahead (greedy), chance over cost without questions.

The same seed gives the same figures on every machine.`,
		Example: "  faultbook rehearse --symptom F-14 --calls 50",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if technician {
				set.Who = kb.WhoTechnician
			}
			return runRehearse(s, set, asJSON)
		},
	}
	f := cmd.Flags()
	f.StringArrayVar(&set.Symptoms, "symptom", nil, "only this symptom; can be repeated")
	f.IntVar(&set.Calls, "calls", 10, "simulated calls for each cause")
	f.Uint64Var(&set.Seed, "seed", 1, "seed of the dice")
	f.BoolVar(&technician, "technician", false, "a technician is on the line")
	f.BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

func runRehearse(s streams, set kb.RehearseSetting, asJSON bool) error {
	if set.Calls < 1 || set.Calls > 100000 {
		return wrongUse("--calls %d: must be from 1 to 100000", set.Calls)
	}
	book, err := openBook(s)
	if err != nil {
		return err
	}
	for _, id := range set.Symptoms {
		if kb.Get[kb.Symptom](book, id) == nil {
			return wrongUse("there is no symptom %q; `faultbook list --kind symptom` shows them", id)
		}
	}
	r, err := kb.Rehearse(book, set)
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.Out, r)
	}
	printRehearsal(s, r)
	return nil
}

func printRehearsal(s streams, r kb.Rehearsal) {
	row := func(id string, x kb.Score, more string) {
		fmt.Fprintf(s.Out, "%-8s %6d  %5.1f %%  %5.1f %%  %5.2f  %5.2f  %6.1f  %s\n", id, x.Calls, 100*x.Found, 100*x.Cured, x.WrongRemedy, x.Questions, x.Minutes, more)
	}
	fmt.Fprintln(s.Out, "symptom   calls    found    cured  wrong  asked  minutes  fixed order / greedy / by chance; planned, bound")
	for _, x := range r.BySymptom {
		row(x.ID, x.Score, fmt.Sprintf("%6.1f / %5.1f / %5.1f; %5.1f, %5.1f", x.FixedOrder, x.Greedy, x.ByChance, x.Expected, x.Lower))
	}
	row("total", r.Total, fmt.Sprintf("%6.1f / %5.1f / %5.1f", r.Compare.FixedOrder, r.Compare.Greedy, r.Compare.ByChance))
	row("causes", r.EachCause, "each cause counted alike")
	for _, c := range r.Confusions {
		note := ""
		if c.Joint {
			note = ", deliberately joint"
		}
		fmt.Fprintf(s.Out, "%s: %s and %s are hardly told apart (%.2f bit%s)\n", c.Symptom, c.A, c.B, c.Bits, note)
	}
}
