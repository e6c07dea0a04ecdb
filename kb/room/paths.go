package room

import "slices"

// hop is one step of a path: out of a port, over a cable, into a port.
type hop struct {
	out   *portAt
	cable *Cable
	in    *portAt
}

// route is a way from a source to a display.
type route []hop

// Bounds of the search: a room has few ways from one thing to another; a
// matrix of matrices could have millions.
const (
	mostHops  = 12
	mostPaths = 2000
	mostSteps = 20000
)

// sourceKinds begin a picture path even where they have picture inputs.
var endKinds = []string{"display", "projector", "video-wall", "led-wall", "recorder", "codec"}

// isSource says whether pictures begin at the device.
func (d *Device) isSource() bool {
	return len(d.carries("video", "out")) > 0 && (len(d.carries("video", "in")) == 0 || d.Kind == "laptop" || d.Kind == "computer" || d.Kind == "player")
}

// isEnd says whether pictures end at the device: displays, recorders.
func (d *Device) isEnd() bool {
	return slices.Contains(endKinds, d.Kind) && len(d.carries("video", "in")) > 0
}

// pathsFrom lists the picture paths from a source to every display, in the
// order of the sheet; cut is true where there are more than are looked at.
func (s *Sheet) pathsFrom(source *Device) (list []route, cut bool) {
	w := walker{s: s}
	for _, p := range source.carries("video", "out") {
		w.leave(source, p, nil)
	}
	return w.found, w.cut
}

type walker struct {
	s     *Sheet
	found []route
	steps int
	cut   bool
}

// leave follows the cables out of a port.
func (w *walker) leave(d *Device, p *Port, sofar route) {
	if w.steps++; len(w.found) >= mostPaths || len(sofar) >= mostHops || w.steps > mostSteps {
		w.cut = true
		return
	}
	for _, c := range w.s.byFrom[d.ID+"/"+p.ID] {
		in := w.s.ports[c.To]
		if in == nil || sofar.visits(in.device) || in.device == d {
			continue
		}
		next := append(slices.Clip(sofar), hop{&portAt{d, p}, c, in})
		if in.device.isEnd() {
			w.found = append(w.found, next)
		}
		for _, out := range in.device.carries("video", "out") {
			if out != in.port && in.device.crosses(in.port.ID, out.ID) {
				w.leave(in.device, out, next)
			}
		}
	}
}

func (p route) visits(d *Device) bool {
	for _, h := range p {
		if h.out.device == d || h.in.device == d {
			return true
		}
	}
	return false
}

func (p route) display() *Device { return p[len(p)-1].in.device }

// cables lists the ids of the cables of a path.
func (p route) cables() []string {
	var list []string
	for _, h := range p {
		list = append(list, h.cable.ID)
	}
	return list
}

// via lists the ports and cables of a path for people.
func (p route) via() []string {
	var list []string
	for i, h := range p {
		if i == 0 {
			list = append(list, named(h.out.device, h.out.port))
		}
		list = append(list, h.cable.name(), named(h.in.device, h.in.port))
	}
	return list
}

func (c *Cable) name() string {
	if c.Title != "" {
		return c.Title
	}
	return "cable " + c.ID
}
