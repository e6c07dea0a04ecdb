package room

import (
	"fmt"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/hdcp"
	"faultbook/diagnose/measure/link"
	"faultbook/diagnose/measure/sums"
	"faultbook/diagnose/measure/timing"
)

// video judges each source on each display at each wanted format.
func (c *checker) video() {
	var displays []*Device
	for i := range c.s.Devices {
		if c.s.Devices[i].isEnd() {
			displays = append(displays, &c.s.Devices[i])
		}
	}
	highest := map[string]string{}
	for i := range c.s.Devices {
		source := &c.s.Devices[i]
		if !source.isSource() {
			continue
		}
		all, cut := c.s.pathsFrom(source)
		if cut {
			c.say(Note, "paths-cut", aboutDevice(source.ID), none, nil, "%s has more ways than are looked at (%d, of at most %d cables)", source.Name(), mostPaths, mostHops)
		}
		for _, d := range displays {
			var ways []route
			for _, p := range all {
				if p.display() == d {
					ways = append(ways, p)
				}
			}
			c.pair(source, d, ways, highest)
		}
		c.receivers(source, all)
		c.delays(all)
	}
	c.presets()
	c.activeEnds()
}

// wantedOn lists the formats that are wanted on a display.
func (c *checker) wantedOn(d *Device) []Format {
	if len(d.Wanted) > 0 {
		return d.Wanted
	}
	return c.s.Wanted
}

// pair fills one cell of the matrix.
func (c *checker) pair(source, d *Device, ways []route, highest map[string]string) {
	cell := Cell{Source: source.ID, Display: d.ID, Routes: len(ways), Formats: []CellFormat{}, Via: []string{}, Type0: measure.Unknown, Type1: measure.Unknown}
	if len(ways) == 0 {
		c.matrix = append(c.matrix, cell)
		return
	}
	best := c.bestWay(ways, c.wantedOn(d))
	parts := c.parts(best)
	cell.Via = best.via()
	key := chainKey(parts)
	if _, ok := highest[key]; !ok {
		highest[key] = ""
		if s, ok := link.Highest(parts); ok {
			highest[key] = s.String()
		}
	}
	cell.Highest = highest[key]
	for _, f := range c.wantedOn(d) {
		r := link.CheckChain(f.Signal, parts)
		cell.Formats = append(cell.Formats, CellFormat{f.Text, r.Verdict, limitText(r)})
		c.format(source, d, best, f, r, cell.Highest)
	}
	c.protection(source, d, best, &cell)
	c.matrix = append(c.matrix, cell)
}

// chainKey names a chain by what its parts carry: rooms have many chains alike.
func chainKey(parts []link.Part) string {
	var b strings.Builder
	for _, p := range parts {
		fmt.Fprintf(&b, "%s %v %g %g %d %t %d %v %v|", p.Kind, p.Capacity, p.LengthM, p.ReachM, p.Couplers, p.Active, p.MaxDepth, p.DepthIn, p.Chromas)
		if p.UpTo != nil {
			b.WriteString(p.UpTo.Name)
		}
		for _, list := range [][]timing.Timing{p.Only, p.Only420} {
			for _, t := range list {
				fmt.Fprintf(&b, "%dx%d@%g ", t.Width, t.Height, t.ClockMHz)
			}
			b.WriteByte('/')
		}
	}
	return b.String()
}

// bestWay is the way that passes most of what is wanted, the first of equals.
func (c *checker) bestWay(ways []route, wanted []Format) route {
	best, score := ways[0], -1
	if len(ways) == 1 {
		return best
	}
	for _, w := range ways {
		parts, n := c.parts(w), 0
		for _, f := range wanted {
			switch link.CheckChain(f.Signal, parts).Verdict {
			case measure.Pass:
				n += 4
			case measure.Tight:
				n += 3
			case measure.Unknown:
				n++
			}
		}
		if n > score {
			best, score = w, n
		}
	}
	return best
}

// parts are the members of the chain for the link sum.
func (c *checker) parts(p route) []link.Part {
	var list []link.Part
	for i, h := range p {
		kind := link.Source
		if i > 0 {
			kind = partKind(h.out.device)
		}
		list = append(list, portParts(h.out, kind)...)
		list = append(list, cablePart(h))
		kind = partKind(h.in.device)
		if i == len(p)-1 {
			kind = link.Display
		}
		list = append(list, portParts(h.in, kind)...)
	}
	return list
}

func partKind(d *Device) link.Kind {
	switch d.Kind {
	case "extender":
		return link.Extender
	case "splitter":
		return link.Splitter
	case "adapter", "wall-plate":
		return link.Adapter
	case "dock":
		return link.Dock
	}
	return link.Switcher
}

// portParts is the port by its class, and by the EDID that a source reads
// there. A port between the ends of an extender has no class of its own.
func portParts(p *portAt, kind link.Kind) []link.Part {
	label := strings.ReplaceAll(named(p.device, p.port), ",", ":")
	var list []link.Part
	if p.port.edid != nil {
		if part, err := link.ParsePart(sums.DisplayPart(p.port.edid)); err == nil {
			part.Kind, part.Text = kind, "EDID at "+label
			list = append(list, part)
		}
	}
	if p.port.Class == "" && len(list) > 0 {
		return list
	}
	part := link.Part{Kind: kind}
	if p.port.Class != "" {
		part, _ = link.ParsePart(string(kind) + "=" + p.port.Class) // checked when the sheet was read
	}
	part.Text = label
	return append(list, part)
}

// cablePart is the cable of a hop. A run between the ends of an extender
// carries what its ends carry, over its length.
func cablePart(h hop) link.Part {
	part := link.Part{Kind: link.Cable}
	switch {
	case remoteClass.MatchString(h.cable.Class):
		part.Kind, part.UpTo = link.Extender, nil
		part.Capacity = link.Capacity{TMDSMHz: link.LimitHDMI20, FRLGbit: 1e3}
		part.Active = strings.HasPrefix(strings.ToLower(h.cable.Class), "fib")
	case h.cable.Class != "":
		part, _ = link.ParsePart("cable=" + h.cable.Class)
	}
	if m, ok := known(h.cable.Length); ok {
		part.LengthM = m
	}
	part.Couplers += h.cable.Couplers
	part.Active = part.Active || h.cable.Active
	part.Text = strings.ReplaceAll(h.cable.name(), ",", ":")
	return part
}

// limitText names the worst parts of a chain.
func limitText(r link.Report) string {
	if r.Illegal != "" {
		return r.Illegal
	}
	var list []string
	for _, f := range r.Findings {
		if f.Verdict == r.Verdict && f.Why != "" {
			list = append(list, f.Part.Label()+": "+f.Why)
		}
	}
	return strings.Join(list, "; ")
}

const readHDMI = "read: an open kernel's HDMI helper, which quotes HDMI 1.0 §6.5 and HDMI 2.0 §7.1"

// format says what a wanted format comes to on one path.
func (c *checker) format(source, d *Device, p route, f Format, r link.Report, highest string) {
	a := about{"devices", d.ID, []string{source.ID, d.ID}, p.cables()}
	figures := compared{f.Signal.CharacterRate(), 0, "MHz"}
	sources := src(readHDMI, "H-001")
	if f.Signal.Chroma == link.C420 {
		sources = src(readHDMI, "H-003")
	}
	for _, x := range r.Findings {
		if x.Verdict == r.Verdict && x.Demand.Limit > 0 {
			figures = compared{x.Demand.Need, x.Demand.Limit, x.Demand.Unit}
		}
		if x.Long {
			sources = append(sources, src(measure.Practice, "H-039", "H-041", "H-042")...)
			break
		}
	}
	head := fmt.Sprintf("%s on %s at %s", source.Name(), d.Name(), f.Text)
	passes := highest
	if passes == "" {
		passes = "none of the usual formats"
	}
	sources = append(sources, limitSources(figures.limit)...)
	switch r.Verdict {
	case measure.Fail:
		c.say(Error, "format-over", a, figures, sources, "%s does not pass: %s. What passes, as far as it is known: %s", head, limitText(r), passes)
	case measure.Tight:
		c.say(Warning, "cable-long", a, figures, sources, "%s may fail in practice: %s", head, limitText(r))
	case measure.Unknown:
		c.say(Unknown, "format-unknown", a, figures, sources, "%s cannot be judged: %s", head, limitText(r))
	}
}

// limitSources names the check value behind a usual limit of a link, in MHz.
func limitSources(mhz float64) []measure.Source {
	switch mhz {
	case link.LimitStandardCable:
		return src("from memory", "H-038")
	case link.LimitSingleLink:
		return src("computed; from memory (DVI 1.0; HDMI 1.2)", "H-008")
	case link.LimitHDMI14:
		return src("computed; read: edid-decode", "H-009")
	case link.LimitHDMI20:
		return src("computed; read: edid-decode", "H-010")
	}
	return nil
}

// activeEnds finds active cables that are fitted backwards.
func (c *checker) activeEnds() {
	for i := range c.s.Cables {
		k := &c.s.Cables[i]
		p := c.s.port(k.From)
		if p == nil || p.Carries != "video" || !k.Active {
			continue
		}
		switch k.DisplayEnd {
		case "":
			c.missing("active-end", aboutCable(k), "%s is active, but which end is marked for the display is not written (display_end)", k.name())
		case k.From:
			c.say(Error, "active-backwards", aboutCable(k), none, src(measure.Practice, "H-040"),
				"%s is fitted backwards: its display end is in %s, which is the side of the source", k.name(), k.From)
		}
	}
}

// presets finds routes that no cable makes.
func (c *checker) presets() {
	for _, p := range c.s.Presets {
		for _, r := range p.Routes {
			from := c.s.devices[r.From]
			if from == nil {
				continue
			}
			ways, _ := c.s.pathsFrom(from)
			for _, to := range r.To {
				found := false
				for _, w := range ways {
					found = found || w.display().ID == to
				}
				if !found {
					c.say(Error, "preset-no-path", about{"presets", "", []string{r.From, to}, nil}, none, nil,
						"the button %q routes %s to %s, and no cable of the sheet makes that way", p.Title, from.Name(), c.nameOf(to))
				}
			}
		}
	}
}

func (c *checker) nameOf(id string) string {
	if d := c.s.devices[id]; d != nil {
		return d.Name()
	}
	return id
}

// family is the protection version of a port; ok is false where unknown.
func family(p *portAt) (hdcp.Device, bool) {
	text := p.port.HDCP
	if text == "" {
		text = p.device.HDCP
	}
	if text == "" {
		return hdcp.Device{Label: p.device.Name(), Copies: p.device.count()}, false
	}
	d, err := hdcp.ParseDevice("x=" + text)
	d.Label, d.Copies = p.device.Name(), p.device.count()
	return d, err == nil
}
