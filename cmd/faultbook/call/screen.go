package call

import (
	"fmt"
	"io"
	"regexp"
	"strings"
)

// Screen prints the state of a call for a person at a terminal. Nothing is
// ever overwritten: what was said stays above, for the eye and for a screen
// reader.
type Screen struct {
	Out    io.Writer
	Width  int  // columns
	Colour bool // bold and dim only; never the only sign of anything
	Keys   bool // print the keys below a step
}

func (s *Screen) line(format string, args ...any) {
	fmt.Fprintln(s.Out, strings.TrimRight(fmt.Sprintf(format, args...), " "))
}

func (s *Screen) bold(text string) string {
	if s.Colour {
		return "\x1b[1m" + text + "\x1b[0m"
	}
	return text
}

func (s *Screen) dim(text string) string {
	if s.Colour {
		return "\x1b[2m" + text + "\x1b[0m"
	}
	return text
}

// para prints text wrapped to the width, the first line after head, the
// others indented below it.
func (s *Screen) para(head, text string) {
	indent := strings.Repeat(" ", len([]rune(head)))
	for i, line := range Wrap(text, s.Width-len(indent)-1) {
		if i == 0 {
			s.line("%s%s", head, line)
		} else {
			s.line("%s%s", indent, line)
		}
	}
}

// row prints one line of a table: head, a title padded to its column, a chance
// and a tail. On a narrow terminal the column gives way and the title is cut.
func (s *Screen) row(head, title string, column int, chance, tail string) {
	const chances = 10 // a blank and the column of chances
	room := max(20, s.Width-columns(head)-chances-columns(tail))
	s.line("%s%-*s %9s%s", head, min(column, room), clip(title, room), chance, tail)
}

// escape matches what switches bold and dim, which takes no column.
var escape = regexp.MustCompile("\x1b\\[[0-9]*m")

// columns is how many columns a text takes.
func columns(text string) int { return len([]rune(escape.ReplaceAllString(text, ""))) }

// Wrap breaks text at spaces into lines of at most width runes, at least 20; a
// word that is longer stands alone. Line feeds in the text stay.
func Wrap(text string, width int) []string {
	width = max(width, 20)
	var lines []string
	for _, para := range strings.Split(strings.TrimSpace(text), "\n") {
		current := ""
		for _, word := range strings.Fields(para) {
			switch {
			case current == "":
				current = word
			case columns(current)+1+columns(word) <= width:
				current += " " + word
			default:
				lines = append(lines, current)
				current = word
			}
		}
		lines = append(lines, current)
	}
	return lines
}

// Heard prints what the caller's words point to: the first screen.
func (s *Screen) Heard(o Out) {
	if len(o.Symptoms) > 0 {
		s.line("")
		s.line("  Sounds like")
		for _, c := range o.Symptoms[:min(3, len(o.Symptoms))] {
			s.row(fmt.Sprintf("    %-6s ", c.ID), c.Title, 52, Percent(c.Chance), "")
		}
	}
	s.Room(o.Room)
	if len(o.Suggested) > 0 {
		s.line("  Heard, counts once confirmed")
		for i, f := range o.Suggested {
			s.para(fmt.Sprintf("    y%d  ", i+1), fmt.Sprintf("%s: %s (%q)", f.Title, f.Label, f.Words))
		}
	}
	if o.Minutes.Heard != nil {
		s.line("  Meeting in %s, as heard; m lets it count", shortMinutes(*o.Minutes.Heard))
	}
	if len(o.Also) > 0 {
		s.line("  Also said, kept for after the first")
		for _, a := range o.Also {
			s.para(fmt.Sprintf("    %-6s ", a.Symptom), fmt.Sprintf("%s (%q)", a.Title, a.Words))
		}
	}
	if len(o.Similar) > 0 {
		s.line("  Seen before")
		for _, x := range o.Similar[:min(3, len(o.Similar))] {
			s.para("    ", fmt.Sprintf("%s %s: %s", x.Kind, x.ID, x.Title))
		}
	}
}

// Step prints what to do now.
func (s *Screen) Step(o Out) {
	s.line("")
	s.head(o)
	for _, c := range o.Step.Cautions {
		s.caution(c)
	}
	st := o.Step
	switch st.Kind {
	case StepStop:
		s.para("  STOP  ", s.bold(st.Say))
	case StepHandover, StepDone:
		s.para("  "+s.bold(st.Title)+"  ", "")
		s.para("    Say: ", st.Say)
	default:
		s.para("    ", s.bold(st.Say))
	}
	if st.Look != "" {
		s.para("    ", st.Look)
	}
	for _, l := range st.Lamps {
		s.para("    Lamps: ", l)
	}
	for i, act := range st.Steps {
		s.para(fmt.Sprintf("     %d) ", i+1), act)
	}
	if st.Check != "" {
		s.para("    Then ask: ", st.Check)
	}
	if st.Back != "" {
		s.para("    If it did not help: ", st.Back)
	}
	for _, p := range st.Parts {
		s.para("    Take along: ", p)
	}
	s.options(st)
	if st.Kind == StepSum {
		s.para("    Or by sum "+st.ID+": ", inputNames(st.Inputs))
	}
	s.para("    Why: ", s.dim(st.Why))
	if o.Doubt != nil {
		s.para("  Check: ", o.Doubt.Text)
	}
	if s.Keys && st.Kind != StepDone {
		s.keys(o)
	}
}

// head is the line over a step: what it is and how the time stands.
func (s *Screen) head(o Out) {
	word := map[string]string{StepAsk: "Ask", StepSum: "Ask or sum", StepTry: "Try", StepHandover: "Hand over", StepStop: "Stop", StepDone: "Done"}[o.Step.Kind]
	clock := fmt.Sprintf("%s spent", shortMinutes(o.Minutes.Spent))
	if o.Minutes.Expected > 0 {
		clock += fmt.Sprintf(", about %s to go", shortMinutes(o.Minutes.Expected))
	}
	if o.Minutes.Meeting != nil {
		clock += fmt.Sprintf(", meeting in %s", shortMinutes(*o.Minutes.Meeting))
	}
	left := "-- " + word + " "
	fill := max(3, s.Width-1-len(left)-len(clock)-1)
	s.line("%s%s %s", s.bold(left), strings.Repeat("-", fill), clock)
}

func shortMinutes(m float64) string { return fmt.Sprintf("%.0f min", m) }

func (s *Screen) caution(c Caution) {
	s.para("  ! Caution: ", s.bold(c.Say))
	s.para("             ", "Defer to: "+c.Defer)
}

// shownOptions is how many answers get a digit; the rest of a long list is
// reached by typing words.
const shownOptions = 9

func (s *Screen) options(st Step) {
	if len(st.Answers) == 0 {
		return
	}
	for i, a := range st.Answers[:min(shownOptions, len(st.Answers))] {
		s.para(fmt.Sprintf("      %d  ", i+1), a.Label)
	}
	if st.asked() != "" && st.ID != AskSymptom {
		s.line("      0  Cannot tell")
	}
	if n := len(st.Answers) - shownOptions; n > 0 {
		s.line("      (%d more: s lists all)", n)
	}
}

// keys shows what can be pressed.
func (s *Screen) keys(o Out) {
	list := []string{}
	switch o.Step.Kind {
	case StepAsk, StepSum, StepTry:
		list = append(list, fmt.Sprintf("1-%d answer", min(shownOptions, len(o.Step.Answers))))
	case StepHandover, StepStop:
		list = append(list, "1 hand over")
	}
	if len(o.Suggested) > 0 {
		list = append(list, "y confirm what was heard")
	}
	list = append(list, "t type words", "? why", "u undo", "c causes", "f facts", "w workaround", "h hand over",
		"n note", "m meeting", "p person", "o room", "s symptom", "r read a file", "x do a sum", "e end", "k ticket", "q leave")
	s.para("    Keys: ", s.dim(strings.Join(list, " | ")))
}

// Causes prints the ranking with bars of plain characters.
func (s *Screen) Causes(o Out) {
	s.line("")
	s.line("  Chances now")
	// A wide terminal has room for long titles and long bars, a usual one for
	// both shorter, a narrow one for no bars: the chance says the same.
	column, long := 46, 20.0
	switch {
	case s.Width < 80:
		long = 0
	case s.Width < 98:
		column, long = 38, 10
	}
	for i, c := range o.Causes {
		if i == 12 || c.Chance < 0.005 {
			s.line("    and %d more below", len(o.Causes)-i)
			break
		}
		bar := ""
		if long > 0 {
			bar = "  " + strings.Repeat("=", int(c.Chance*long+0.5))
		}
		s.row(fmt.Sprintf("    %-14s ", c.ID), clip(c.Title, column), column, Percent(c.Chance), bar)
		if c.Why != "" {
			s.para("      ", c.Why)
		}
	}
}

func clip(text string, width int) string {
	r := []rune(text)
	if len(r) <= width {
		return text
	}
	return string(r[:width-1]) + "…"
}

// Facts prints what is known, numbered for changing.
func (s *Screen) Facts(o Out) {
	s.line("")
	s.line("  Known so far")
	if len(o.Facts) == 0 {
		s.line("    nothing yet")
	}
	for i, f := range o.Facts {
		from := f.From
		if f.Figures != "" {
			from += ": " + f.Figures
		}
		s.para(fmt.Sprintf("    %2d  ", i+1), fmt.Sprintf("%s: %s (%s)", f.Title, f.Label, from))
	}
}

// Table prints the long reason of a step.
func (s *Screen) Table(rows []Row) {
	s.line("")
	if len(rows) == 0 {
		s.line("  There is no more to say about this step.")
		return
	}
	s.line("  What each answer would change")
	for _, r := range rows {
		s.para("    ", fmt.Sprintf("%s: %s", r.Label, Percent(r.Chance)))
		for _, c := range r.After {
			s.row("        ", clip(c.Title, 50), 50, Percent(c.Chance), "")
		}
		if r.Expected > 0 {
			s.line("        then about %s to go", minutesText(r.Expected))
		}
	}
}

// shownSways is how many figures are shown; a step that hangs on more than
// these hangs on none of them.
const shownSways = 5

// Sways prints the authored figures on which the step hangs.
func (s *Screen) Sways(list []Sway) {
	if len(list) == 0 {
		s.para("  ", "No figure of the book, moved by one word, would change this step.")
		return
	}
	s.para("  ", "Another step would come, if one word in the book were another")
	for _, x := range list[:min(shownSways, len(list))] {
		s.para("    ", fmt.Sprintf("%s: %s instead of %s gives %q", x.Figure, x.Moved, x.Now, x.Step))
	}
	if n := len(list) - shownSways; n > 0 {
		s.line("    and %d more", n)
	}
}

// Text prints a block of lines as they are.
func (s *Screen) Text(title, text string) {
	s.line("")
	s.line("  %s", title)
	for _, l := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		s.line("    %s", l)
	}
}
