package room

import (
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/hdcp"
)

const readHDCP = "read: open kernel and driver headers"

// chain is the path as the protection sum takes it; unknown lists the devices
// whose version is not written.
func (c *checker) chain(source *Device, p route) (list []hdcp.Device, unknown []string) {
	take := func(at *portAt) {
		d, ok := family(at)
		if !ok {
			unknown = append(unknown, at.device.Name())
		}
		if at.device == source {
			d.MaxSinks = source.Sinks
		}
		list = append(list, d)
	}
	take(p[0].out)
	for _, h := range p {
		take(h.in)
	}
	return list, unknown
}

// protection judges type 0 and type 1 content on one path. A device that is
// known to refuse decides whatever else is unknown.
func (c *checker) protection(source, d *Device, p route, cell *Cell) {
	chain, unknown := c.chain(source, p)
	judge := func(content hdcp.Content) (measure.Verdict, string) {
		list := chain
		if len(unknown) > 0 {
			list = nil
			for _, x := range chain { // what is unknown is taken as able, to see what is known to refuse
				if x.Family.None() && contains(unknown, x.Label) && !x.Transparent {
					x.Family = hdcp.Family{V1: true, V2: true}
				}
				list = append(list, x)
			}
		}
		r, err := hdcp.Judge(content, list)
		switch {
		case err != nil:
			return measure.Unknown, err.Error()
		case r.Verdict == measure.Fail:
			return r.Verdict, r.Why
		case len(unknown) > 0:
			return measure.Unknown, "the protection version is not written of " + strings.Join(unknown, ", ")
		}
		return r.Verdict, r.Why
	}
	var why0, why1 string
	cell.Type0, why0 = judge(hdcp.Type0)
	cell.Type1, why1 = judge(hdcp.Type1)
	a := about{"devices", d.ID, []string{source.ID, d.ID}, p.cables()}
	sources := append(src(readHDCP, "P-002", "P-003", "P-004"), src("read: an open kernel's HDCP header; from memory (HDCP 2.2 §2.9)", "P-007")...)
	for _, x := range []struct {
		content hdcp.Content
		verdict measure.Verdict
		why     string
	}{{hdcp.Type0, cell.Type0, why0}, {hdcp.Type1, cell.Type1, why1}} {
		wanted := c.s.Protected == string(hdcp.Type1) || c.s.Protected == string(x.content)
		switch {
		case x.verdict == measure.Fail && wanted:
			c.say(Error, "protected-refused", a, none, sources, "protected content (%s) from %s does not pass to %s: %s", x.content, source.Name(), d.Name(), x.why)
		case x.verdict == measure.Fail && c.s.Protected == "":
			c.say(Note, "protected-refused", a, none, sources, "protected content (%s) from %s would not pass to %s: %s", x.content, source.Name(), d.Name(), x.why)
		case x.verdict == measure.Tight && wanted:
			c.say(Warning, "protected-count", a, none, src(measure.Practice, "P-005"), "protected content (%s) from %s to %s: %s", x.content, source.Name(), d.Name(), x.why)
		case x.verdict == measure.Unknown && wanted:
			c.say(Unknown, "protected-unknown", a, none, sources, "protected content (%s) from %s to %s cannot be judged: %s", x.content, source.Name(), d.Name(), x.why)
		}
	}
}

// receivers counts what each socket of a source has below it when it is routed
// everywhere: devices below the first repeater and levels (P-002 to P-004).
func (c *checker) receivers(source *Device, all []route) {
	for _, p := range source.carries("video", "out") {
		var own []route
		for _, r := range all {
			if r[0].out.port == p {
				own = append(own, r)
			}
		}
		if len(own) > 0 {
			c.receiversOf(source, p, own)
		}
	}
}

func (c *checker) receiversOf(source *Device, p *Port, all []route) {
	below, levels, two := map[*Device]bool{}, 0, false
	for _, r := range all {
		chain, n := 0, 0
		for i, h := range r {
			f, ok := family(h.in)
			if !ok || f.Transparent {
				continue
			}
			if chain++; chain == 1 {
				own, _ := family(r[0].out)
				two = own.Family.V2 && f.Family.V2
			} else {
				below[h.in.device] = true
			}
			if i < len(r)-1 {
				n++
			}
		}
		levels = max(levels, n)
	}
	devices := 0
	for d := range below {
		devices += d.count()
	}
	c.receiverLimits(source, named(source, p), devices, levels, two)
}

func (c *checker) receiverLimits(source *Device, name string, devices, levels int, two bool) {
	most, deepest, id := hdcp.Devices1, hdcp.Levels1, "P-002"
	if two {
		most, deepest, id = hdcp.Devices2, hdcp.Levels2, "P-003"
	}
	a, level := aboutDevice(source.ID), Warning
	if c.s.Protected == string(hdcp.Type0) || c.s.Protected == string(hdcp.Type1) {
		level = Error
	}
	if devices > most {
		c.say(level, "protected-count", a, compared{float64(devices), float64(most), "devices"}, src(readHDCP, id, "P-004"),
			"%s routed everywhere has %d devices below the first repeater, and %d are allowed", name, devices, most)
	}
	if levels > deepest {
		c.say(level, "protected-depth", a, compared{float64(levels), float64(deepest), "levels"}, src(readHDCP, id),
			"%s has %d levels of repeaters, and %d are allowed", name, levels, deepest)
	}
	if source.Sinks > 0 && devices > 0 && devices+1 > source.Sinks {
		c.say(Warning, "protected-sinks", a, compared{float64(devices + 1), float64(source.Sinks), "receivers"}, src(measure.Practice, "P-005"),
			"%s takes %d receivers of protected content and has %d when it is routed everywhere", name, source.Sinks, devices+1)
	}
}

func contains(list []string, x string) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}
