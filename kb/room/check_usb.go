package room

import (
	"slices"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/power"
	"faultbook/diagnose/measure/usb"
)

// leaf is a USB device with the way to it from one port of a host.
type leaf struct {
	device *Device
	port   *Port // of the device
	hubs   []*Device
	cables []*Cable
	slow   usb.Path // slowest link on the way, "" where unknown
}

// usb judges each host: tiers and lengths to each device, current of each
// port, what the streams book together.
func (c *checker) usb() {
	for i := range c.s.Devices {
		d := &c.s.Devices[i]
		if c.isHost(d) {
			for _, p := range d.carries("usb", "out") {
				leaves := c.leaves(d, p, nil, nil, speedOf(usb.Port(p.Class)), nil)
				c.tiers(d, leaves)
				c.bandwidth(d, p, leaves)
			}
		}
		c.usbCurrent(d)
	}
	c.usbDrop()
	if c.steps > mostSteps {
		c.say(Note, "paths-cut", about{section: "cables"}, none, nil, "the USB cables make more ways than are looked at: %d steps", mostSteps)
	}
}

// isHost: USB begins at the device.
func (c *checker) isHost(d *Device) bool {
	return len(d.carries("usb", "out")) > 0 && (len(d.carries("usb", "in")) == 0 || d.Kind == "laptop" || d.Kind == "computer" || d.Kind == "codec")
}

// speedOf is the link that a socket has.
func speedOf(p usb.Port) usb.Path {
	switch p {
	case usb.Port20:
		return usb.High
	case usb.Port3x:
		return usb.Super
	}
	return ""
}

// cableSpeed is the link that a cable carries.
func cableSpeed(class string) usb.Path {
	switch usb.Speed(class) {
	case usb.Low:
		return usb.Full
	case usb.FullHigh:
		return usb.High
	case usb.Gen5, usb.Gen10, usb.Gen40:
		return usb.Super
	}
	return ""
}

// slower is the slower of two links; an unknown one gives the other.
func slower(a, b usb.Path) usb.Path {
	order := []usb.Path{usb.Full, usb.High, usb.Super}
	if a == "" || b != "" && slices.Index(order, b) < slices.Index(order, a) {
		return b
	}
	return a
}

// leaves walks from a port down to the devices.
func (c *checker) leaves(d *Device, p *Port, hubs []*Device, cables []*Cable, slow usb.Path, seen []*Device) []leaf {
	var list []leaf
	if c.steps++; c.steps > mostSteps || len(seen) > mostHops {
		return nil
	}
	seen = append(slices.Clip(seen), d)
	for _, k := range c.s.byFrom[d.ID+"/"+p.ID] {
		to := c.s.ports[k.To]
		if to == nil || slices.Contains(seen, to.device) {
			continue
		}
		way := append(slices.Clip(cables), k)
		link := slower(slower(slow, cableSpeed(k.Class)), speedOf(usb.Port(to.port.Class)))
		outs := to.device.carries("usb", "out")
		outs = slices.DeleteFunc(slices.Clone(outs), func(o *Port) bool { return o == to.port || !to.device.crosses(to.port.ID, o.ID) })
		if len(outs) == 0 || len(to.port.Streams) > 0 {
			list = append(list, leaf{to.device, to.port, hubs, way, link})
		}
		for _, o := range outs {
			list = append(list, c.leaves(to.device, o, append(slices.Clip(hubs), to.device), way, slower(link, speedOf(usb.Port(o.Class))), seen)...)
		}
	}
	return list
}

// tiers judges hubs in line, cable lengths and extensions to each device.
func (c *checker) tiers(host *Device, leaves []leaf) {
	for _, l := range leaves {
		n := len(l.hubs)
		a := about{"devices", l.device.ID, []string{host.ID, l.device.ID}, nil}
		if n > usb.MostHubs {
			c.say(Error, "usb-tiers", a, compared{float64(n), usb.MostHubs, "hubs"}, src("read: an open kernel's limit of 6 tiers below the root, and an encyclopaedia's 7 and 5", "U-021"),
				"%s is behind %d hubs of %s, and %d are allowed in a line (%d tiers of %d)", l.device.Name(), n, host.Name(), usb.MostHubs, n+2, usb.MostTiers)
		}
		for i := 1; i < n; i++ {
			if l.hubs[i].Hub == string(usb.BusPowered) && l.hubs[i-1].Hub == string(usb.BusPowered) {
				c.say(Error, "usb-bus-chain", a, none, src("read: a hub data sheet and an operating system's USB guide", "U-008"),
					"%s hangs behind two bus-powered hubs in line: %s and %s", l.device.Name(), l.hubs[i-1].Name(), l.hubs[i].Name())
			}
		}
		for _, k := range l.cables {
			c.usbLength(k)
		}
	}
}

// usbLength judges one cable.
func (c *checker) usbLength(k *Cable) {
	a := aboutCable(k)
	if k.Extension {
		c.say(Warning, "usb-extension", a, none, src("from memory (USB 2.0 §6.4)", "U-026"), "%s is a passive extension, which the standard does not permit", k.name())
	}
	m, ok := known(k.Length)
	if !ok || k.Active || k.Class == "" {
		if !ok && !k.Active {
			c.missing("usb-length", a, "the length of %s is not written", k.name())
		}
		return
	}
	limit, practice := usb.Speed(k.Class).CableLimit()
	level, sources := Error, src("read: two pages on USB cabling; computed", "U-023")
	if practice {
		level, sources = Warning, src(measure.Practice, "U-025")
	}
	if !measure.Within(m, limit) {
		c.say(level, "usb-cable-long", a, compared{m, limit, "m"}, sources, "%s is %g m long, and %g m is the most at that speed (%s)", k.name(), m, limit, k.Class)
	}
}

// bandwidth adds up the streams below one port of a host.
func (c *checker) bandwidth(host *Device, p *Port, leaves []leaf) {
	groups := map[usb.Path][]usb.Stream{}
	names := map[usb.Path][]string{}
	for _, l := range leaves {
		for _, s := range l.port.Streams {
			if l.slow == "" {
				c.missing("usb-speed", aboutDevice(l.device.ID), "the speed of the USB way to %s is not written (class of its cables or ports)", l.device.Name())
				continue
			}
			groups[l.slow] = append(groups[l.slow], usb.Stream{Label: l.device.Name() + " " + s.Text, Mbit: s.Mbit})
			names[l.slow] = append(names[l.slow], l.device.ID)
		}
	}
	for _, way := range []usb.Path{usb.Full, usb.High, usb.Super} {
		if len(groups[way]) == 0 {
			continue
		}
		r := usb.Bandwidth(way, groups[way])
		a := about{"devices", names[way][0], append([]string{host.ID}, names[way]...), nil}
		sources := src("read: an open kernel's notes on isochronous traffic; computed", "U-028", "U-030")
		if way == usb.Super {
			sources = src("from memory (USB 3.2 §8.12)", "U-031")
		}
		for _, line := range r.Lines {
			if !line.OK {
				c.say(Error, "usb-stream", a, compared{line.Need, line.Limit, "Mbit/s"}, sources, "%s needs %s uncompressed, and one stream on the %s way from %s carries %s: it has to compress or goes smaller",
					line.Label, measure.Show(line.Need, "Mbit/s", 3), way, named(host, p), measure.Show(line.Limit, "Mbit/s", 3))
			}
		}
		if r.Share > r.ShareLimit+1e-9 {
			c.say(Error, "usb-bandwidth", a, compared{100 * r.Share, 100 * r.ShareLimit, "%"}, sources, "%s: streams book %.1f %% of the %s way, and %.0f %% may be booked",
				named(host, p), 100*r.Share, way, 100*r.ShareLimit)
		}
	}
}

// usbCurrent compares each port that feeds with what hangs on it, and all
// ports of a hub with its supply.
func (c *checker) usbCurrent(d *Device) {
	total, complete, any := 0.0, true, false
	for _, p := range d.carries("usb", "out") {
		need, ok, fed := c.drawn(d, p, nil)
		if len(fed) == 0 {
			continue
		}
		any = true
		total += need
		complete = complete && ok
		limit, source := c.givenBy(d, p)
		a := about{"devices", d.ID, append([]string{d.ID}, fed...), nil}
		switch {
		case limit == 0:
			c.missing("usb-current", a, "what %s gives is not written (gives, or class)", named(d, p))
		case !measure.Within(need, limit):
			c.say(Error, "usb-current", a, compared{need, limit, "mA"}, source, "%s gives %g mA, and %s may draw %g mA", named(d, p), limit, c.names(fed), need)
		case !ok:
			c.missing("usb-current", a, "what %s draws is not written (wants), so %s cannot be judged", c.names(fed), named(d, p))
		}
	}
	if supply, ok := known(d.Supply); any && ok && !measure.Within(total, supply) {
		c.say(Error, "usb-supply", aboutDevice(d.ID), compared{total, supply, "mA"}, src("computed; units from memory (USB 2.0 §9.6.3)", "U-013"),
			"the supply of %s gives %g mA, and its ports may be asked for %g mA", d.Name(), supply, total)
	}
}

// givenBy is what an output port gives, mA, 0 where unknown.
func (c *checker) givenBy(d *Device, p *Port) (float64, []measure.Source) {
	if gives, ok := known(p.Gives); ok {
		return gives, src("computed; units from memory (USB 2.0 §9.6.3)", "U-013")
	}
	if p.Class == "" {
		return 0, nil
	}
	if d.Hub == string(usb.BusPowered) {
		return usb.Port(p.Class).UnitLoad(), src("read: an open kernel's hub driver, and a hub data sheet", "U-006")
	}
	switch usb.Port(p.Class) {
	case usb.Port20:
		return usb.Port20.MilliAmps(), src("read: a hub data sheet and a page on USB power", "U-002")
	case usb.Port3x:
		return usb.Port3x.MilliAmps(), src("read: a page on USB power; USB 3.2 §11.4 not read", "U-004")
	case usb.PortCharging:
		return usb.PortCharging.MilliAmps(), src("read: a page on USB power", "U-010")
	}
	return usb.Port(p.Class).MilliAmps(), src("from memory (USB Type-C 4.11)", "U-005")
}

// drawn is what hangs on a port: the most of a device, or of a bus-powered hub
// its own unit and all that it feeds. ok is false where a figure is missing, or
// where the cables make a loop.
func (c *checker) drawn(d *Device, p *Port, seen []*Device) (sum float64, ok bool, fed []string) {
	if c.steps++; c.steps > mostSteps || slices.Contains(seen, d) || len(seen) > mostHops {
		return 0, false, nil
	}
	seen = append(slices.Clip(seen), d)
	ok = true
	for _, k := range c.s.byFrom[d.ID+"/"+p.ID] {
		to := c.s.ports[k.To]
		if to == nil {
			continue
		}
		fed = append(fed, to.device.ID)
		if wants, has := known(to.port.Wants); has {
			sum += wants
			continue
		}
		if to.device.Hub == string(usb.SelfPower) {
			continue
		}
		if to.device.Hub != string(usb.BusPowered) {
			ok = false
			continue
		}
		sum += max(usb.Port(to.port.Class).UnitLoad(), 100)
		for _, out := range to.device.carries("usb", "out") {
			below, whole, _ := c.drawn(to.device, out, seen)
			sum += below
			ok = ok && whole
		}
	}
	return sum, ok, fed
}

func (c *checker) names(ids []string) string {
	var list []string
	for _, id := range ids {
		list = append(list, c.nameOf(id))
	}
	return strings.Join(list, " and ")
}

// usbDrop works out what is lost on thin cables of a known gauge.
func (c *checker) usbDrop() {
	for i := range c.s.Cables {
		k := &c.s.Cables[i]
		to := c.s.ports[k.To]
		if to == nil || to.port.Carries != "usb" || k.Gauge == "" || k.Length == nil || to.port.Wants == nil {
			continue
		}
		w, err := power.ParseWire(k.Gauge)
		if err != nil {
			continue
		}
		drop := power.VoltageDrop(usbVolts, float64(*to.port.Wants)/1000, float64(*k.Length), w, 20)
		if drop.Left < usbLeast {
			c.say(Error, "usb-drop", aboutCable(k), compared{usbLeast, drop.Left, "V"}, append(src("computed", "U-019"), src("from memory (USB 2.0 §7.2.2)", "U-015")...),
				"%s (%s, %g m) loses %s at %g mA: %s of 5 V is left at %s, and %.2f V is the least", k.name(), k.Gauge, float64(*k.Length),
				measure.Show(drop.Lost, "V", 2), float64(*to.port.Wants), measure.Show(drop.Left, "V", 2), to.device.Name(), usbLeast)
		}
	}
}

// Nominal and least voltage of USB in V (U-014 to U-019).
const (
	usbVolts = 5.0
	usbLeast = 4.40
)
