package drawing

import (
	"math"
	"strings"
	"unicode/utf8"
)

// The printed card, in points of 1/72 inch; the figures are those of the print
// part of card.html. The width of text is that of a wide face, so what fits
// here fits in narrower ones too.
const (
	pageWidth   = 595.3 - 2*margin // A4
	pageHeight  = 841.9 - 2*margin
	margin      = 22.7 // 8 mm
	columnGap   = 14.2 // 5 mm
	columnWidth = (pageWidth - columnGap) / 2
	type1       = 7.3 // size of the type
	lineHeight  = type1 * 1.17
	branchSide  = 8 // what stands left of a branch
	stepSides   = 2*1.2 + 0.4
	headings    = 12*1.17 + 1 + 2*(8.2*1.2+3) + 8 // title, Steps, Cautions, spaces
	boxSides    = 2*(2+1) + 2
)

// excess is how many lines of a column the tree is too long for one page; 0 or
// less if it fits.
func (t *Tree) excess() int {
	return int(math.Ceil(2 * (t.Card().height() - pageHeight) / lineHeight))
}

// height is what the printed card takes, at most.
func (c Card) height() float64 {
	h := headings + textHeight(c.Summary, pageWidth) + textHeight(c.HowTo, pageWidth) + 2
	if len(c.Dangers) > 0 {
		all := "Stop at once, whatever the step, and hand over to "
		for _, d := range c.Dangers {
			all += d + " "
		}
		h += textHeight(all, pageWidth-14) + boxSides
	}
	h += c.stepsHeight()
	all := c.End + " "
	for _, x := range c.Cautions {
		all += "99. " + x.Text + " "
	}
	return h + textHeight(all, pageWidth)
}

// stepsHeight is the height of the two columns: half of all, and what is lost
// because no step is broken.
func (c Card) stepsHeight() float64 {
	var heights []float64
	total := 0.0
	for _, s := range c.Steps {
		h := stepSides + lineHeight*lines(bold(s.Head)+" 99 ("+s.About+") ", columnWidth)
		for _, b := range s.Branches {
			text := b.On + " go to 99"
			if b.End != "" {
				text = b.On + " M " + b.End
			}
			h += lineHeight * lines(text, columnWidth-branchSide)
		}
		heights = append(heights, h)
		total += h
	}
	left := 0.0
	for _, h := range heights {
		if left+h/2 > total/2 {
			break
		}
		left += h
	}
	return math.Max(left, total-left)
}

// bold makes a text as long as it is in bold type.
func bold(s string) string {
	return s + strings.Repeat("n", utf8.RuneCountInString(s)/14)
}

func textHeight(text string, room float64) float64 { return lineHeight*lines(text, room) + 1 }

func lines(text string, room float64) float64 {
	return float64(len(breakLines(text, room, func(s string) float64 { return textWidth(s, type1) })))
}
