package drawing

import (
	"fmt"
	"io"
	"strings"
)

// Text writes the tree as an outline: what follows an answer is indented below
// it. Lines are broken at width columns; 0 breaks none.
func (t *Tree) Text(w io.Writer, width int) error {
	p := &outline{width: width}
	p.line(0, t.Symptom+" "+t.Title)
	for _, s := range append(t.summary(), t.howTo()...) {
		p.line(0, s)
	}
	if len(t.Dangers) > 0 {
		p.line(0, "")
		p.line(0, "Stop at once, whatever the step, and hand over to")
		for _, d := range t.Dangers {
			p.line(1, "- "+d.text())
		}
	}
	p.line(0, "")
	p.node(0, "", t.Root)
	if len(t.Cautions) > 0 {
		p.line(0, "")
		p.line(0, "Cautions to read out first")
		for i, c := range t.Cautions {
			p.line(1, fmt.Sprintf("%d. %s", i+1, c.text()))
		}
	}
	_, err := io.WriteString(w, plain(p.b.String()))
	return err
}

// outline prints indented lines.
type outline struct {
	b     strings.Builder
	width int
}

// node prints a step or an end behind what leads to it, and what follows.
func (p *outline) node(depth int, lead string, n *Node) {
	if !n.isStep() {
		p.line(depth, lead+n.end())
		return
	}
	p.line(depth, fmt.Sprintf("%s%d. %s: %s (%s)", lead, n.Number, n.Kind.Word(), n.Say, n.about()))
	for _, b := range n.Branches {
		p.node(depth+1, fmt.Sprintf("%s, %s: ", b.label(), percent(b.To.Share)), b.To)
	}
}

// line prints one line, broken at spaces where a width is set.
func (p *outline) line(depth int, text string) {
	indent := strings.Repeat("  ", depth)
	if p.width <= 0 {
		p.b.WriteString(strings.TrimRight(indent+text, " ") + "\n")
		return
	}
	room := max(p.width-len(indent)-2, 24)
	for i, l := range breakLines(text, float64(room), func(s string) float64 { return float64(len([]rune(s))) }) {
		if i > 0 {
			l = "  " + l
		}
		p.b.WriteString(strings.TrimRight(indent+l, " ") + "\n")
	}
}
