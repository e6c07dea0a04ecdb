package main

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"

	"faultbook/cmd/faultbook/call"
	"faultbook/diagnose/measure"
	"faultbook/kb/room"

	"github.com/spf13/cobra"
)

func newRoomCheckCommand(s streams) *cobra.Command {
	var asJSON, notes bool
	cmd := &cobra.Command{
		Use:   "check [ROOM…]",
		Short: "Do every sum over every path of the room",
		Long: `Check does every sum that the sheet has figures for: each source on each display
at each wanted format, with the part that limits and what passes; content
protection; USB current, bandwidth, hubs and lengths; network power and
addresses; voltage drop, heat, sound levels, loudspeaker lines, legibility.
What cannot be judged because a figure is missing is listed as unknown.

ROOM is an id, the name of a room, or a file; all rooms where none is named.
Exit status 1 where a finding is an error.`,
		RunE: func(_ *cobra.Command, args []string) error { return runRoomCheck(s, args, asJSON, notes) },
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	cmd.Flags().BoolVar(&notes, "notes", false, "print notes as well")
	return cmd
}

func runRoomCheck(s streams, names []string, asJSON, notes bool) error {
	var sheets []*room.Sheet
	for _, name := range names {
		x, err := openSheet(s, name)
		if err != nil {
			return err
		}
		sheets = append(sheets, x)
	}
	if len(names) == 0 {
		var err error
		if sheets, err = openRooms(s); err != nil {
			return err
		}
	}
	reports := checkAll(sheets)
	bad := 0
	for _, r := range reports {
		bad += r.Count(room.Error)
	}
	if asJSON {
		if err := printJSON(s.Out, reports); err != nil {
			return err
		}
	} else {
		for i := range reports {
			printReport(s, &reports[i], notes)
		}
	}
	if bad > 0 {
		return errQuiet
	}
	return nil
}

// checkAll checks rooms side by side; the order of the reports is that of the
// sheets.
func checkAll(sheets []*room.Sheet) []room.Report {
	reports := make([]room.Report, len(sheets))
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				reports[i] = room.Check(sheets[i])
			}
		})
	}
	for i := range sheets {
		next <- i
	}
	close(next)
	wg.Wait()
	return reports
}

func printReport(s streams, r *room.Report, notes bool) {
	fmt.Fprintf(s.Out, "%s (%s): %d errors, %d warnings, %d unknown, %d notes\n", r.Title, r.Room,
		r.Count(room.Error), r.Count(room.Warning), r.Count(room.Unknown), r.Count(room.Note))
	wide := width(s.Out)
	for _, f := range r.Findings {
		if f.Level == room.Note && !notes {
			continue
		}
		head := fmt.Sprintf("  %-8s ", f.Level)
		for i, line := range call.Wrap(f.Text+sourceText(f.Sources)+fmt.Sprintf(" [%s, line %d]", f.Code, f.Line), wide-len(head)-1) {
			if i > 0 {
				head = strings.Repeat(" ", len(head))
			}
			fmt.Fprintf(s.Out, "%s%s\n", head, line)
		}
	}
	printMatrix(s, r)
	fmt.Fprintln(s.Out)
}

// sourceText names the check values behind a finding with their sources.
func sourceText(list []measure.Source) string {
	var out []string
	for i, x := range list {
		text := x.CheckValue
		if i+1 == len(list) || list[i+1].Words != x.Words {
			text += ": " + x.Words
		}
		out = append(out, text)
	}
	if len(out) == 0 {
		return ""
	}
	return " (check value " + strings.Join(out, ", ") + ")"
}

// printMatrix draws sources against displays: for each wanted format a sign.
func printMatrix(s streams, r *room.Report) {
	if len(r.Matrix) == 0 {
		return
	}
	fmt.Fprintln(s.Out, "  Sources and displays (+ passes, ~ may fail, x does not pass, ? unknown, - no way)")
	printGrid(s, r)
	for _, c := range r.Matrix {
		if c.Routes == 0 {
			fmt.Fprintf(s.Out, "    %-44s -\n", c.Source+" → "+c.Display)
			continue
		}
		var parts []string
		for _, f := range c.Formats {
			parts = append(parts, sign(f.Verdict)+" "+f.Format)
		}
		parts = append(parts, sign(c.Type0)+" protected", sign(c.Type1)+" type 1")
		highest := c.Highest
		if highest == "" {
			highest = "nothing"
		}
		fmt.Fprintf(s.Out, "    %-44s %s; up to %s\n", c.Source+" → "+c.Display, strings.Join(parts, "  "), highest)
	}
}

// printGrid is the matrix at a glance: for each pair the worst of its wanted
// formats.
func printGrid(s streams, r *room.Report) {
	var sources, displays []string
	cells := map[[2]string]string{}
	for _, c := range r.Matrix {
		if !slices.Contains(sources, c.Source) {
			sources = append(sources, c.Source)
		}
		if !slices.Contains(displays, c.Display) {
			displays = append(displays, c.Display)
		}
		worst := measure.Pass
		for _, f := range c.Formats {
			worst = measure.Worse(worst, f.Verdict)
		}
		cells[[2]string{c.Source, c.Display}] = sign(worst)
		switch {
		case c.Routes == 0:
			cells[[2]string{c.Source, c.Display}] = "-"
		case len(c.Formats) == 0:
			cells[[2]string{c.Source, c.Display}] = "?"
		}
	}
	if len(displays) < 2 {
		return // the list below says it all
	}
	line := fmt.Sprintf("    %-18s", "")
	for _, d := range displays {
		line += fmt.Sprintf(" %-*s", max(4, len(d)), d)
	}
	fmt.Fprintln(s.Out, strings.TrimRight(line, " "))
	for _, x := range sources {
		line := fmt.Sprintf("    %-18s", x)
		for _, d := range displays {
			line += fmt.Sprintf(" %-*s", max(4, len(d)), cells[[2]string{x, d}])
		}
		fmt.Fprintln(s.Out, strings.TrimRight(line, " "))
	}
}

func sign(v measure.Verdict) string {
	switch v {
	case measure.Pass:
		return "+"
	case measure.Tight:
		return "~"
	case measure.Fail:
		return "x"
	}
	return "?"
}
