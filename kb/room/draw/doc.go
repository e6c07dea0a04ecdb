// Package draw shows a room sheet: as text, and its signal, USB, network,
// sound, control and supply paths as a picture (SVG).
//
// Every path is told in words too: the text is the picture read aloud, and the
// picture carries that text as its description. Kinds of line differ by their
// dashes and by the heading of their part; no colour has a meaning.
package draw

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"faultbook/kb/room"
)

// Kind is one kind of path, with its heading.
type Kind struct{ Carries, Title, Dash string }

// Kinds are the parts of a picture, in their order.
func Kinds() []Kind {
	return []Kind{{"video", "Picture", ""}, {"usb", "USB", "8 3"}, {"network", "Network", "2 3"}, {"audio", "Sound", "10 3 2 3"},
		{"speaker", "Loudspeakers", "10 3 2 3 2 3"}, {"control", "Control", "4 4"}, {"power", "Low-voltage supply", "14 4"}}
}

// edge is one line of the picture: a cable, or who drives whom.
type edge struct {
	from, to         string // device ids
	fromPort, toPort string // as they are marked, "" for none
	label            string
}

// edges are the lines of one kind, in the order of the sheet.
func edges(s *room.Sheet, carries string) []edge {
	var list []edge
	for i := range s.Cables {
		c := &s.Cables[i]
		from, fp, ok1 := s.End(c.From)
		to, tp, ok2 := s.End(c.To)
		if ok1 && ok2 && fp.Carries == carries {
			list = append(list, edge{from.ID, to.ID, portName(fp), portName(tp), cableText(c)})
		}
	}
	if carries == "control" {
		for i := range s.Devices {
			d := &s.Devices[i]
			if d.Control == nil || d.Control.From == "" || slices.ContainsFunc(list, func(e edge) bool { return e.from == d.Control.From && e.to == d.ID }) {
				continue
			}
			text := d.Control.By
			if d.Control.Baud > 0 {
				text += fmt.Sprintf(" %d baud", d.Control.Baud)
			}
			list = append(list, edge{d.Control.From, d.ID, "", "", text})
		}
	}
	return list
}

func portName(p *room.Port) string {
	if p.Title != "" {
		return p.Title
	}
	return p.ID
}

// cableText is what is known of a cable; "class unknown" is said.
func cableText(c *room.Cable) string {
	parts := []string{}
	if c.Title != "" {
		parts = append(parts, c.Title)
	} else {
		parts = append(parts, c.ID)
	}
	if c.Class != "" {
		parts = append(parts, c.Class)
	}
	if c.Length != nil {
		parts = append(parts, fmt.Sprintf("%g m", float64(*c.Length)))
	} else {
		parts = append(parts, "length unknown")
	}
	if c.Couplers > 0 {
		parts = append(parts, fmt.Sprintf("%d couplers", c.Couplers))
	}
	if c.Active {
		parts = append(parts, "active")
	}
	if c.Gauge != "" {
		parts = append(parts, c.Gauge)
	}
	return strings.Join(parts, ", ")
}

// Text is the sheet for people: head, devices by place, paths by kind.
func Text(s *room.Sheet) string {
	var b strings.Builder
	day := "never surveyed"
	if !s.Surveyed.IsZero() {
		day = strings.TrimSpace("surveyed " + s.Surveyed.String() + " " + s.By)
	}
	fmt.Fprintf(&b, "%s (%s)\n", s.Title, s.ID)
	fmt.Fprintf(&b, "  %s\n", strings.Trim(strings.Join([]string{s.Site, day, fmt.Sprintf("revision %d", s.Revision)}, ", "), ", "))
	if len(s.Complete) > 0 {
		fmt.Fprintf(&b, "  Lists that are whole: %s; what else is not written is unknown\n", strings.Join(s.Complete, ", "))
	} else {
		b.WriteString("  No list is said to be whole: what is not written is unknown\n")
	}
	devices(&b, s)
	for _, k := range Kinds() {
		list := edges(s, k.Carries)
		if len(list) == 0 {
			continue
		}
		fmt.Fprintf(&b, "\n%s\n", k.Title)
		for _, e := range list {
			fmt.Fprintf(&b, "  %s\n", e.text(s))
		}
	}
	rest(&b, s)
	return b.String()
}

// text reads a line aloud.
func (e edge) text(s *room.Sheet) string {
	end := func(id, port string) string {
		name := s.DeviceName(id)
		if port != "" {
			name += " [" + port + "]"
		}
		return name
	}
	return fmt.Sprintf("%s --(%s)--> %s", end(e.from, e.fromPort), e.label, end(e.to, e.toPort))
}

// devices lists what stands where.
func devices(b *strings.Builder, s *room.Sheet) {
	places := map[string][]string{}
	for i := range s.Devices {
		d := &s.Devices[i]
		line := fmt.Sprintf("%s (%s, %s)", d.Name(), d.Kind, d.ID)
		if d.Copies > 1 {
			line += fmt.Sprintf(" × %d", d.Copies)
		}
		if d.Address != "" {
			line += ", " + d.Address
		}
		for _, l := range d.Lamps {
			line += fmt.Sprintf("\n        lamp %s: %s", strings.TrimSpace(strings.Join([]string{l.Name, l.Colour, l.Rhythm}, " ")), l.Means)
		}
		where := s.Where(d)
		if where == "" {
			where = "place unknown"
		}
		places[where] = append(places[where], line)
	}
	names := make([]string, 0, len(places))
	for n := range places {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, n := range names {
		fmt.Fprintf(b, "\nAt %s\n", n)
		for _, line := range places[n] {
			fmt.Fprintf(b, "  %s\n", line)
		}
	}
}

// rest are buttons, works and notes.
func rest(b *strings.Builder, s *room.Sheet) {
	for i, p := range s.Presets {
		if i == 0 {
			b.WriteString("\nButtons\n")
		}
		for _, r := range p.Routes {
			var to []string
			for _, id := range r.To {
				to = append(to, s.DeviceName(id))
			}
			fmt.Fprintf(b, "  %s: %s to %s\n", p.Title, s.DeviceName(r.From), strings.Join(to, ", "))
		}
	}
	for i, w := range s.Works {
		if i == 0 {
			b.WriteString("\nWorks\n")
		}
		fmt.Fprintf(b, "  %s %s %s\n", w.Day, w.Kind, w.Text)
	}
	for i, n := range s.Notes {
		if i == 0 {
			b.WriteString("\nNotes\n")
		}
		fmt.Fprintf(b, "  %s\n", n)
	}
}
