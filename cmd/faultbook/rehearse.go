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
	var gaps gapOptions
	var name, day string
	cmd := &cobra.Command{
		Use:   "rehearse [--symptom F-01]…",
		Short: "Play simulated calls for every cause and say how they go",
		Long: `Rehearse plays simulated calls for each cause of each symptom: the answers are
drawn from the book's own rows, misreadings included, remedies help by their
chance. Found: the call was cured, or handed over with the right cause first (or
one that the book joins with it, because one remedy serves both). A wrong remedy
is one that could not have cured the cause; a vain one cures it at times and did
not that time. It reports these, questions and minutes, and pairs of causes that
the questions hardly tell apart.

It also works out the expected minutes over all answers of the program's way of
working and of three plain ones: the list of causes from top to bottom (fixed
order), one question ahead (greedy), chance over cost without questions (by
chance). Planned and greedy are compared on the same cases, and what was to be
expected of a case is taken out of its luck: so the error of how much greedy
takes more, behind ±, is far less than that of each. Both leave out a question
when a like one is answered, as a call does. No cases are drawn for the others.

With --gaps it plans instead from the opening of each symptom and from random
states that can follow, and reports the exact cost of the policy found, the
lower bound proven for it and the gap between the two; with --budget after
expanding that many states, which no call has the time for. Known is the part of
the bound that would remain if the cause were known, clusters if it were known
which few causes it is one of, with questions to tell those apart; the search
adds the rest. --clusters says how many causes these are: with more the bound is
stronger and takes longer, with 4 some seconds a symptom. Steps are timed with
the budget of a call.

With --room the same calls about a room are played twice, with its sheet and
without, and compared; their causes are drawn as the sheet lets expect them, and
--calls is for each symptom. --day is the day of the calls, which ages the sheet.

The same seed gives the same figures, times aside, on every machine.`,
		Example: "  faultbook rehearse --symptom F-14 --calls 50",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if technician {
				set.Who = kb.WhoTechnician
			}
			if name != "" {
				return runRehearseRoom(s, set, name, day, asJSON)
			}
			return runRehearse(s, set, gaps, asJSON)
		},
	}
	f := cmd.Flags()
	f.StringArrayVar(&set.Symptoms, "symptom", nil, "only this symptom; can be repeated")
	f.IntVar(&set.Calls, "calls", 10, "simulated calls for each cause")
	f.Uint64Var(&set.Seed, "seed", 1, "seed of the dice")
	f.StringVar(&name, "room", "", "compare calls with the sheet of this `room` and without; all for every room")
	f.StringVar(&day, "day", "", "day of the calls with --room, as 2026-04-01; today if empty")
	f.BoolVar(&technician, "technician", false, "a technician is on the line")
	f.BoolVar(&gaps.on, "gaps", false, "say how far plans may be from the best, and how long steps take, instead of playing calls")
	f.IntVar(&gaps.states, "states", 200, "with --gaps: random reachable states of each symptom")
	f.IntVar(&gaps.budget, "budget", 0, "with --gaps: states that a plan may expand (0: as in a call)")
	f.IntVar(&gaps.clusters, "clusters", 4, "with --gaps: causes that the bound takes together (0: none)")
	f.BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

func runRehearse(s streams, set kb.RehearseSetting, gaps gapOptions, asJSON bool) error {
	if err := gaps.check(); err != nil {
		return err
	}
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
	if gaps.on {
		return runGaps(s, book, set, gaps, asJSON)
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
		fmt.Fprintf(s.Out, "%-8s %6d  %5.1f %%  %5.1f %%  %5.2f  %5.2f  %5.2f  %6.1f  %s\n", id, x.Calls, 100*x.Found, 100*x.Cured, x.WrongRemedy, x.VainRemedy, x.Questions, x.Minutes, more)
	}
	fmt.Fprintln(s.Out, "symptom   calls    found    cured  wrong   vain  asked  minutes  expected: planned / greedy / by chance / fixed order; greedy takes more; proven bound")
	for _, x := range r.BySymptom {
		row(x.ID, x.Score, fmt.Sprintf("%s; %s; %.1f", comparison(x.Compare), greedyMore(x.Compare), x.Lower))
	}
	row("total", r.Total, comparison(r.Compare)+"; "+greedyMore(r.Compare))
	row("causes", r.EachCause, "each cause counted alike")
	c := r.Compare
	fmt.Fprintf(s.Out, "planned takes %.0f %% less than the fixed order, %.0f %% less than chance over cost, %.1f %% less than greedy\n",
		100*(1-c.Planned/c.FixedOrder), 100*(1-c.Planned/c.ByChance), 100*(1-c.Planned/c.Greedy))
	for _, c := range r.Confusions {
		note := ""
		if c.Joint {
			note = ", deliberately joint"
		}
		fmt.Fprintf(s.Out, "%s: %s and %s are hardly told apart (%.2f bit%s)\n", c.Symptom, c.A, c.B, c.Bits, note)
	}
}

func greedyMore(c kb.Compare) string {
	return fmt.Sprintf("%+.2f ±%.2f", c.GreedyMore, c.GreedyMoreError)
}

func comparison(c kb.Compare) string {
	return fmt.Sprintf("%5.1f / %5.1f / %5.1f / %5.1f", c.Planned, c.Greedy, c.ByChance, c.FixedOrder)
}
