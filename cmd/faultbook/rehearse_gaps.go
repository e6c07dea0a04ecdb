package main

import (
	"fmt"
	"runtime"
	"time"

	"faultbook/kb"
)

// gapOptions are the flags of rehearse --gaps.
type gapOptions struct {
	on             bool
	states, budget int
	clusters       int
}

func (g gapOptions) check() error {
	if g.states < 0 || g.states > 100000 {
		return wrongUse("--states %d: must be from 0 to 100000", g.states)
	}
	if g.budget < 0 {
		return wrongUse("--budget %d: must be zero or more", g.budget)
	}
	if g.clusters < 0 || g.clusters > 6 {
		return wrongUse("--clusters %d: must be from 0 to 6", g.clusters)
	}
	if !g.on && g.budget > 0 {
		return wrongUse("--budget goes with --gaps only")
	}
	return nil
}

// gapJSON is the report with what the program took from the system.
type gapJSON struct {
	kb.GapReport
	MemoryMB float64 `json:"memory_mb"`
}

func runGaps(s streams, book *kb.Book, set kb.RehearseSetting, g gapOptions, asJSON bool) error {
	r, err := kb.Gaps(book, kb.GapSetting{Symptoms: set.Symptoms, Who: set.Who, States: g.states, Seed: set.Seed,
		Budget: g.budget, Clusters: g.clusters, Now: time.Now})
	if err != nil {
		return err
	}
	var mem runtime.MemStats
	runtime.ReadMemStats(&mem)
	doc := gapJSON{r, float64(mem.Sys) / (1 << 20)}
	if asJSON {
		return printJSON(s.Out, doc)
	}
	fmt.Fprintln(s.Out, "          opening: minutes  bound  (known, clusters)    gap   reachable states: minutes  bound  (known, clusters)    gap  mean gap  within 3 %  exact")
	for _, x := range r.BySymptom {
		printGap(s, x.ID, x.Opening, x.Reachable)
	}
	printGap(s, "all", r.Opening, r.Reachable)
	t := r.Times
	fmt.Fprintf(s.Out, "%d steps of a call planned: median %.1f ms, 95 %% in %.1f, 99 %% in %.1f, longest %.1f\n",
		t.Steps, t.Median, t.P95, t.P99, t.Most)
	fmt.Fprintf(s.Out, "memory taken from the system: %.0f MB\n", doc.MemoryMB)
	return nil
}

func printGap(s streams, id string, o, r kb.Gap) {
	fmt.Fprintf(s.Out, "%-8s %17.1f  %5.1f  (%5.1f, %8.1f) %5.1f %%  %24.1f  %5.1f  (%5.1f, %8.1f) %5.1f %%  %6.1f %%  %8.0f %%  %3.0f %%\n",
		id, o.Expected, o.Lower, o.Known, o.Clusters, 100*o.Gap, r.Expected, r.Lower, r.Known, r.Clusters, 100*r.Gap, 100*r.MeanGap, 100*r.Within, 100*r.Exact)
}
