package main

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"faultbook/diagnose/measure"
)

// barWidth is the length of a bar that stands for the whole limit; a need above
// the limit runs on by as much again at most.
const barWidth = 20

// wrapWidth is the width at which text is wrapped: the terminal's, or 0 (not at
// all) where the output goes elsewhere.
func wrapWidth(s streams) int {
	if _, ok := terminalOf(s.Out); !ok {
		return 0
	}
	return width(s.Out)
}

// calcText writes a result for a technician: verdict, chart, working, formula,
// sources.
func calcText(r measure.Result, wrap int) string {
	var b strings.Builder
	label := map[measure.Verdict]string{measure.Pass: "PASS", measure.Tight: "TIGHT", measure.Fail: "FAIL", measure.Unknown: "NO VERDICT"}[r.Verdict]
	b.WriteString(hang(label+"  ", r.Sentence, wrap))
	if len(r.Parts) > 0 {
		b.WriteString("\n" + chart(r.Parts))
	}
	b.WriteString("\n")
	writeQuantities(&b, r.Outputs, wrap)
	if len(r.Inputs) > 0 {
		var given []string
		for _, q := range r.Inputs {
			given = append(given, fmt.Sprintf("%s %s", q.Name, q.Text))
		}
		b.WriteString("\n" + hang("  from      ", strings.Join(given, "; "), wrap))
	}
	b.WriteString(hang("  formula   ", r.Formula, wrap))
	for _, s := range r.Sources {
		b.WriteString(hang(fmt.Sprintf("  source    %-6s ", s.CheckValue), s.Words, wrap))
	}
	for _, n := range r.Notes {
		b.WriteString(hang("  note      ", n, wrap))
	}
	for _, f := range r.Facts {
		b.WriteString(hang("  fact      ", f.Name+" = "+f.Value, wrap))
	}
	b.WriteString(hang("  rounding  ", r.Rounding, wrap))
	return b.String()
}

func writeQuantities(b *strings.Builder, list []measure.Quantity, wrap int) {
	longest := 0
	for _, q := range list {
		longest = max(longest, utf8.RuneCountInString(q.Name))
	}
	for _, q := range list {
		name := strings.ReplaceAll(q.Name, "_", " ")
		b.WriteString(hang("  "+pad(name, longest)+"  ", q.Text, wrap))
	}
}

// chart draws what each part is asked for against its limit, in plain
// characters: # up to the limit, > beyond it.
func chart(parts []measure.Part) string {
	labels, figures := 0, 0
	texts := make([]string, len(parts))
	for i, p := range parts {
		texts[i] = partFigures(p)
		labels = max(labels, utf8.RuneCountInString(p.Label))
		figures = max(figures, utf8.RuneCountInString(texts[i]))
	}
	var b strings.Builder
	for i, p := range parts {
		fmt.Fprintf(&b, "  %s  %s  %s\n", pad(p.Label, labels), pad(texts[i], figures), bar(p))
	}
	return b.String()
}

func partFigures(p measure.Part) string {
	if !p.Judged {
		return measure.Show(p.Need, p.Unit, 2) + " of ?"
	}
	return fmt.Sprintf("%s of %s", measure.Show(p.Need, "", 2), measure.Show(p.Capacity, p.Unit, 2))
}

func bar(p measure.Part) string {
	if !p.Judged {
		return "[" + strings.Repeat("?", barWidth) + "]" + remark(p)
	}
	ratio := p.Need / p.Capacity
	if p.Capacity <= 0 || math.IsNaN(ratio) || ratio < 0 {
		return remark(p)
	}
	inside := min(barWidth, int(ratio*barWidth+1e-6)) // full only when full
	over := 0
	if !measure.Within(p.Need, p.Capacity) {
		inside = barWidth
		over = max(1, min(barWidth, int(math.Round((ratio-1)*barWidth))))
	}
	text := "[" + strings.Repeat("#", inside) + strings.Repeat(".", barWidth-inside)
	if over > 0 {
		text += strings.Repeat(">", over)
	} else {
		text += "]"
	}
	percent := fmt.Sprintf("%.0f %%", math.Min(ratio*100, 99999))
	if percent == "100 %" && over > 0 {
		percent = "over 100 %" // 340.01 of 340 is too much, however little
	}
	return fmt.Sprintf("%s %s%s", text, percent, remark(p))
}

// remark is the last column of the chart.
func remark(p measure.Part) string {
	switch {
	case p.OK && p.Note != "":
		return "  tight: " + p.Note
	case p.OK:
		return "  ok"
	case p.Note != "" && (!p.Judged || measure.Within(p.Need, p.Capacity)):
		return "  " + p.Note
	}
	return "  OVER"
}

func pad(text string, to int) string {
	return text + strings.Repeat(" ", max(0, to-utf8.RuneCountInString(text)))
}

// hang writes a lead and a text that is wrapped under its own beginning; with
// wrap 0 it stays on one line.
func hang(lead, text string, wrap int) string {
	if text == "" {
		return ""
	}
	indent := utf8.RuneCountInString(lead)
	room := wrap - indent
	if wrap == 0 || room < 20 {
		return lead + text + "\n"
	}
	var b strings.Builder
	line := lead
	used := 0
	for _, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		if used > 0 && used+1+n > room {
			b.WriteString(line + "\n")
			line, used = strings.Repeat(" ", indent), 0
		}
		if used > 0 {
			line += " "
			used++
		}
		line += word
		used += n
	}
	return b.String() + line + "\n"
}
