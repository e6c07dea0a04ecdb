package room

import (
	"fmt"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/audio"
)

// delays judges sound against picture: from each device that takes the sound
// out of the picture, the delay of the picture's way to each display less that
// of the sound's way to the loudspeakers. Only delays that are written count,
// and what is missing is said.
func (c *checker) delays(all []route) {
	for _, r := range all {
		for i, h := range r {
			if len(h.in.device.carries("audio", "out")) == 0 || i == len(r)-1 {
				continue
			}
			c.delayFrom(h.in.device, r[i+1:])
			break
		}
	}
}

// delayFrom compares the rest of a picture's way with the sound's ways.
func (c *checker) delayFrom(d *Device, rest route) {
	picture, any, unknown := 0.0, false, []string{}
	for _, h := range rest {
		if ms, ok := known(h.in.device.Delay); ok {
			picture, any = picture+ms, true
		} else {
			unknown = append(unknown, h.in.device.Name())
		}
	}
	sound, end := c.soundWay(d, map[*Device]bool{})
	if end == nil {
		return
	}
	if own, ok := known(d.Delay); ok { // its scaler delays the picture, not the sound
		picture, any = picture+own, true
	}
	if !any {
		return
	}
	display := rest.display()
	a := about{"devices", display.ID, []string{d.ID, display.ID, end.ID}, nil}
	if len(unknown) > 0 {
		c.missing("lip-sync", a, "picture and sound cannot be compared: the delay of %s is not written", unknown[0])
		return
	}
	offset := audio.Offset(picture, sound)
	text := fmt.Sprintf("sound from %s is %.0f ms %s on %s: picture %.0f ms, sound %.0f ms", d.Name(), abs(offset), earlyLate(offset), display.Name(), picture, sound)
	figures := compared{offset, audio.AcceptEarly, "ms"}
	if offset < 0 {
		figures = compared{-offset, audio.AcceptLate, "ms"}
	}
	switch audio.LipSync(offset) {
	case measure.Fail:
		c.say(Error, "lip-sync", a, figures, src("read: ITU-R BT.1359-1", "A-025"), "%s; the average viewer accepts %.0f ms early or %.0f late", text, audio.AcceptEarly, audio.AcceptLate)
	case measure.Tight:
		c.say(Warning, "lip-sync", a, figures, src("read: ITU-R BT.1359-1", "A-024"), "%s, which can be seen from %.0f ms early or %.0f late", text, audio.DetectEarly, audio.DetectLate)
	}
}

// soundWay follows the sound cables to the amplifier or loudspeaker at their
// end and adds up the delays that are written; nil where none is reached.
func (c *checker) soundWay(d *Device, seen map[*Device]bool) (ms float64, end *Device) {
	seen[d] = true
	for _, p := range d.carries("audio", "out") {
		for _, k := range c.s.byFrom[d.ID+"/"+p.ID] {
			to := c.s.ports[k.To]
			if to == nil || seen[to.device] {
				continue
			}
			own, _ := known(to.device.Delay)
			if to.device.Kind == "amplifier" || to.device.Kind == "loudspeaker" {
				return own, to.device
			}
			if more, end := c.soundWay(to.device, seen); end != nil {
				return own + more, end
			}
		}
	}
	return 0, nil
}

func abs(x float64) float64 { return max(x, -x) }

func earlyLate(offset float64) string {
	if offset > 0 {
		return "early"
	}
	return "late"
}
