package room

import (
	"fmt"
	"slices"
	"strings"
)

// lampQuestion says whose lamps a question of the book is about.
type lampQuestion struct {
	kinds []string // of devices; empty for any
	name  string   // the lamp's name must hold this word; "" for any
}

func lampQuestions() map[string]lampQuestion {
	screens := []string{"display", "projector", "video-wall", "led-wall"}
	return map[string]lampQuestion{
		"display-lamp": {screens, ""}, "display-lamp-colour": {screens, ""}, "standby-net-lamp": {screens, "network"},
		"device-lamp": {nil, ""}, "switcher-front": {[]string{"switcher", "scaler"}, ""}, "controller-lamp": {[]string{"controller"}, ""},
		"amp-lamp": {[]string{"amplifier"}, ""}, "camera-lamp": {[]string{"camera"}, ""}, "extender-lamps": {[]string{"extender"}, ""}, "screen-box-lamp": {[]string{"extender"}, ""},
		"usb-extender-lamp": {[]string{"usb-extender"}, ""}, "input-lamp": {[]string{"switcher", "scaler"}, "input"}, "net-lamp": {nil, "network"},
		"port-lamp-colour": {[]string{"network-switch"}, ""}, "protection-lamp": {nil, "protection"}, "strip-lamp": {[]string{"strip"}, ""},
		"adapter-lamp": {nil, "brick"}, "radio-receiver": {[]string{"radio-microphone"}, ""}, "ups-warning": {[]string{"ups"}, ""},
	}
}

// mostLamps is how many devices' tables are told with one question.
const mostLamps = 4

// lampsFor lists the devices whose lamps a question is about, with the lamps.
func (s *Sheet) lampsFor(question string) (devices []*Device, lamps [][]Lamp) {
	q, ok := lampQuestions()[question]
	if !ok {
		return nil, nil
	}
	for i := range s.Devices {
		d := &s.Devices[i]
		if len(q.kinds) > 0 && !slices.Contains(q.kinds, d.Kind) {
			continue
		}
		var own []Lamp
		for _, l := range d.Lamps {
			if q.name == "" || strings.Contains(strings.ToLower(l.Name), q.name) {
				own = append(own, l)
			}
		}
		if len(own) > 0 {
			devices, lamps = append(devices, d), append(lamps, own)
		}
	}
	return devices, lamps
}

// Lamps explains, for a question about a lamp, what the lamps of the devices
// of this room mean, a line a device.
func (s *Sheet) Lamps(question string) []string {
	devices, lamps := s.lampsFor(question)
	if len(devices) > mostLamps {
		return nil
	}
	var lines []string
	for i, d := range devices {
		var parts []string
		for _, l := range lamps[i] {
			parts = append(parts, l.text()+" = "+l.Means)
		}
		lines = append(lines, fmt.Sprintf("On %s: %s", d.Name(), strings.Join(parts, "; ")))
	}
	return lines
}

func (l Lamp) text() string {
	words := []string{}
	for _, w := range []string{l.Name, l.Colour, strings.ReplaceAll(l.Rhythm, "-", " ")} {
		if w != "" && !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	return strings.Join(words, " ")
}

// fits says whether a lamp can be what an answer describes; known is false
// where the answer says nothing of rhythm or colour.
func (l Lamp) fits(value string) (yes, known bool) {
	rhythm := l.Rhythm
	if rhythm == "" {
		rhythm = "steady"
		if l.Colour == "off" {
			rhythm = "off"
		}
	}
	colours := value
	switch {
	case value == "off" || value == "out" || value == "all-dark" || value == "receiver-dark":
		return rhythm == "off" || l.Colour == "off", true
	case strings.HasPrefix(value, "slow-blink"), strings.HasPrefix(value, "fast-blink"):
		return rhythm == value, true
	case value == "blinking":
		return strings.HasSuffix(rhythm, "blink"), true
	case strings.HasPrefix(value, "steady"):
		if rhythm != "steady" {
			return false, true
		}
		colours = strings.TrimPrefix(strings.TrimPrefix(value, "steady"), "-")
		if colours == "" {
			return true, true
		}
	}
	named := strings.FieldsFunc(colours, func(r rune) bool { return r == '-' })
	if !slices.ContainsFunc(named, func(c string) bool {
		return slices.Contains([]string{"red", "amber", "green", "blue", "white", "orange", "yellow"}, c)
	}) {
		return false, false
	}
	colour := strings.ToLower(l.Colour)
	if colour == "orange" || colour == "yellow" {
		colour = "amber"
	}
	return slices.Contains(named, colour), true
}

// LampMeans says what answers about lamps mean on this room's devices: lines
// for people, and the causes that those lamps speak for. Several answers about
// the same lamp must all fit.
func (s *Sheet) LampMeans(facts map[string]string) (lines []string, causes []string) {
	type key struct {
		device string
		lamp   int
	}
	verdict, order := map[key]bool{}, []key{}
	questions := make([]string, 0, len(facts))
	for q := range facts {
		questions = append(questions, q)
	}
	slices.Sort(questions)
	for _, q := range questions {
		devices, _ := s.lampsFor(q)
		if len(devices) != 1 { // nobody knows whose lamp it was
			continue
		}
		for i, l := range devices[0].Lamps {
			yes, known := l.fits(facts[q])
			if !known {
				continue
			}
			k := key{devices[0].ID, i}
			if before, seen := verdict[k]; !seen {
				order, verdict[k] = append(order, k), yes
			} else {
				verdict[k] = before && yes
			}
		}
	}
	for _, k := range order {
		if !verdict[k] {
			continue
		}
		d := s.devices[k.device]
		l := d.Lamps[k.lamp]
		lines = append(lines, fmt.Sprintf("On %s %s means: %s.", d.Name(), l.text(), strings.TrimSuffix(l.Means, ".")))
		causes = append(causes, l.Causes...)
	}
	return lines, causes
}
