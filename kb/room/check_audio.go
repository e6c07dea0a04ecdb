package room

import (
	"math"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/audio"
	"faultbook/diagnose/measure/power"
)

// Differences of level in dB: more than a verification visit allows (V-035),
// and so much that a microphone input meets a line output.
const (
	levelAdvice = 3.0
	levelMost   = 20.0
)

// audio judges levels at both ends of each sound cable, and loudspeaker lines.
func (c *checker) audio() {
	for i := range c.s.Cables {
		k := &c.s.Cables[i]
		from, to := c.s.ports[k.From], c.s.ports[k.To]
		if from != nil && to != nil && from.port.Carries == "audio" {
			c.level(k, from, to)
		}
		if from != nil && to != nil && from.port.Carries == "control" {
			c.serial(k, to.device)
		}
	}
	for i := range c.s.Devices {
		if d := &c.s.Devices[i]; d.Kind == "amplifier" {
			for _, p := range d.carries("speaker", "out") {
				c.line(d, p)
			}
		}
	}
}

func (c *checker) level(k *Cable, from, to *portAt) {
	a := about{"cables", k.ID, []string{from.device.ID, to.device.ID}, []string{k.ID}}
	x, okX := known(from.port.Level)
	y, okY := known(to.port.Level)
	if !okX || !okY {
		c.missing("level-unknown", a, "the levels of %s and %s are not both written", named(from.device, from.port), named(to.device, to.port))
		return
	}
	diff := x - y
	word := "hot"
	if diff < 0 {
		word = "low"
	}
	sources := append(src("computed", "A-005"), src(measure.Practice, "V-035")...)
	text := "%s gives %+.2f dBu and %s expects %+.2f dBu: %.2f dB too %s"
	args := []any{named(from.device, from.port), x, named(to.device, to.port), y, math.Abs(diff), word}
	switch {
	case !measure.Within(math.Abs(diff), levelMost):
		c.say(Error, "level", a, compared{x, y, "dBu"}, append(src("computed", "A-007"), sources...), text+": these are a microphone and a line", args...)
	case !measure.Within(math.Abs(diff), levelAdvice):
		c.say(Warning, "level", a, compared{x, y, "dBu"}, sources, text, args...)
	}
}

// load is what hangs on one amplifier output.
type load struct {
	watts   float64 // of the taps, on this line
	siemens float64 // of all loudspeakers side by side
	missing []string
	wrong   []string // low impedance on a high-voltage line, or the reverse
	other   []string // taps for another line
	farOhm  float64  // loop resistance to the farthest
	count   int
}

// line judges what hangs on one output of an amplifier.
func (c *checker) line(d *Device, p *Port) {
	l := load{}
	c.hang(d, d.ID+"/"+p.ID, 0, &l, map[string]bool{})
	if l.count == 0 {
		return
	}
	a := aboutDevice(d.ID)
	if d.Line == nil {
		c.missing("line-unknown", a, "the loudspeaker line of %s is not written (line)", d.Name())
		return
	}
	if len(l.missing) > 0 {
		c.missing("line-unknown", a, "tap or impedance is not written of %s", c.names(l.missing))
	}
	if len(l.wrong) > 0 {
		c.say(Error, "line-kind", about{"devices", l.wrong[0], append([]string{d.ID}, l.wrong...), nil}, none, src(measure.Practice, "A-038"),
			"%s on %s: a low-impedance loudspeaker on a high-voltage line overloads it, a tap on a low-impedance output stays quiet", c.names(l.wrong), d.Name())
	}
	if len(l.other) > 0 {
		c.say(Warning, "line-tap", about{"devices", l.other[0], append([]string{d.ID}, l.other...), nil}, none, src("computed", "A-034"),
			"%s: the tap is marked for another line than that of %s (%g V); its power here is counted so", c.names(l.other), d.Name(), float64(*d.Line.Volts))
	}
	c.lineLoad(d, p, l)
}

// lineLoad compares the sum of taps or the impedance with the amplifier.
func (c *checker) lineLoad(d *Device, p *Port, l load) {
	a := aboutDevice(d.ID)
	if volts, ok := known(d.Line.Volts); ok {
		most, ok := known(d.Line.Watts)
		switch {
		case !ok:
			c.missing("line-load", a, "the power of %s is not written; its taps take %g W", d.Name(), l.watts)
		case !measure.Within(l.watts, most):
			c.say(Error, "line-load", a, compared{l.watts, most, "W"}, append(src("computed", "A-033", "A-034"), src(measure.Practice, "A-035")...),
				"the taps on %s take %g W (%.1f ohm at %g V), and it gives %g W", named(d, p), l.watts, audio.LoadOhm(volts, l.watts), volts, most)
		case !measure.Within(l.watts, most*audio.LoadingAdvice/100):
			c.say(Warning, "line-load", a, compared{l.watts, most * audio.LoadingAdvice / 100, "W"}, src(measure.Practice, "A-035"),
				"the taps on %s take %g W, more than %g %% of its %g W", named(d, p), l.watts, audio.LoadingAdvice, most)
		}
		if l.watts > 0 && l.farOhm > 0 {
			if loss := audio.LineLossDB(audio.LoadOhm(volts, l.watts), l.farOhm); loss > lineLossAdvice {
				c.say(Warning, "line-loss", a, compared{loss, lineLossAdvice, "dB"}, src("computed", "A-036"), "the line of %s loses %.2f dB on %.2f ohm of cable", named(d, p), loss, l.farOhm)
			}
		}
		return
	}
	if l.siemens == 0 {
		return
	}
	ohm := 1 / l.siemens
	if least, ok := known(d.Line.Ohms); ok && ohm < least*(1-1e-9) {
		c.say(Error, "line-load", a, compared{least, ohm, "ohm"}, src("computed", "A-033"), "the loudspeakers on %s come to %.2f ohm side by side, and it drives %g ohm at least", named(d, p), ohm, least)
	} else if !ok {
		c.missing("line-load", a, "the least impedance of %s is not written; its loudspeakers come to %.2f ohm", d.Name(), ohm)
	}
	if share := 100 * l.farOhm / ohm; !measure.Within(share, audio.CableAdvice) {
		c.say(Warning, "line-loss", a, compared{share, audio.CableAdvice, "%"}, append(src(measure.Practice, "A-037"), src("computed", "A-036")...),
			"the cable on %s has %.2f ohm, %.0f %% of the %.2f ohm that hang on it (%.2f dB lost); %g %% is the most", named(d, p), l.farOhm, share, ohm, audio.LineLossDB(ohm, l.farOhm), audio.CableAdvice)
	}
}

// lineLossAdvice is the loss of a loudspeaker line in dB that is worth a word.
const lineLossAdvice = 1.0

// hang collects the loudspeakers behind a port, chained ones included.
func (c *checker) hang(amp *Device, port string, ohm float64, l *load, seen map[string]bool) {
	for _, k := range c.s.byFrom[port] {
		to := c.s.ports[k.To]
		if to == nil || seen[to.device.ID] {
			continue
		}
		seen[to.device.ID] = true
		loop := ohm
		if m, ok := known(k.Length); ok && k.Gauge != "" {
			if w, err := power.ParseWire(k.Gauge); err == nil {
				loop += 2 * m * w.OhmPerKM / 1000
			}
		}
		l.farOhm = max(l.farOhm, loop)
		l.add(amp, to.device)
		for _, out := range to.device.carries("speaker", "out") {
			c.hang(amp, to.device.ID+"/"+out.ID, loop, l, seen)
		}
	}
}

// add counts one loudspeaker.
func (l *load) add(amp, d *Device) {
	if d.Kind != "loudspeaker" {
		return
	}
	n := float64(d.count())
	l.count += d.count()
	line, high := d.Line, amp.Line != nil && amp.Line.Volts != nil
	switch {
	case line == nil || line.Watts == nil && line.Ohms == nil:
		l.missing = append(l.missing, d.ID)
	case high && line.Watts == nil || !high && line.Ohms == nil:
		l.wrong = append(l.wrong, d.ID)
	case high:
		w := float64(*line.Watts)
		if marked, ok := known(line.Volts); ok && math.Abs(marked-float64(*amp.Line.Volts)) > 1 {
			l.other = append(l.other, d.ID)
			w = audio.TapOnOtherLine(w, marked, float64(*amp.Line.Volts))
		}
		l.watts += n * w
	case float64(*line.Ohms) > 0:
		l.siemens += n / float64(*line.Ohms)
	}
}

// serial judges the length of a control line at its rate (C-005).
func (c *checker) serial(k *Cable, d *Device) {
	m, ok := known(k.Length)
	if !ok || d.Control == nil || d.Control.By != "serial" || d.Control.Baud == 0 {
		return
	}
	usual := 15.0
	switch {
	case d.Control.Baud <= 9600:
		usual = 45
	case d.Control.Baud > 19200:
		usual = 3
	}
	if !measure.Within(m, usual) {
		c.say(Warning, "serial-long", aboutCable(k), compared{m, usual, "m"}, src(measure.Practice, "C-005"), "%s is %g m long, and at %d baud %g m is what works", k.name(), m, d.Control.Baud, usual)
	}
}
