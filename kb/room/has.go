package room

import "strings"

// What a room has, beyond devices of a kind.

func anyCable(s *Sheet, carries string, is func(*Cable) bool) bool {
	for i := range s.Cables {
		if p := s.port(s.Cables[i].From); p != nil && p.Carries == carries && is(&s.Cables[i]) {
			return true
		}
	}
	return false
}

func anyActive(s *Sheet) bool {
	return anyCable(s, "video", func(c *Cable) bool { return c.Active || c.DisplayEnd != "" || strings.Contains(c.Class, "active") })
}

func anyFibre(s *Sheet) bool {
	return anyCable(s, "video", func(c *Cable) bool {
		class := strings.ToLower(c.Class)
		return strings.HasPrefix(class, "fib") || strings.Contains(class, "optical")
	})
}

func anyCoupler(s *Sheet) bool {
	return anyCable(s, "video", func(c *Cable) bool { return c.Couplers > 0 || strings.Contains(c.Class, "coupler") })
}

func manyDisplays(s *Sheet) bool {
	n := 0
	for _, d := range s.of("display", "projector", "video-wall", "led-wall") {
		n += d.count()
	}
	return n > 1
}

func anyPoE(s *Sheet) bool {
	for i := range s.Devices {
		d := &s.Devices[i]
		if d.PoEBudget != nil || d.Power != nil && (d.Power.From == "poe" || d.Power.From == "passive-poe") {
			return true
		}
	}
	return false
}

func anyAdapterFed(s *Sheet) bool {
	for i := range s.Devices {
		d := &s.Devices[i]
		if d.Kind == "supply" || d.Power != nil && d.Power.From == "adapter" {
			return true
		}
	}
	return false
}

func anyHub(s *Sheet) bool {
	for i := range s.Devices {
		if d := &s.Devices[i]; d.Hub != "" || d.Kind == "hub" || d.Kind == "dock" {
			return true
		}
	}
	return false
}

func anyHostChoice(s *Sheet) bool {
	for i := range s.Devices {
		if d := &s.Devices[i]; d.Kind == "usb-switch" || len(d.carries("usb", "in")) > 1 {
			return true
		}
	}
	return false
}

func anyTableSwitch(s *Sheet) bool {
	for _, d := range s.of("network-switch") {
		for _, p := range s.Places {
			if p.ID == d.Place && (p.Is == "table" || p.Is == "desk") {
				return true
			}
		}
	}
	return false
}

func anySoundCable(s *Sheet) bool {
	return anyCable(s, "audio", func(*Cable) bool { return true })
}

func anyUSBSound(s *Sheet) bool {
	for _, d := range s.of("microphone", "radio-microphone", "loudspeaker", "codec", "processor", "camera") {
		for _, p := range d.Ports {
			for _, x := range p.Streams {
				if p.Carries == "usb" && strings.Contains(x.Text, "audio") {
					return true
				}
			}
			if p.Carries == "usb" && d.Kind != "camera" && len(p.Streams) == 0 {
				return true
			}
		}
	}
	return false
}

func anyControlled(s *Sheet) bool {
	for i := range s.Devices {
		if s.Devices[i].Control != nil {
			return true
		}
	}
	return false
}
