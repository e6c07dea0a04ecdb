package drawing

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"
)

// SVG writes the tree as a picture. Its description is the whole reading, for
// who cannot see it; the kinds differ by shape and by their words.
func (t *Tree) SVG(w io.Writer) error {
	width := newLayout(t.Root, 0).w
	head, foot := newNotes(t.heads(), width), newNotes(t.feet(), width)
	l := newLayout(t.Root, border+head.h)
	l.w, l.h = max(l.w, head.w), l.h+foot.h
	c := &canvas{}
	c.add(`<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="tree-title tree-reading" width="%.0f" height="%.0f" viewBox="0 0 %.0f %.0f">`, l.w, l.h, l.w, l.h)
	c.add(`<title id="tree-title">%s</title>`, escapeXML(t.Symptom+" "+t.Title+": decision tree"))
	c.add(`<desc id="tree-reading">%s</desc>`, escapeXML(t.reading()))
	c.add(`<rect width="100%%" height="100%%" fill="#fff"/>`)
	c.add(`<g fill="none" stroke="#555" stroke-width="1.2">`)
	for i := range l.edges {
		l.drawEdges(c, i)
	}
	for _, column := range l.columns {
		for _, b := range column {
			if b.below != nil {
				c.add(`<path d="M%.1f %.1fV%.1fm-4 -6l4 6 4-6"/>`, b.x+22, b.y+b.h, b.below.y)
			}
		}
	}
	c.add(`</g>`)
	c.add(`<g font-family="sans-serif" font-size="%.0f" fill="#111" stroke-width="1.4">`, typeSize)
	for _, column := range l.columns {
		for _, b := range column {
			b.draw(c)
		}
	}
	head.draw(c, border)
	foot.draw(c, l.h-foot.h)
	c.add(`</g>`)
	c.add(`</svg>`)
	_, err := io.WriteString(w, c.b.String())
	return err
}

// reading is the whole tree in sentences.
func (t *Tree) reading() string {
	list := append(t.summary(), t.howTo()...)
	for _, d := range t.Dangers {
		list = append(list, "Stop at once and hand over to "+d.text())
	}
	if !t.Root.isStep() {
		list = append(list, t.Root.end())
	}
	for _, n := range t.steps() {
		list = append(list, fmt.Sprintf("Step %d. %s: %s (%s).", n.Number, n.Kind.Word(), n.Say, n.aboutAll()))
		for _, b := range n.Branches {
			to := fmt.Sprintf("go to %d.", b.To.Number)
			if !b.To.isStep() {
				to = b.To.end()
			}
			list = append(list, fmt.Sprintf("%s, %s: %s", b.label(), percent(b.To.Share), to))
		}
	}
	for i, x := range t.Cautions {
		list = append(list, fmt.Sprintf("Caution %d. %s", i+1, x.text()))
	}
	return strings.Join(list, "\n")
}

// canvas collects lines of SVG.
type canvas struct{ b strings.Builder }

func (c *canvas) add(format string, args ...any) { fmt.Fprintf(&c.b, format+"\n", args...) }

func escapeXML(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder takes everything
	return b.String()
}

// drawEdges draws the lines of one gutter.
func (l *layout) drawEdges(c *canvas, col int) {
	all := lanes(l.edges[col])
	left := l.columns[col][0].x + boxWidth
	for _, e := range l.edges[col] {
		x := left + gutter/2 + laneWidth*float64(all-1-e.lane)
		right := e.box.x
		if e.from == e.to {
			c.add(`<path d="M%.1f %.1fH%.1f"/>`, left, e.from, right)
			continue
		}
		c.add(`<path d="M%.1f %.1fH%.1fV%.1fH%.1f"/>`, left, e.from, x, e.to, right)
	}
}

// draw draws the shape of a box and its texts.
func (b *box) draw(c *canvas) {
	c.add(`<path d="%s" fill="#fff" stroke="#111"%s/>`, b.outline(), b.stroke())
	side := sideRoom(b.node.Kind) / 2
	if b.node.Kind == HandOver {
		side = 0 // the point is at the right
	}
	y := b.y + padding + typeSize - 2
	for i, line := range b.head {
		line = escapeXML(line)
		if word := b.node.mark(); i == 0 {
			line = `<tspan font-weight="bold">` + word + `</tspan>` + strings.TrimPrefix(line, word)
		}
		c.add(`<text x="%.1f" y="%.1f">%s</text>`, b.x+padding+side, y, line)
		y += lineStep
	}
	top := b.y + b.h
	for _, p := range b.ports {
		top -= p.h
	}
	for _, p := range b.ports {
		b.drawPort(c, p, top)
		top += p.h
	}
}

// drawPort draws a branch of a step, top being where it begins.
func (b *box) drawPort(c *canvas, p port, top float64) {
	c.add(`<path d="M%.1f %.1fH%.1f" stroke="#777" stroke-width=".8"/>`, b.x+6, top, b.x+b.w-6)
	for i, line := range p.lines {
		c.add(`<text x="%.1f" y="%.1f">%s</text>`, b.x+padding+8, top+typeSize+2+lineStep*float64(i), escapeXML(line))
	}
	switch {
	case p.to != nil:
		c.add(`<path d="M%.1f %.1fl5 4-5 4z" fill="#111"/>`, b.x+b.w-7, b.y+p.y-4)
	case p.in != nil:
		in := *p.in
		in.x, in.y = b.x+padding+8, top+p.in.y
		in.draw(c)
	}
}

// mark is the words that a node's text begins with: its number and kind.
func (n *Node) mark() string {
	switch {
	case n.isStep():
		return fmt.Sprintf("%d %s:", n.Number, n.Kind.Word())
	case n.Kind == HandOver, n.Kind == Cured && len(n.Causes) > 0:
		return n.Kind.Word() + ":"
	}
	return n.Kind.Word() + "."
}

// stroke is what the outline of the kind has beside its shape.
func (b *box) stroke() string {
	switch b.node.Kind {
	case Cut:
		return ` stroke-dasharray="5 3"`
	case Stop:
		return ` stroke-width="3"`
	}
	return ""
}

// outline is the shape of the kind: round ends to ask, square corners to try,
// a slanted band when cured, a point to the right to hand over, eight corners
// to stop, a torn lower edge at a cut.
func (b *box) outline() string {
	x, y, w, h := b.x, b.y, b.w, b.h
	switch b.node.Kind {
	case Ask:
		return fmt.Sprintf("M%.1f %.1fh%.1fq14 0 14 14v%.1fq0 14 -14 14h%.1fq-14 0 -14 -14v%.1fq0 -14 14 -14z",
			x+14, y, w-28, h-28, -(w - 28), -(h - 28))
	case Cured:
		return fmt.Sprintf("M%.1f %.1fh%.1fl-8 %.1fh%.1fz", x+8, y, w-8, h, -(w - 8))
	case HandOver:
		return fmt.Sprintf("M%.1f %.1fh%.1fl12 %.1f-12 %.1fh%.1fz", x, y, w-12, h/2, h/2, -(w - 12))
	case Stop:
		return fmt.Sprintf("M%.1f %.1fh%.1fl8 8v%.1fl-8 8h%.1fl-8 -8v%.1fz", x+8, y, w-16, h-16, -(w - 16), -(h - 16))
	case Cut:
		var d strings.Builder
		fmt.Fprintf(&d, "M%.1f %.1fh%.1fv%.1f", x, y, w, h)
		const teeth = 18
		for i := range teeth {
			fmt.Fprintf(&d, "l%.1f %.0f", -w/teeth, []float64{-5, 5}[i%2])
		}
		return d.String() + "z"
	}
	return fmt.Sprintf("M%.1f %.1fh%.1fv%.1fh%.1fz", x, y, w, h, -w)
}
