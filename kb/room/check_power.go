package room

import (
	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/power"
)

// Limits of a low-voltage run in % of its supply (W-012).
const (
	dropAdvice = 5.0
	dropMost   = 10.0
)

// hottestIntake is the warmest air that a rack takes in, °C (W-016).
const hottestIntake = 35.0

// power judges low-voltage runs and the heat of each place.
func (c *checker) power() {
	for i := range c.s.Cables {
		c.drop(&c.s.Cables[i])
	}
	for i := range c.s.Places {
		c.heat(&c.s.Places[i])
	}
}

// drop works out what a supply run loses.
func (c *checker) drop(k *Cable) {
	from, to := c.s.ports[k.From], c.s.ports[k.To]
	if from == nil || to == nil || from.port.Carries != "power" {
		return
	}
	volts, okV := known(from.port.Volts)
	amps, okA := known(to.port.Wants)
	metres, okM := known(k.Length)
	if okV && volts > 60 {
		return // mains is an electrician's
	}
	if !okV || !okA || !okM || k.Gauge == "" {
		c.missing("drop-unknown", aboutCable(k), "the voltage lost on %s cannot be worked out: it needs volts, wants, length and gauge", k.name())
		return
	}
	w, err := power.ParseWire(k.Gauge)
	if err != nil {
		return
	}
	d := power.VoltageDrop(volts, amps/1000, metres, w, 20)
	sources := append(src("computed", "W-004"), src(measure.Practice, "W-012")...)
	a := about{"cables", k.ID, []string{to.device.ID}, []string{k.ID}}
	text := "%s (%s, %g m) loses %s of %g V at %g A: %s is left at %s (%.1f %%)"
	args := []any{k.name(), k.Gauge, metres, measure.Show(d.Lost, "V", 3), volts, amps / 1000, measure.Show(d.Left, "V", 3), to.device.Name(), d.Percent}
	if least, ok := known(to.port.Least); ok {
		if d.Left < least {
			c.say(Error, "drop", a, compared{least, d.Left, "V"}, src("computed", "W-004"), text+", and it needs %g V", append(args, least)...)
		}
		return
	}
	switch {
	case !measure.Within(d.Percent, dropMost):
		c.say(Error, "drop", a, compared{d.Percent, dropMost, "%"}, sources, text+", and 10 %% is the most", args...)
	case !measure.Within(d.Percent, dropAdvice):
		c.say(Warning, "drop", a, compared{d.Percent, dropAdvice, "%"}, sources, text+"; 5 %% is what one designs for", args...)
	}
}

// heat adds up what the devices of a place draw.
func (c *checker) heat(p *Place) {
	sum, unknown := 0.0, []string{}
	for i := range c.s.Devices {
		d := &c.s.Devices[i]
		if d.Place != p.ID {
			continue
		}
		if d.Power == nil || d.Power.Draws == nil {
			if d.Kind != "loudspeaker" && d.Kind != "wall-plate" && d.Kind != "remote" {
				unknown = append(unknown, d.ID)
			}
			continue
		}
		sum += float64(*d.Power.Draws) * float64(d.count())
	}
	cooling, okC := known(p.Cooling)
	flow, okF := known(p.Airflow)
	a := about{"places", p.ID, nil, nil}
	if okC || okF {
		if len(unknown) > 0 {
			c.missing("heat-unknown", about{"places", p.ID, unknown, nil}, "%s: what %s draws is not written, so the heat is at least %g W", placeName(p), c.names(unknown), sum)
		}
	}
	if okC && !measure.Within(sum, cooling) {
		c.say(Error, "heat", a, compared{sum, cooling, "W"}, src("computed", "W-013"), "%s takes in %g W (%.0f BTU/h), and %g W are carried away", placeName(p), sum, sum*power.BTUPerWatt, cooling)
	}
	if okF && flow > 0 && sum > 0 {
		rise := power.AirRise(sum, flow)
		intake, ok := known(p.Intake)
		switch {
		case !ok:
			c.missing("heat-intake", a, "%s: %g W warm its %g m3/h of air by %.1f K; the temperature of the air that goes in is not written", placeName(p), sum, flow, rise)
		case intake > hottestIntake:
			c.say(Error, "heat-intake", a, compared{intake, hottestIntake, "°C"}, src(measure.Practice, "W-016"), "%s takes in air of %g °C, and %g °C is the most", placeName(p), intake, hottestIntake)
		case intake+rise > hottestIntake:
			c.say(Warning, "heat-air", a, compared{intake + rise, hottestIntake, "°C"}, append(src("computed", "W-014"), src(measure.Practice, "W-016")...),
				"%s: %g W warm %g m3/h of air by %.1f K to %.1f °C: what stands at the top takes that in, and %g °C is the most", placeName(p), sum, flow, rise, intake+rise, hottestIntake)
		}
	}
}

func placeName(p *Place) string {
	if p.Title != "" {
		return p.Title
	}
	return p.ID
}
