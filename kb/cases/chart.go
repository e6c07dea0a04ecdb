package cases

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
)

// The measures of the chart, in user units of the picture.
const (
	chartWidth  = 800
	chartMargin = 20
	barLongest  = 340 // leaves room for the figures beside it
	barHeight   = 16
	rowHeight   = 48
	headHeight  = 108
	blockHead   = 56
	chartCauses = 12 // causes that are drawn at most
	labelLength = 84 // characters of a title that fit on its line
)

// chartStyle makes the picture dark on a dark desk and black on white on
// paper. Without it, as inside a page that forbids styles, everything is drawn
// in the colour of the text around it.
const chartStyle = `.fb-calls{color:#111;background:#fff}` +
	`@media (prefers-color-scheme:dark){.fb-calls{color:#f4f4f4;background:#161616}}` +
	`@media print{.fb-calls{color:#000;background:#fff}}`

// WriteChart draws calls by symptom and the causes that were found as an SVG
// picture that stands alone. Every bar has its figures in words beside it, and
// its parts differ in pattern, never in colour alone; title and description
// say the same to who cannot see it.
func WriteChart(w io.Writer, s Stats, period string) error {
	c := chart{}
	c.draw(s, period)
	height := c.y + chartMargin
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" class="fb-calls" role="img" aria-labelledby="fb-calls-title fb-calls-desc" viewBox="0 0 %d %d" width="%d" height="%d" font-family="sans-serif" font-size="15" fill="currentColor" stroke="none">`+"\n",
		chartWidth, height, chartWidth, height)
	fmt.Fprintf(&out, `<title id="fb-calls-title">%s</title>`+"\n", escape("Calls "+period))
	fmt.Fprintf(&out, `<desc id="fb-calls-desc">%s</desc>`+"\n", escape(c.told.String()))
	fmt.Fprintf(&out, "<style>%s</style>\n", chartStyle)
	out.WriteString(`<defs><pattern id="fb-calls-visit" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="2" height="5" fill="currentColor"/></pattern></defs>` + "\n")
	out.Write(c.body.Bytes())
	out.WriteString("</svg>\n")
	if _, err := w.Write(out.Bytes()); err != nil {
		return fmt.Errorf("write the chart: %w", err)
	}
	return nil
}

// chart is a picture in the making: y is where the next thing goes, told what
// was drawn, in words.
type chart struct {
	body bytes.Buffer
	told strings.Builder
	y    int
}

func (c *chart) draw(s Stats, period string) {
	ended := s.Calls - s.Open
	sum := fmt.Sprintf("%s, %d of them ended: %d cured on the phone (%s), %s.",
		plural(s.Calls, "call"), ended, s.OnPhone, share(s.OnPhone, ended), plural(s.Visits, "visit"))
	c.text(chartMargin, 36, 20, "Calls "+period)
	c.text(chartMargin, 62, 15, sum)
	c.legend(88)
	c.told.WriteString(sum)
	c.y = headHeight
	longest := 1
	for _, l := range s.Symptoms {
		longest = max(longest, l.Calls)
	}
	for _, l := range s.Symptoms {
		label := strings.TrimSpace(l.Symptom + " " + l.Title)
		c.row(label, symptomFigures(l), longest, l.Calls, l.OnPhone, l.Visits)
	}
	if len(s.Causes) == 0 {
		return
	}
	c.y += blockHead / 2
	c.text(chartMargin, c.y, 17, "What it was")
	c.told.WriteString(" What it was:")
	c.y += blockHead / 2
	for _, l := range s.Causes[:min(chartCauses, len(s.Causes))] {
		c.row(l.Cause+" "+l.Title, plural(l.Calls, "call"), s.Causes[0].Calls, l.Calls, 0, 0)
	}
	if more := len(s.Causes) - chartCauses; more > 0 {
		c.text(chartMargin, c.y+6, 15, fmt.Sprintf("and %s more", plural(more, "cause")))
		c.y += 12
	}
}

// legend shows the patterns with their words.
func (c *chart) legend(y int) {
	x := chartMargin
	for i, word := range []string{"cured on the phone", "visit", "ended otherwise, or still open"} {
		fmt.Fprintf(&c.body, `<rect x="%d" y="%d" width="22" height="12" fill="%s" stroke="currentColor" stroke-width="1.5"/>`+"\n", x, y-11, fills()[i])
		c.text(x+30, y, 15, word)
		x += 30 + 8*len(word) + 24
	}
}

// fills are the patterns of the parts of a bar.
func fills() [3]string { return [3]string{"currentColor", "url(#fb-calls-visit)", "none"} }

// row draws a title and below it a bar with its figures beside it: filled for
// the first part, hatched for the second, empty for the rest.
func (c *chart) row(label, figures string, longest, all, first, second int) {
	c.told.WriteString(" " + label + ": " + figures + ".")
	c.text(chartMargin, c.y+14, 15, clip(label, labelLength))
	unit := float64(barLongest) / float64(longest)
	x := float64(chartMargin)
	for i, n := range []int{first, second} {
		if n > 0 {
			fmt.Fprintf(&c.body, `<rect x="%.1f" y="%d" width="%.1f" height="%d" fill="%s"/>`+"\n", x, c.y+21, unit*float64(n), barHeight, fills()[i])
			x += unit * float64(n)
		}
	}
	fmt.Fprintf(&c.body, `<rect x="%d" y="%d" width="%.1f" height="%d" fill="none" stroke="currentColor" stroke-width="1.5"/>`+"\n", chartMargin, c.y+21, unit*float64(all), barHeight)
	c.text(chartMargin+int(unit*float64(all))+10, c.y+34, 15, figures)
	c.y += rowHeight
}

func symptomFigures(l SymptomStat) string {
	text := plural(l.Calls, "call")
	if l.OnPhone > 0 {
		text += fmt.Sprintf(", %d cured on the phone", l.OnPhone)
	}
	if l.Visits > 0 {
		text += ", " + plural(l.Visits, "visit")
	}
	return text
}

func (c *chart) text(x, y, size int, text string) {
	fmt.Fprintf(&c.body, `<text x="%d" y="%d" font-size="%d">%s</text>`+"\n", x, y, size, escape(text))
}

func escape(text string) string {
	var buf bytes.Buffer
	if err := xml.EscapeText(&buf, []byte(text)); err != nil {
		return "" // a buffer takes everything
	}
	return buf.String()
}

func clip(text string, n int) string {
	if r := []rune(text); len(r) > n {
		return strings.TrimSpace(string(r[:n-1])) + "…"
	}
	return text
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// share is part of all in whole per cent.
func share(part, all int) string {
	if all == 0 {
		return "0 %"
	}
	return fmt.Sprintf("%d %%", (200*part+all)/(2*all))
}
