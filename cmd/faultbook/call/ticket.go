package call

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"faultbook/kb"
	"faultbook/kb/cases"
)

func sortedIDs[T any](set map[string]T) []string {
	return slices.Sorted(maps.Keys(set))
}

// ticket is the text fit to paste: situation, found, done, left, parts,
// cautions told, minutes.
func (v *view) ticket() string {
	var b strings.Builder
	section := func(title string, lines ...string) {
		kept := lines[:0:0]
		for _, l := range lines {
			if l != "" {
				kept = append(kept, l)
			}
		}
		if len(kept) == 0 {
			return
		}
		fmt.Fprintf(&b, "%s\n", title)
		for _, l := range kept {
			fmt.Fprintf(&b, "  - %s\n", l)
		}
	}
	fmt.Fprintf(&b, "Case %s, opened %s UTC\n", v.call.file.ID, v.call.file.Opened.Format("2006-01-02 15:04"))
	section("Situation", v.situation()...)
	section("Evidence", v.evidenceLines()...)
	section("Found", v.foundLines()...)
	section("Done", v.doneLines()...)
	section("Left to do", v.leftLines()...)
	section("Parts", v.partLines()...)
	section("Cautions told", v.cautionLines()...)
	section("Notes", v.notes...)
	fmt.Fprintf(&b, "Minutes: %s\n", strings.TrimSuffix(fmt.Sprintf("%.1f", v.last.Sub(v.call.file.Opened).Minutes()), ".0"))
	return b.String()
}

func (v *view) situation() []string {
	var list []string
	for _, s := range v.symptomChances()[:min(1, len(v.symptomChances()))] {
		list = append(list, fmt.Sprintf("%s (%s)", s.Title, s.ID))
	}
	for _, w := range v.words {
		list = append(list, fmt.Sprintf("Caller: %q", w))
	}
	for _, a := range v.also() {
		if !v.well {
			list = append(list, fmt.Sprintf("Also said, not looked at yet: %s (%s): %q", a.Title, a.Symptom, a.Words))
		}
	}
	if v.who == kb.WhoTechnician {
		list = append(list, "A technician was on site.")
	}
	list = append(list, v.roomLines()...)
	for _, f := range v.factList() {
		if f.Value != "unknown" && f.From != fromRoom {
			list = append(list, fmt.Sprintf("%s: %s", f.Title, f.Label))
		}
	}
	return list
}

// evidenceLines are the verdicts and figures of readings and sums, with what
// they rest on.
func (v *view) evidenceLines() []string {
	var list []string
	for _, e := range v.evidence {
		for i, line := range e.Text {
			if i == 0 {
				line = evidenceTitle(e) + ": " + line
			}
			list = append(list, line)
		}
	}
	return list
}

// foundLines names what was found, or the likeliest causes where it was not.
func (v *view) foundLines() []string {
	var list []string
	for _, f := range v.foundList() {
		list = append(list, fmt.Sprintf("%s (%s)", f.Title, f.ID))
	}
	if v.closed != nil && v.closed.Cause != "" && v.closed.Cause != kb.SomethingElse {
		list = append(list, fmt.Sprintf("%s (%s), as closed by the agent", v.causeTitle(v.closed.Cause), v.closed.Cause))
	}
	if len(list) > 0 {
		return list
	}
	for _, c := range v.causes() {
		if len(list) == 3 || c.Chance < 0.05 {
			break
		}
		list = append(list, fmt.Sprintf("Likely: %s (%s), %s", c.Title, c.ID, Percent(c.Chance)))
	}
	return list
}

func (v *view) doneLines() []string {
	var list []string
	for _, t := range v.order {
		if r := kb.Get[kb.Remedy](v.call.desk.Book, t.Remedy); r != nil {
			list = append(list, fmt.Sprintf("%s: %s", r.Title, resultText(t.Result)))
		}
	}
	if v.workaround == "works" {
		list = append(list, "The meeting was started with a workaround.")
	}
	if v.handover != "" {
		list = append(list, "Passed on: "+kb.Get[kb.Handover](v.call.desk.Book, v.handover).Title)
	}
	if v.closed != nil && v.closed.Note != "" {
		list = append(list, v.closed.Note)
	}
	return list
}

// leftLines are what whoever takes over can do: the remedies of the likeliest
// causes that were not tried. Where the agent ended the call with a cause and
// passed it to nobody, nothing is left.
func (v *view) leftLines() []string {
	if v.cured || v.compiled == nil {
		return nil
	}
	known := ""
	if v.closed != nil && v.closed.Cause != kb.SomethingElse {
		known = v.closed.Cause
	}
	if known != "" && v.handover == "" {
		return nil
	}
	var list []string
	seen := map[string]bool{}
	for _, c := range v.causes() {
		e := kb.Get[kb.Cause](v.call.desk.Book, c.ID)
		if e == nil || len(list) >= 5 || known == "" && c.Chance < 0.1 || known != "" && c.ID != known {
			continue
		}
		for _, r := range e.Remedies {
			rem := kb.Get[kb.Remedy](v.call.desk.Book, r.ID)
			if rem == nil || seen[r.ID] || v.tried[r.ID] == cases.Same {
				continue
			}
			seen[r.ID] = true
			list = append(list, fmt.Sprintf("%s (for %s)", rem.Title, e.Title))
		}
	}
	return list
}

func (v *view) partLines() []string {
	if v.handover == "" {
		return nil
	}
	return v.partTitles(v.handoverParts(kb.Get[kb.Handover](v.call.desk.Book, v.handover)))
}

// cautionLines are the cautions that the steps of this call carried.
func (v *view) cautionLines() []string {
	seen := map[string]bool{}
	for _, t := range v.order {
		if r := kb.Get[kb.Remedy](v.call.desk.Book, t.Remedy); r != nil {
			for _, id := range r.Cautions {
				seen[id] = true
			}
		}
	}
	if s, ok := v.stopStep(); ok {
		for _, c := range s.Cautions {
			seen[c.ID] = true
		}
	}
	if v.handover != "" {
		for _, id := range v.causeCautions() {
			seen[id] = true
		}
	}
	var list []string
	for _, c := range v.cautions(sortedIDs(seen)) {
		list = append(list, fmt.Sprintf("%s (%s)", c.Say, c.Defer))
	}
	return list
}
