package room

import (
	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/optics"
)

// viewing judges whether the farthest seat can read each display.
func (c *checker) viewing() {
	v := c.s.Viewing
	if v == nil {
		return
	}
	far, ok := known(v.Farthest)
	if !ok {
		c.missing("viewing-unknown", about{section: "viewing"}, "the distance of the farthest seat is not written")
		return
	}
	for _, d := range c.s.of("display", "projector", "video-wall", "led-wall") {
		diagonal, ok := known(d.Diagonal)
		if !ok {
			c.missing("viewing-unknown", aboutDevice(d.ID), "the diagonal of %s is not written", d.Name())
			continue
		}
		across, down, err := aspect(d.Aspect)
		if err != nil {
			continue
		}
		_, height := optics.Size(diagonal, across, down)
		task := v.Task
		if task == "" {
			task = "reading"
		}
		if most := optics.Farthest(task, height); !measure.Within(far, most) {
			c.say(Warning, "viewing-far", aboutDevice(d.ID), compared{far, most, "m"}, append(src("computed", "O-001"), src(measure.Practice, "O-007")...),
				"the farthest seat is %g m from %s (%.0f mm high), and for %s %.2f m is the most", far, d.Name(), 1000*height, task, most)
		}
	}
	if text, ok := known(v.Text); ok && far > 0 {
		c.letters(text, far)
	}
}

// letters judges the smallest text by its angle.
func (c *checker) letters(text, far float64) {
	minutes := optics.Minutes(text, far)
	a := about{section: "viewing"}
	sources := append(src("computed", "O-009"), src(measure.Practice, "O-009")...)
	switch {
	case minutes < optics.TextLeast:
		c.say(Error, "text-small", a, compared{optics.TextLeast, minutes, "arcmin"}, sources, "letters of %.0f mm at %g m are %.1f minutes of arc: %g is the least that can be read", 1000*text, far, minutes, optics.TextLeast)
	case minutes < optics.TextGood:
		c.say(Warning, "text-small", a, compared{optics.TextGood, minutes, "arcmin"}, sources, "letters of %.0f mm at %g m are %.1f minutes of arc: hard to read below %g", 1000*text, far, minutes, optics.TextGood)
	}
}
