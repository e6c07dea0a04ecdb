package draw

import (
	"fmt"
	"html"
	"strings"

	"faultbook/kb/room"
)

// Measures of the picture in px.
const (
	boxW, lineH  = 178.0, 16.0
	gapX, gapY   = 270.0, 18.0
	margin, head = 24.0, 34.0
	nameChars    = 23 // of 13 px bold text in a box
	cableChars   = 32 // of 11 px text between boxes
	bend         = 80 // of a line, before it runs level
)

// box is a device in one part of the picture.
type box struct {
	id         string
	layer      int
	x, y, h    float64
	lines      []string
	in, out    int // lines that end and begin at it, to spread them
	ends, ways int // of those, drawn so far
}

// SVG is the picture: one part a kind of path, sources at the left.
func SVG(s *room.Sheet) string {
	var body strings.Builder
	y, width := margin+52, 640.0
	var read []string
	for _, k := range Kinds() {
		list := edges(s, k.Carries)
		if len(list) == 0 {
			continue
		}
		fmt.Fprintf(&body, `<text class="part" x="%g" y="%g">%s</text>`+"\n", margin, y, html.EscapeString(k.Title))
		for _, e := range list {
			read = append(read, k.Title+": "+e.text(s))
		}
		w, h := part(&body, s, k, list, y+head-14)
		width = max(width, w+margin)
		y += head + h + 26
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f" role="img" aria-labelledby="title desc">`+"\n", width, y, width, y)
	fmt.Fprintf(&b, "<title id=\"title\">Paths of %s</title>\n<desc id=\"desc\">%s</desc>\n", html.EscapeString(s.Title), html.EscapeString(strings.Join(read, ". ")))
	b.WriteString(`<style>text{font:13px sans-serif;fill:#14202b}.title{font:bold 19px sans-serif}.part{font:bold 15px sans-serif}.name{font-weight:bold}.port,.cable{font-size:11px}.cable{paint-order:stroke;stroke:#fff;stroke-width:4px}.box{fill:#fff;stroke:#14202b;stroke-width:1.5}.way{fill:none;stroke:#14202b;stroke-width:1.4}.end{fill:#14202b}</style>` + "\n")
	fmt.Fprintf(&b, `<rect width="%.0f" height="%.0f" fill="#fff"/>`+"\n", width, y)
	fmt.Fprintf(&b, `<text class="title" x="%g" y="%g">%s</text>`+"\n", margin, margin+8, html.EscapeString(s.Title))
	b.WriteString(body.String())
	b.WriteString("</svg>\n")
	return b.String()
}

// part draws one kind of path from the height y on; it returns its size.
func part(b *strings.Builder, s *room.Sheet, k Kind, list []edge, y float64) (w, h float64) {
	boxes, order := layers(s, list)
	heights := map[int]float64{}
	for _, id := range order {
		x := boxes[id]
		x.h = max(float64(len(x.lines))*lineH+14, float64(x.in)*48+8, float64(x.out)*18+12)
		x.x, x.y = margin+float64(x.layer)*(boxW+gapX), y+heights[x.layer]
		heights[x.layer] += x.h + gapY
		w, h = max(w, x.x+boxW), max(h, heights[x.layer])
	}
	for _, e := range list {
		line(b, k, e, boxes[e.from], boxes[e.to])
	}
	for _, id := range order {
		x := boxes[id]
		fmt.Fprintf(b, `<rect class="box" x="%.1f" y="%.1f" width="%g" height="%.1f" rx="5"/>`, x.x, x.y, boxW, x.h)
		for i, text := range x.lines {
			fmt.Fprintf(b, `<text class="name" x="%.1f" y="%.1f" text-anchor="middle">%s</text>`, x.x+boxW/2, x.y+x.h/2+float64(i)*lineH-float64(len(x.lines)-1)*lineH/2+4.5, html.EscapeString(text))
		}
		b.WriteByte('\n')
	}
	return w, h
}

// layers puts each device behind all that feed it, as far as there is no loop.
func layers(s *room.Sheet, list []edge) (map[string]*box, []string) {
	boxes, order := map[string]*box{}, []string{}
	get := func(id string) *box {
		if boxes[id] == nil {
			boxes[id] = &box{id: id, lines: wrap(s.DeviceName(id), nameChars)}
			order = append(order, id)
		}
		return boxes[id]
	}
	for _, e := range list {
		get(e.from).out++
		get(e.to).in++
	}
	for range order { // a loop ends with the number of devices
		moved := false
		for _, e := range list {
			if f, t := boxes[e.from], boxes[e.to]; t.layer < f.layer+1 && f.layer+1 < len(order) && f != t {
				t.layer, moved = f.layer+1, true
			}
		}
		if !moved {
			break
		}
	}
	return boxes, order
}

// line draws one cable with its ports and its name.
func line(b *strings.Builder, k Kind, e edge, from, to *box) {
	from.ways++
	to.ends++
	x1, y1 := from.x+boxW, from.y+from.h*float64(from.ways)/float64(from.out+1)
	x2, y2 := to.x, to.y+to.h*float64(to.ends)/float64(to.in+1)
	dash := ""
	if k.Dash != "" {
		dash = ` stroke-dasharray="` + k.Dash + `"`
	}
	level := min(x1+bend, x2-8)
	fmt.Fprintf(b, `<path class="way"%s d="M%.1f %.1fC%.1f %.1f %.1f %.1f %.1f %.1fL%.1f %.1f"/><path class="end" d="M%.1f %.1fl-8 -4v8z"/>`,
		dash, x1, y1, x1+bend*0.7, y1, level-bend*0.7, y2, level, y2, x2-6, y2, x2, y2)
	text := wrap(e.label, cableChars)
	if e.fromPort+e.toPort != "" {
		text = append([]string{e.fromPort + " → " + e.toPort}, text...)
	}
	for i, t := range text {
		fmt.Fprintf(b, `<text class="cable" x="%.1f" y="%.1f" text-anchor="end">%s</text>`, x2-12, y2-5-float64(len(text)-1-i)*12, html.EscapeString(t))
	}
	b.WriteByte('\n')
}

// wrap breaks text into lines of at most width characters.
func wrap(text string, width int) []string {
	var lines []string
	current := ""
	for _, w := range strings.Fields(text) {
		switch {
		case current == "":
			current = w
		case len([]rune(current))+1+len([]rune(w)) <= width:
			current += " " + w
		default:
			lines, current = append(lines, current), w
		}
	}
	return append(lines, current)
}
