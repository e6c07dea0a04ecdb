package main

import (
	"bytes"
	"fmt"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/spf13/cobra"
)

// statsOptions are the flags of cases stats.
type statsOptions struct {
	since string
	svg   string
	json  bool
}

func newCasesStatsCommand(s streams, now func() time.Time) *cobra.Command {
	var o statsOptions
	cmd := &cobra.Command{
		Use:   "stats",
		Short: "Count calls: symptoms, causes, cures, visits, minutes, idle entries",
		Long: fmt.Sprintf(`Stats counts the calls, or those since a day: by symptom and cause, how many
were cured on the phone, how many visits there were, and what they took against
what the engine expected at the opening.

Minutes on the line are those between the events of a call, without gaps of
more than an hour; where a call was passed on, the minutes that the book counts
for the handover are added, as the expectation holds them too. The expectation
is that of the symptom before anything is known, by the book alone.

A question never helped where it was asked and answered %d times or more and no
answer ever changed which cause was likeliest, over the newest %d calls. Entries
count as unused when no call of the year before the newest call used them; that
is told once the calls go back so far.

--svg writes a chart of the calls. Exit status 0: done, 2: wrong use.`, cases.IdleAnswers, call.MovedCalls),
		Example: "  faultbook cases stats --since 2026-01-01 --svg calls.svg",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runCasesStats(s, o, now) },
	}
	f := cmd.Flags()
	f.StringVar(&o.since, "since", "", "only calls opened on this `day` or later, as 2026-11-25")
	f.StringVar(&o.svg, "svg", "", "write a chart to `FILE` (- for standard output, instead of the text)")
	f.BoolVar(&o.json, "json", false, "print one JSON document")
	return cmd
}

// statsOut is what stats prints as JSON.
type statsOut struct {
	Since string `json:"since"` // "" for all
	cases.Stats
	Unreadable int `json:"unreadable"` // case files that cannot be used
	// Groups are the calls about rooms that have a sheet, by site and type.
	Groups []roomGroup `json:"room_groups"`
	// Replayed is the number of calls that were played again for idle_questions.
	Replayed int `json:"replayed"`
}

func runCasesStats(s streams, o statsOptions, now func() time.Time) error {
	if o.json && o.svg == "-" {
		return wrongUse("--json and --svg - both want the standard output")
	}
	since, err := parseDay(o.since)
	if err != nil {
		return err
	}
	desk, err := openDesk(s, now)
	if err != nil {
		return err
	}
	all, unread := allRecords(s, desk)
	picked := cases.Filter{Since: since}.Pick(all)
	moves, replayed := call.Moves(desk, picked, call.MovedCalls)
	out := statsOut{o.since, cases.Count(picked, moves, all, now(), call.Trade(desk)), unread, roomGroups(desk, picked), replayed}
	if o.svg != "" {
		if err := writeChart(s, o, out.Stats); err != nil {
			return err
		}
	}
	switch {
	case o.json:
		return printJSON(s.Out, out)
	case o.svg != "-":
		printStats(s, desk.Book, out)
	}
	return nil
}

func writeChart(s streams, o statsOptions, stats cases.Stats) error {
	period := "of all time"
	if o.since != "" {
		period = "since " + o.since
	}
	var buf bytes.Buffer
	if err := cases.WriteChart(&buf, stats, period); err != nil {
		return err
	}
	if o.svg == "-" {
		_, err := s.Out.Write(buf.Bytes())
		return err
	}
	if err := cases.WriteFile(o.svg, buf.Bytes(), false); err != nil {
		return wrongUse("%w", err)
	}
	return nil
}

// namedUnused is how many unused entries of a kind are named in the text.
const namedUnused = 8

func printStats(s streams, book *kb.Book, out statsOut) {
	w := s.Out
	fmt.Fprintf(w, "%s, %d open\n", count(out.Calls, "call"), out.Open)
	if out.Calls == 0 {
		return
	}
	ended := out.Calls - out.Open
	fmt.Fprintf(w, "  %-24s %6d  %s of the %d that ended\n", "cured on the phone", out.OnPhone, wholePercent(out.PhoneShare), ended)
	for _, l := range []struct {
		name string
		n    int
	}{{"cured in all", out.Cured}, {"passed on", out.Handover}, {"visits", out.Visits}, {"closed otherwise", out.Closed},
		{"started by a workaround", out.Started}, {"cause known", out.Known}} {
		fmt.Fprintf(w, "  %-24s %6d\n", l.name, l.n)
	}
	if m := out.Minutes; m.Calls > 0 {
		fmt.Fprintf(w, "  minutes on the line      %6.1f  on average, half of the calls took %.1f or less\n", m.Line, m.Median)
		fmt.Fprintf(w, "  minutes with handovers   %6.1f  the engine expected %.1f at the opening\n", m.Spent, m.Expected)
	}
	printSymptomStats(s, out.Symptoms)
	if len(out.Causes) > 0 {
		fmt.Fprintln(w, "\nCauses")
	}
	for _, c := range out.Causes {
		fmt.Fprintf(w, "  %-10s %6d  %s\n", c.Cause, c.Calls, c.Title)
	}
	printGroups(s, out.Groups)
	printIdle(s, out)
	printUnused(s, out.Unused)
}

func printSymptomStats(s streams, list []cases.SymptomStat) {
	fmt.Fprintln(s.Out, "\nSymptom   calls   phone  visits  minutes  expected")
	for _, l := range list {
		name, title := l.Symptom, l.Title
		if name == "" {
			name, title = "-", "nothing understood"
		}
		figures := fmt.Sprintf("%7s  %8s", "-", "-")
		if l.Minutes.Calls > 0 {
			figures = fmt.Sprintf("%7.1f  %8.1f", l.Minutes.Spent, l.Minutes.Expected)
		}
		fmt.Fprintf(s.Out, "  %-6s %6d  %6d  %6d  %s  %s\n", name, l.Calls, l.OnPhone, l.Visits, figures, title)
	}
}

func printIdle(s streams, out statsOut) {
	if len(out.Idle) == 0 {
		return
	}
	fmt.Fprintf(s.Out, "\nAnswered in %s looked at, but no answer changed the likeliest cause\n", count(out.Replayed, "call"))
	for _, q := range out.Idle {
		fmt.Fprintf(s.Out, "  %-24s %6d  %s\n", q.Question, q.Answered, q.Title)
	}
}

func printUnused(s streams, u cases.Unused) {
	if !u.Known {
		fmt.Fprintln(s.Out, "\nEntries not used for a year: the calls do not go back a year.")
		return
	}
	fmt.Fprintf(s.Out, "\nNot used since %s\n", u.Since)
	byKind := map[string][]cases.UnusedEntry{}
	var kinds []string
	for _, e := range u.Entries {
		if byKind[e.Kind] == nil {
			kinds = append(kinds, e.Kind)
		}
		byKind[e.Kind] = append(byKind[e.Kind], e)
	}
	for _, kind := range kinds {
		list := byKind[kind]
		fmt.Fprintf(s.Out, "  %s\n", count(len(list), kind))
		for _, e := range list[:min(namedUnused, len(list))] {
			fmt.Fprintf(s.Out, "    %-24s %s\n", e.ID, e.Title)
		}
		if more := len(list) - namedUnused; more > 0 {
			fmt.Fprintf(s.Out, "    and %d more; --json lists all\n", more)
		}
	}
}
