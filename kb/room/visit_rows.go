package room

import (
	"fmt"
	"slices"
	"strings"

	"faultbook/diagnose/measure"
)

// visitRow adapts one line of the verification list to a room.
type visitRow struct {
	id     string
	only   func(*Sheet) bool      // nil for every room
	expect func(*lister) []string // the room's own figures
	codes  string                 // findings of the check that bear on it
}

// lister makes expected figures from the sheet and its check.
type lister struct {
	s      *Sheet
	report *Report
}

// has makes a condition of device kinds. A field whose list is not complete
// could have one, so the line stays.
func has(field string, kinds ...string) func(*Sheet) bool {
	return func(s *Sheet) bool { return len(s.of(kinds...)) > 0 || !s.complete(field) }
}

func pictures(s *Sheet) bool {
	return len(s.of("display", "projector", "video-wall", "led-wall")) > 0 || !s.complete("display")
}

func sounds(s *Sheet) bool {
	return len(s.of("amplifier", "loudspeaker", "processor", "microphone", "radio-microphone", "codec")) > 0 || !s.complete("audio")
}

func mics(s *Sheet) bool {
	return len(s.of("microphone", "radio-microphone", "codec")) > 0 || !s.complete("audio")
}

func usbThings(s *Sheet) bool {
	return !s.complete("usb") || slices.ContainsFunc(s.Devices, func(d Device) bool { return len(d.carries("usb", "in")) > 0 })
}

func networked(s *Sheet) bool {
	return !s.complete("network") || slices.ContainsFunc(s.Devices, func(d Device) bool { return d.Address != "" || len(d.carries("network", "in")) > 0 })
}

func controlledRoom(s *Sheet) bool {
	return !s.complete("control") || slices.ContainsFunc(s.Devices, func(d Device) bool { return d.Control != nil || d.Kind == "panel" || d.Kind == "controller" })
}

// visitRows are the lines of the verification list (check values V-001 to
// V-065, from memory ANSI/INFOCOMM 10:2013), each with what it needs here.
func visitRows() []visitRow {
	rows := []visitRow{
		{id: "V-001", expect: (*lister).inventory}, {id: "V-002"}, {id: "V-003"}, {id: "V-004", only: pictures},
		{id: "V-005", expect: (*lister).heat, codes: "heat heat-air heat-intake"}, {id: "V-006", expect: (*lister).labels}, {id: "V-007"},
		{id: "V-008", expect: (*lister).runs, codes: "network-long"}, {id: "V-009", expect: (*lister).hdmi, codes: "format-over cable-long active-backwards"},
		{id: "V-010"}, {id: "V-011"}, {id: "V-012"}, {id: "V-013"}, {id: "V-014", only: has("power", "sequencer")}, {id: "V-015"}, {id: "V-016"},
		{id: "V-017", only: pictures, expect: (*lister).formats, codes: "format-over"}, {id: "V-018", only: pictures},
		{id: "V-019", only: has("display", "projector")}, {id: "V-020", only: pictures}, {id: "V-021", only: pictures}, {id: "V-022", only: pictures},
		{id: "V-023", only: pictures}, {id: "V-024", only: pictures},
		{id: "V-025", only: pictures, expect: (*lister).seats, codes: "viewing-far text-small"}, {id: "V-026", only: pictures}, {id: "V-027", only: pictures},
		{id: "V-028", only: pictures, expect: (*lister).protected, codes: "protected-refused protected-count protected-depth protected-sinks"},
		{id: "V-029", only: pictures, expect: (*lister).pairs, codes: "preset-no-path"}, {id: "V-030", only: pictures}, {id: "V-031", only: pictures},
		{id: "V-032", only: has("camera", "camera")}, {id: "V-033", only: sounds, expect: (*lister).levels, codes: "level"}, {id: "V-034", only: sounds},
		{id: "V-035", only: sounds}, {id: "V-036", only: sounds}, {id: "V-037", only: has("audio", "loudspeaker"), expect: (*lister).lines, codes: "line-load line-kind line-tap line-loss"},
		{id: "V-038", only: sounds, codes: "level"}, {id: "V-039", only: mics}, {id: "V-040", only: sounds, codes: "lip-sync"}, {id: "V-041", only: mics}, {id: "V-042", only: mics},
		{id: "V-043", only: sounds}, {id: "V-044", only: sounds}, {id: "V-045", only: controlledRoom, expect: (*lister).buttons, codes: "preset-no-path"},
		{id: "V-046", only: controlledRoom, expect: (*lister).controls, codes: "serial-long reach"}, {id: "V-047", only: controlledRoom}, {id: "V-048", only: controlledRoom},
		{id: "V-049", only: pictures}, {id: "V-050", only: networked, expect: (*lister).addresses, codes: "address-twice address-bad address-in-pool mask-plan gateway-outside gateway-plan"},
		{id: "V-051", only: networked}, {id: "V-052", only: networked}, {id: "V-053", only: networked}, {id: "V-054", only: networked},
		{id: "V-055", only: usbThings, expect: (*lister).usb, codes: "usb-current usb-supply usb-tiers usb-bus-chain usb-cable-long usb-drop usb-extension"},
		{id: "V-056", only: has("camera", "camera"), expect: (*lister).streams, codes: "usb-stream usb-bandwidth"},
		{id: "V-057", only: func(s *Sheet) bool { return anyHostChoice(s) || !s.complete("usb") }}, {id: "V-058", only: usbThings, expect: (*lister).charging},
	}
	for i := 59; i <= 65; i++ {
		rows = append(rows, visitRow{id: fmt.Sprintf("V-%03d", i)})
	}
	return rows
}

func (l *lister) inventory() []string {
	var list []string
	for _, p := range l.s.Places {
		var names []string
		for i := range l.s.Devices {
			if d := &l.s.Devices[i]; d.Place == p.ID {
				name := d.Name()
				if d.count() > 1 {
					name += fmt.Sprintf(" × %d", d.count())
				}
				names = append(names, name)
			}
		}
		if len(names) > 0 {
			list = append(list, placeName(&p)+": "+strings.Join(names, "; "))
		}
	}
	return list
}

func (l *lister) heat() []string {
	var list []string
	for _, p := range l.s.Places {
		sum := 0.0
		for _, d := range l.s.Devices {
			if d.Place == p.ID && d.Power != nil && d.Power.Draws != nil {
				sum += float64(*d.Power.Draws) * float64(d.count())
			}
		}
		if cooling, ok := known(p.Cooling); ok {
			list = append(list, fmt.Sprintf("%s: %g W drawn, %g W carried away", placeName(&p), sum, cooling))
		}
	}
	return list
}

func (l *lister) labels() []string {
	if n := len(l.s.Cables); n > 0 {
		return []string{fmt.Sprintf("%d cables, %d labels", n, 2*n)}
	}
	return nil
}

// runs are network cables and the runs of extenders.
func (l *lister) runs() []string {
	var list []string
	for i := range l.s.Cables {
		k := &l.s.Cables[i]
		p := l.s.port(k.From)
		if p == nil || p.Carries != "network" && !remoteClass.MatchString(k.Class) {
			continue
		}
		list = append(list, l.cable(k))
	}
	return list
}

func (l *lister) cable(k *Cable) string {
	text := k.name() + ": " + k.From + " to " + k.To
	if k.Class != "" {
		text += ", " + k.Class
	}
	if m, ok := known(k.Length); ok {
		text += fmt.Sprintf(", %g m", m)
	} else {
		text += ", length to be measured"
	}
	return text
}

func (l *lister) hdmi() []string {
	var list []string
	for i := range l.s.Cables {
		k := &l.s.Cables[i]
		if p := l.s.port(k.From); p != nil && p.Carries == "video" && !remoteClass.MatchString(k.Class) {
			list = append(list, l.cable(k))
		}
	}
	return list
}

// formats are the best wanted format of each source on each display.
func (l *lister) formats() []string {
	var list []string
	for _, c := range l.report.Matrix {
		best := ""
		for _, f := range c.Formats {
			if best == "" && (f.Verdict == measure.Pass || f.Verdict == measure.Tight) {
				best = f.Format
			}
		}
		if best != "" {
			list = append(list, fmt.Sprintf("%s on %s: %s", l.name(c.Source), l.name(c.Display), best))
		}
	}
	return list
}

func (l *lister) name(id string) string {
	if d := l.s.devices[id]; d != nil {
		return d.Name()
	}
	return id
}

func (l *lister) seats() []string {
	v := l.s.Viewing
	if v == nil || v.Farthest == nil {
		return nil
	}
	return []string{fmt.Sprintf("farthest seat: %g m", float64(*v.Farthest))}
}

func (l *lister) protected() []string {
	var list []string
	for _, c := range l.report.Matrix {
		if c.Routes > 0 {
			list = append(list, fmt.Sprintf("%s on %s: type 0 %s, type 1 %s", l.name(c.Source), l.name(c.Display), verdictWord(c.Type0), verdictWord(c.Type1)))
		}
	}
	return list
}

func verdictWord(v measure.Verdict) string {
	switch v {
	case measure.Pass, measure.Tight:
		return "plays"
	case measure.Fail:
		return "is refused"
	}
	return "not known"
}

func (l *lister) pairs() []string {
	n := 0
	for _, c := range l.report.Matrix {
		if c.Routes > 0 {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%d pairs of source and display", n)}
}

func (l *lister) levels() []string {
	var list []string
	for i := range l.s.Cables {
		k := &l.s.Cables[i]
		from, to := l.s.ports[k.From], l.s.ports[k.To]
		if from == nil || to == nil || from.port.Carries != "audio" {
			continue
		}
		if x, ok := known(from.port.Level); ok {
			list = append(list, fmt.Sprintf("%s: %+.1f dBu", named(from.device, from.port), x))
		}
	}
	return list
}

func (l *lister) lines() []string {
	var list []string
	for _, d := range l.s.of("loudspeaker") {
		if d.Line == nil {
			continue
		}
		text := fmt.Sprintf("%s × %d", d.Name(), d.count())
		if w, ok := known(d.Line.Watts); ok {
			text += fmt.Sprintf(", tap %g W", w)
		}
		if o, ok := known(d.Line.Ohms); ok {
			text += fmt.Sprintf(", %g ohm", o)
		}
		list = append(list, text)
	}
	return list
}

func (l *lister) buttons() []string {
	var list []string
	for _, p := range l.s.Presets {
		for _, r := range p.Routes {
			var to []string
			for _, id := range r.To {
				to = append(to, l.name(id))
			}
			list = append(list, fmt.Sprintf("%q: %s to %s", p.Title, l.name(r.From), strings.Join(to, " and ")))
		}
	}
	return list
}

func (l *lister) controls() []string {
	var list []string
	for _, d := range l.s.Devices {
		if d.Control != nil && d.Control.By != "" {
			text := d.Name() + ": " + d.Control.By
			if d.Control.Baud > 0 {
				text += fmt.Sprintf(", %d baud", d.Control.Baud)
			}
			list = append(list, text)
		}
	}
	return list
}

func (l *lister) addresses() []string {
	var list []string
	for _, d := range l.s.Devices {
		if d.Address != "" {
			text := d.Name() + ": " + d.Address
			if d.VLAN > 0 {
				text += fmt.Sprintf(", VLAN %d", d.VLAN)
			}
			list = append(list, text)
		}
	}
	return list
}

func (l *lister) usb() []string {
	c := &checker{s: l.s, said: map[string]bool{}}
	var list []string
	for i := range l.s.Devices {
		d := &l.s.Devices[i]
		if !c.isHost(d) {
			continue
		}
		for _, p := range d.carries("usb", "out") {
			for _, x := range c.leaves(d, p, nil, nil, "", nil) {
				list = append(list, fmt.Sprintf("%s sees %s, %d hubs between", d.Name(), x.device.Name(), len(x.hubs)))
			}
		}
	}
	return list
}

func (l *lister) streams() []string {
	var list []string
	for _, d := range l.s.Devices {
		for _, p := range d.Ports {
			for _, s := range p.Streams {
				list = append(list, fmt.Sprintf("%s: %s (%.1f Mbit/s)", d.Name(), s.Text, s.Mbit))
			}
		}
	}
	return list
}

func (l *lister) charging() []string {
	var list []string
	for _, d := range l.s.Devices {
		for _, p := range d.Ports {
			if gives, ok := known(p.Gives); ok && p.Carries == "usb" && d.Kind != "laptop" {
				list = append(list, fmt.Sprintf("%s: %g mA", named(&d, &p), gives))
			}
		}
	}
	return list
}
