package page

import (
	"fmt"
	"math"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/kb"
)

// sumResult is what came of a sum, laid out.
type sumResult struct {
	Verdict, Word, Sentence string
	Outputs, Inputs         []pair
	Formula, Rounding       string
	Sources                 []item
	Notes                   []string
	Facts                   []measure.Fact
	Parts                   []partRow
}

type pair struct{ Name, Text string }

// partRow is a part of a chain against what is asked of it. Widths are per
// cent of the drawing: the limit stands at limitAt.
type partRow struct {
	Label, Figures, Word, Note string
	Inside, Over               string // widths of the bars, "" for none
	OverFrom                   string
	Judged, OK                 bool
}

// limitAt is where the limit stands in the drawing of a part, in per cent of
// its width; what is too much goes on to the right of it.
const limitAt = 66.0

func newSumResult(r measure.Result) *sumResult {
	out := &sumResult{Verdict: string(r.Verdict), Word: verdictWord(r.Verdict), Sentence: r.Sentence, Formula: r.Formula,
		Rounding: r.Rounding, Notes: r.Notes, Facts: r.Facts}
	for _, q := range r.Outputs {
		out.Outputs = append(out.Outputs, pair{plainName(q.Name), q.Text})
	}
	for _, q := range r.Inputs {
		out.Inputs = append(out.Inputs, pair{plainName(q.Name), q.Text})
	}
	for _, x := range r.Sources {
		it := item{ID: x.CheckValue, Text: x.Words}
		if x.CheckValue != "" {
			it.Text, it.Note, it.Href = "check value", x.Words, entryHref(string(kb.KindValue), x.CheckValue)
		}
		out.Sources = append(out.Sources, it)
	}
	for _, p := range r.Parts {
		out.Parts = append(out.Parts, newPartRow(p))
	}
	return out
}

func plainName(name string) string {
	return capital(strings.NewReplacer("_", " ", "-", " ").Replace(name))
}

func verdictWord(v measure.Verdict) string {
	switch v {
	case measure.Pass:
		return "It fits"
	case measure.Tight:
		return "Tight"
	case measure.Fail:
		return "It does not fit"
	}
	return "No verdict"
}

func newPartRow(p measure.Part) partRow {
	row := partRow{Label: p.Label, Note: p.Note, Judged: p.Judged, OK: p.OK}
	if !p.Judged {
		row.Figures, row.Word = measure.Show(p.Need, p.Unit, 2)+" of an unknown limit", "Not judged"
		return row
	}
	row.Figures = fmt.Sprintf("%s of %s", measure.Show(p.Need, "", 2), measure.Show(p.Capacity, p.Unit, 2))
	ratio := p.Need / p.Capacity
	row.Word = "Fits"
	switch {
	case p.OK && p.Note != "":
		row.Word = "Tight"
	case !p.OK && measure.Within(p.Need, p.Capacity):
		row.Word = "Does not fit"
	case !p.OK:
		row.Word = "Too much"
	}
	if math.IsNaN(ratio) || math.IsInf(ratio, 0) || ratio < 0 {
		return row
	}
	row.Figures += fmt.Sprintf(", %s", wholePercent(ratio))
	row.Inside = fmt.Sprintf("%.1f%%", limitAt*math.Min(1, ratio))
	if ratio > 1 && !measure.Within(p.Need, p.Capacity) {
		row.OverFrom = fmt.Sprintf("%.1f%%", limitAt)
		row.Over = fmt.Sprintf("%.1f%%", math.Min(100-limitAt, math.Max(1, limitAt*(ratio-1))))
	}
	return row
}

// wholePercent is a ratio that may be over one; what is a little too much is
// not shown as just enough.
func wholePercent(ratio float64) string {
	n := math.Round(100 * ratio)
	if n == 100 && ratio > 1+1e-9 {
		return "over 100 %"
	}
	return fmt.Sprintf("%.0f %%", math.Min(n, 99999))
}
