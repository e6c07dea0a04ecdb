package hdcp

import (
	"fmt"

	"faultbook/diagnose/measure"
)

// Hop is the link between two members: what they have in common and whether
// the content may pass.
type Hop struct {
	From, To string
	Common   Family
	OK       bool
	Why      string
}

// Report is the outcome for a chain.
type Report struct {
	Verdict        measure.Verdict
	Why            string
	Hops           []Hop
	Devices        int // below the first repeater, itself not counted (P-004)
	Levels         int // repeaters in line, the first one included
	DeviceLimit    int
	LevelLimit     int
	Family2        bool // the first link runs 2.x
	RepeaterInLine bool
}

// Judge follows the content from the source (first) to the last device.
// Whatever stands between counts as a repeater unless it is transparent.
// Copies are counted as devices beside the line. Errors: fewer than two devices
// that take part, or a transparent one at an end.
func Judge(content Content, chain []Device) (Report, error) {
	chain, err := members(chain)
	if err != nil {
		return Report{}, err
	}
	r := Report{Verdict: measure.Pass}
	r.count(chain)
	r.hops(content, chain)
	if content == Unprotected {
		r.Why = "unprotected content needs no HDCP at any point"
		return r, nil
	}
	for _, h := range r.Hops {
		if !h.OK {
			r.Verdict, r.Why = measure.Fail, h.Why
			return r, nil
		}
	}
	r.judgeCounts(chain[0])
	return r, nil
}

// members drops transparent devices and marks those between as repeaters.
func members(chain []Device) ([]Device, error) {
	var out []Device
	for i, d := range chain {
		if !d.Transparent {
			out = append(out, d)
			continue
		}
		if i == 0 || i == len(chain)-1 {
			return nil, fmt.Errorf("%s stands at an end of the chain and cannot be transparent", d.Label)
		}
	}
	if len(out) < 2 {
		return nil, fmt.Errorf("a chain has a source and at least one device behind it")
	}
	for i := 1; i < len(out)-1; i++ {
		out[i].Repeater = true
	}
	return out, nil
}

// hops judges each link. Type 1 must stay in 2.x all the way; type 0 may be
// converted by a repeater from one family to the other (P-006 to P-009).
func (r *Report) hops(content Content, chain []Device) {
	for i := 1; i < len(chain); i++ {
		from, to := chain[i-1], chain[i]
		h := Hop{From: from.Label, To: to.Label, Common: from.Family.with(to.Family)}
		switch {
		case content == Unprotected:
			h.OK = true
		case to.Family.None() || from.Family.None():
			who := to
			if from.Family.None() {
				who = from
			}
			h.Why = fmt.Sprintf("%s has no HDCP, so protected content stops there", who.Label)
		case content == Type1 && !to.Family.V2:
			h.Why = fmt.Sprintf("type 1 content needs 2.2 everywhere and %s has 1.4", to.Label)
		case content == Type1 && !from.Family.V2:
			h.Why = fmt.Sprintf("type 1 content needs 2.2 everywhere and %s has 1.4", from.Label)
		case h.Common.None():
			h.Why = fmt.Sprintf("%s (%s) and %s (%s) have no version in common", from.Label, from.Family, to.Label, to.Family)
		default:
			h.OK = true
		}
		r.Hops = append(r.Hops, h)
	}
	r.Family2 = chain[0].Family.V2 && chain[1].Family.V2
}

// count counts what the first repeater reports: devices below it and levels of
// repeaters from it on.
func (r *Report) count(chain []Device) {
	for _, d := range chain[1:] {
		if r.RepeaterInLine {
			r.Devices += d.Copies
		}
		if d.Repeater {
			r.Levels++
			r.RepeaterInLine = true
		}
	}
}

func (r *Report) judgeCounts(source Device) {
	r.DeviceLimit, r.LevelLimit = Devices1, Levels1
	family := "1.x"
	if r.Family2 {
		r.DeviceLimit, r.LevelLimit, family = Devices2, Levels2, "2.x"
	}
	switch {
	case r.Levels > r.LevelLimit:
		r.Verdict, r.Why = measure.Fail, fmt.Sprintf("%d levels of repeaters are more than the %d of HDCP %s", r.Levels, r.LevelLimit, family)
	case r.Devices > r.DeviceLimit:
		r.Verdict, r.Why = measure.Fail, fmt.Sprintf("%d devices are more than the %d of HDCP %s", r.Devices, r.DeviceLimit, family)
	case source.MaxSinks > 0 && r.sinks() > source.MaxSinks:
		r.Verdict, r.Why = measure.Fail, fmt.Sprintf("%d devices are more than the %d that %s takes", r.sinks(), source.MaxSinks, source.Label)
	case source.MaxSinks == 0 && r.sinks() > usualKeyLimit:
		r.Verdict, r.Why = measure.Tight, fmt.Sprintf("%d devices are within HDCP %s, but many sources stop at %d to 16", r.sinks(), family, usualKeyLimit)
	default:
		r.Why = fmt.Sprintf("every link has a common version and the counts are within HDCP %s", family)
	}
}

// usualKeyLimit is the lowest number of sinks at which sources are found to
// stop (P-005, common practice, no source).
const usualKeyLimit = 4

// sinks counts everything below the source.
func (r *Report) sinks() int {
	if !r.RepeaterInLine {
		return 1
	}
	return r.Devices + 1
}
