package room

import (
	"fmt"
	"math"
	"strings"
)

// feature is something that a room has or not, with the causes that need it.
type feature struct {
	name   string // as it is told: "a projector"
	field  string // whose list must be complete for it to be absent
	kinds  []string
	has    func(s *Sheet) bool // beyond the kinds
	lead   string              // the way of leads that it is
	causes string
	// shown lists the answers of a caller that show that it is there after all.
	shown map[string]string
}

// features is authored: which causes need what (common practice, no source).
func features() []feature {
	return []feature{
		{name: "a projector", field: "display", kinds: []string{"projector"}, causes: "DP-03 DP-04 DP-05 DP-07 DP-08 DP-09 DP-23 DP-25", shown: map[string]string{"display-kind": "projector"}},
		{name: "a flat screen", field: "display", kinds: []string{"display", "touch-screen", "video-wall"}, causes: "DP-10 DP-11 DP-12 DP-13", shown: map[string]string{"display-kind": "flat-screen"}},
		{name: "a video wall", field: "display", kinds: []string{"video-wall"}, causes: "DP-18", shown: map[string]string{"display-kind": "video-wall"}},
		{name: "a lamp wall", field: "display", kinds: []string{"led-wall"}, causes: "DP-19", shown: map[string]string{"display-kind": "led-wall"}},
		{name: "a picture extender", field: "video", kinds: []string{"extender"}, causes: "VL-11 VL-12 VL-13 VL-14 EF-22", shown: map[string]string{"extender-lamps": "", "screen-box-lamp": "steady blinking dark"}},
		{name: "an active cable or extender", field: "video", kinds: []string{"extender"}, has: anyActive, causes: "VL-21"},
		{name: "an active cable", field: "video", has: anyActive, causes: "VL-05", shown: map[string]string{"cable-direction": "right-way wrong-way"}},
		{name: "a fibre run", field: "video", has: anyFibre, causes: "VL-16", shown: map[string]string{"fibre-light": ""}},
		{name: "a wall plate or coupler", field: "video", kinds: []string{"wall-plate"}, has: anyCoupler, causes: "VL-10 VL-24"},
		{name: "a splitter", field: "video", kinds: []string{"splitter"}, causes: "VL-28"},
		{name: "a splitter or extender", field: "video", kinds: []string{"splitter", "extender"}, causes: "EF-03"},
		{name: "a switcher", field: "video", kinds: []string{"switcher", "scaler"}, causes: "SC-01 SC-02 SC-03 SC-04 SC-05 SC-06 SC-07 SC-08 SC-09 SC-10 SC-11 SC-12 SC-13 SC-14 EF-04 AU-03 AU-06 AU-07 HC-06 HC-08 VL-29", shown: map[string]string{"panel-selected": "mine another", "switcher-front": ""}},
		{name: "a second screen", field: "display", has: manyDisplays, causes: "SC-02 EF-05 HC-03 HC-04 HC-07 DL-04", shown: map[string]string{"displays-alike": "all one", "other-screen-has-it": "no yes"}},
		{name: "a folding wall", has: func(s *Sheet) bool { return s.Divider != "no-wall" }, causes: "SC-15", shown: map[string]string{"room-divider": "closed open"}},
		{name: "a room computer", field: "meeting", kinds: []string{"computer", "codec"}, causes: "DL-16 DL-17", shown: map[string]string{"source-kind": "room-computer"}},
		{name: "a meeting system or recorder", field: "meeting", kinds: []string{"codec", "recorder"}, causes: "SC-16 HC-10", shown: map[string]string{"recorder-in-path": "yes"}},
		{name: "wireless sharing", lead: "wireless", causes: "VL-25 VL-26 VL-27 NW-12", shown: map[string]string{"connection": "wireless", "share-app": ""}},
		{name: "a laptop station", lead: "dock", kinds: []string{"dock"}, causes: "DL-01 DL-02 DL-03 DL-06 DL-07 EF-21", shown: map[string]string{"connection": "dock"}},
		{name: "a lead with the small oval plug", lead: "usb-c-cable adapter dock", kinds: []string{"dock"}, causes: "VL-08 VL-09 DL-05", shown: map[string]string{"connection": "usb-c-cable adapter dock"}},
		{name: "an adapter", lead: "adapter", kinds: []string{"adapter"}, causes: "VL-06 VL-07 DL-18", shown: map[string]string{"connection": "adapter"}},
		{name: "power over the network", field: "power", has: anyPoE, causes: "PW-07 PW-08 PW-09"},
		{name: "a battery back-up", field: "power", kinds: []string{"ups"}, causes: "PW-17", shown: map[string]string{"ups-warning": "yes"}},
		{name: "a sequencer", field: "power", kinds: []string{"sequencer"}, causes: "PW-10"},
		{name: "a power brick", field: "power", has: anyAdapterFed, causes: "PW-04 PW-05 PW-06", shown: map[string]string{"adapter-lamp": "lit out"}},
		{name: "an amplifier with loudspeakers", field: "audio", kinds: []string{"amplifier", "loudspeaker"}, causes: "AU-09 AU-10 AU-11 AU-15 AU-28 DP-20", shown: map[string]string{"amp-lamp": ""}},
		{name: "a radio microphone", field: "audio", kinds: []string{"radio-microphone"}, causes: "AU-23 AU-24", shown: map[string]string{"radio-receiver": "signal no-signal"}},
		{name: "a microphone of the room", field: "audio", kinds: []string{"microphone", "radio-microphone", "codec"}, causes: "AU-18 AU-25 AU-26", shown: map[string]string{"mic-chosen": "room"}},
		{name: "a sound cable", field: "audio", has: anySoundCable, causes: "AU-12 AU-14 AU-16 AU-17"},
		{name: "an echo canceller", field: "audio", kinds: []string{"microphone", "radio-microphone", "codec", "processor"}, causes: "AU-20", shown: map[string]string{"cancellers": "two", "double-sound": "yes"}},
		{name: "a sound device on USB", field: "audio", has: anyUSBSound, causes: "UB-21"},
		{name: "a sensor", field: "control", kinds: []string{"sensor"}, causes: "CT-27", shown: map[string]string{"dark-when-still": "yes"}},
		{name: "a player with a picture cable", field: "video", kinds: []string{"player", "camera"}, causes: "VL-30", shown: map[string]string{"source-kind": "player-or-camera"}},
		{name: "a device under control", field: "control", has: anyControlled, causes: "CT-08 CT-09 CT-10 CT-14 CT-16"},
		{name: "a sound processor", field: "audio", kinds: []string{"processor"}, causes: "AU-27 AU-30"},
		{name: "a control panel", field: "control", kinds: []string{"panel"}, causes: "CT-01", shown: map[string]string{"panel-shows": ""}},
		{name: "a control system", field: "control", kinds: []string{"controller", "panel"}, causes: "CT-02 CT-25 CT-26 CT-29 CT-30"},
		controlled("serial", "a serial line", "CT-03 CT-04 CT-05 CT-06 CT-07 CT-11"),
		controlled("network", "control over the network", "CT-12 CT-13"),
		controlled("infrared", "an infrared stick", "CT-15 CT-17 CT-18"),
		controlled("contact", "a contact", "CT-19 CT-20"),
		controlled("cec", "control through the picture cable", "CT-21 CT-22 CT-23 CT-24"),
		{name: "a booking panel", field: "control", kinds: []string{"booking-panel"}, causes: "UM-07"},
		{name: "a USB extender", field: "usb", kinds: []string{"usb-extender"}, causes: "UB-12 UB-13", shown: map[string]string{"usb-extender-lamp": "steady off blinking", "usb-extender-rating": "rated not-rated"}},
		{name: "a USB hub", field: "usb", has: anyHub, causes: "UB-06 UB-09", shown: map[string]string{"usb-hub-supply": "plugged-in unplugged none", "usb-hub-count": "two-or-three four-or-more"}},
		{name: "a switch for USB", field: "usb", has: anyHostChoice, causes: "UB-02 UB-03 UB-18 UB-20", shown: map[string]string{"usb-host": "mine other"}},
		{name: "a touch screen", field: "usb", kinds: []string{"touch-screen"}, causes: "UB-19", shown: map[string]string{"usb-kind": "touch-screen"}},
		{name: "a room camera", field: "camera", kinds: []string{"camera"}, causes: "UB-10 UB-11", shown: map[string]string{"camera-chosen": "room"}},
		{name: "a network box in the table", field: "network", has: anyTableSwitch, causes: "NW-23", shown: map[string]string{"table-switch": "yes"}},
	}
}

// controlled is a way of control.
func controlled(by, name, causes string) feature {
	return feature{name: name, field: "control", causes: causes, shown: map[string]string{"control-way": by}, has: func(s *Sheet) bool {
		for i := range s.Devices {
			if c := s.Devices[i].Control; c != nil && (c.By == by || c.By == "") {
				return true
			}
		}
		return false
	}}
}

// there says whether the room has a feature; told is false where the sheet
// does not say.
func (f feature) there(s *Sheet) (has, told bool) {
	if len(f.kinds) > 0 && len(s.of(f.kinds...)) > 0 {
		return true, true
	}
	if f.lead != "" {
		for _, l := range s.Leads {
			if containsWord(f.lead, l) {
				return true, true
			}
		}
		return false, len(s.Leads) > 0
	}
	if f.has != nil && f.has(s) {
		return true, true
	}
	if f.field == "" {
		return false, s.Divider != ""
	}
	return false, s.complete(f.field)
}

// absentShare is how much rarer it is that a thing of one certain kind was
// added than that the sheet is wrong in anything (judgement, no source).
const absentShare = 0.3

// absent makes causes unlikely whose feature is not there.
func (w *bearer) absent() {
	for _, f := range features() {
		if has, told := f.there(w.s); has || !told {
			continue
		}
		for _, id := range strings.Fields(f.causes) {
			if w.out.Absent[id] == "" {
				w.out.Absent[id] = f.name
				w.times(absentShare*(1-w.fixed), "the room has not "+f.name, id)
			}
		}
	}
}

// Lifted says which causes an answer brings back, because it shows a feature
// that the sheet does not have.
func Lifted(question, value string) []string {
	var list []string
	for _, f := range features() {
		values, ok := f.shown[question]
		if ok && (values == "" || containsWord(values, value)) {
			list = append(list, strings.Fields(f.causes)...)
		}
	}
	return list
}

func containsWord(list, word string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(list), func(r rune) bool { return r == ' ' || r == ',' || r == '.' }) {
		if w == word || w == word+"s" {
			return true
		}
	}
	return false
}

// Factors of causes (judgement, no source).
const (
	factorError   = 4.0  // the check finds an error of that kind
	factorWarning = 2.0  // or a warning
	factorSound   = 0.15 // or, with every figure known, nothing
	factorWork    = 3.0  // work of that kind the same day
	halfLifeWork  = 7.0  // days, in which that halves
)

// raised makes causes likelier that the check predicts.
func (w *bearer) raised() {
	causes := map[string]string{
		"format-over": "VL-17", "cable-long": "VL-04 VL-03", "active-backwards": "VL-05", "protected-refused": "HC-01 HC-02", "protected-count": "HC-03",
		"protected-depth": "HC-03", "protected-sinks": "HC-04", "usb-current": "UB-05 UB-06", "usb-supply": "UB-06", "usb-drop": "UB-07", "usb-cable-long": "UB-08",
		"usb-extension": "UB-08", "usb-tiers": "UB-09", "usb-bus-chain": "UB-06 UB-09", "usb-stream": "UB-11", "usb-bandwidth": "UB-10", "poe-budget": "PW-07",
		"poe-class": "PW-08", "poe-passive": "PW-09", "drop": "PW-06", "heat": "CM-07", "heat-air": "CM-07", "heat-intake": "CM-07", "address-twice": "NW-05",
		"address-in-pool": "NW-05", "mask-plan": "NW-06", "gateway-outside": "NW-07", "gateway-plan": "NW-07", "reach": "NW-06 NW-07 NW-08", "vlan-differs": "NW-08 NW-11",
		"network-long": "NW-01 NW-02", "level": "AU-12 AU-13", "line-load": "AU-09 AU-13", "line-kind": "AU-11", "line-tap": "AU-11", "viewing-far": "DL-11",
		"text-small": "DL-11", "serial-long": "CT-11", "preset-no-path": "SC-05 SC-02", "lip-sync": "AU-22",
	}
	done := map[string]bool{}
	for _, f := range w.out.Findings { // errors come first
		if f.Code == "format-over" {
			continue // the fact format-sum says it already
		}
		for _, id := range strings.Fields(causes[f.Code]) {
			if done[id] {
				continue
			}
			done[id] = true
			factor := factorWarning
			if f.Level == Error {
				factor = factorError
			}
			w.times(math.Pow(factor, w.moved), "the check of the room: "+f.Text, id)
		}
	}
}

// sound makes causes less likely of which the check, with every figure known,
// finds nothing; where a fact of the sheet says it already, nothing is done.
func (w *bearer) sound() {
	factor := 1 - (1-factorSound)*w.moved
	quiet := func(codes ...string) bool {
		for _, c := range codes {
			if w.has(c, Error, Warning, Unknown) {
				return false
			}
		}
		return true
	}
	video := w.s.complete("video") && len(w.report.Matrix) > 0 && len(w.s.Wanted) > 0
	if video && quiet("format-over", "format-unknown") {
		w.times(factor, "every wanted format passes every part", "VL-18")
	}
	if video && quiet("cable-long", "format-unknown") {
		w.times(factor, "no picture cable is too long", "VL-04")
	}
	if w.s.complete("usb") {
		if quiet("usb-cable-long", "usb-length", "usb-extension") {
			w.times(factor, "no USB cable is too long", "UB-07", "UB-08")
		}
		if quiet("usb-tiers", "usb-bus-chain") {
			w.times(factor, "few hubs in line", "UB-09")
		}
	}
	if w.s.complete("network") && w.addressed() && quiet("address-twice", "address-bad", "address-in-pool", "mask-plan", "gateway-outside", "gateway-plan", "reach") {
		w.times(factor, "the addresses of the sheet agree", "NW-05", "NW-06", "NW-07")
	}
	if w.s.complete("audio") && quiet("level", "level-unknown") {
		w.times(factor, "the sound levels agree", "AU-12")
	}
	if w.s.complete("power") && w.cooled() && quiet("heat", "heat-unknown", "heat-air", "heat-intake") {
		w.times(factor, "the heat is carried away", "CM-07")
	}
	if w.s.complete("power") && quiet("poe-budget", "poe-class", "poe-passive") {
		w.times(factor, "the network power suffices", "PW-07", "PW-08", "PW-09")
	}
}

// addressed says whether every device with a network socket has its address
// written.
func (w *bearer) addressed() bool {
	any := false
	for i := range w.s.Devices {
		d := &w.s.Devices[i]
		if len(d.carries("network", "in")) > 0 && d.Kind != "network-switch" {
			any = any || d.Address != ""
			if d.Address == "" {
				return false
			}
		}
	}
	return any
}

// cooled says whether some place has its cooling written.
func (w *bearer) cooled() bool {
	for _, p := range w.s.Places {
		if p.Cooling != nil || p.Airflow != nil {
			return true
		}
	}
	return false
}

// works makes causes likelier that work of the last weeks can have made.
func (w *bearer) works() {
	causes := map[string]string{
		"cleaning":   "CM-01 CM-02 CM-04 CM-05 CM-06 VL-01 VL-02 PW-01 PW-02 NW-01 UB-01 DP-06 AU-04",
		"moved":      "CM-01 CM-03 CM-04 CM-05 VL-01 VL-02 VL-10 PW-01 NW-01 NW-10 UB-01 DP-08 DP-09",
		"power-cut":  "PW-02 PW-03 PW-12 PW-13 PW-14 PW-15 SC-10 AU-04 AU-30 NW-04",
		"update":     "SC-09 DP-22 DL-02 DL-15 UM-04 NW-19 CT-14 CT-02 EF-04 VL-14",
		"new-device": "EF-05 EF-06 NW-05 NW-09 HC-08 HC-01 AU-20 UB-05 UB-06 PW-07 UB-04",
		"repair":     "CM-03 CM-04 VL-02 VL-05 PW-05 EF-04 AU-12",
		"building":   "CM-12 CM-06 CM-10 VL-11 VL-15 NW-01 NW-10 PW-02 PW-03 CM-09",
	}
	done := map[string]bool{}
	w.out.Works = w.s.recent(w.now, 30)
	for _, x := range w.out.Works {
		days := w.now.Sub(x.Day.Time).Hours() / 24
		factor := 1 + (factorWork-1)*math.Exp2(-math.Max(0, days)/halfLifeWork)
		for _, id := range strings.Fields(causes[x.Kind]) {
			if !done[id] {
				done[id] = true
				w.times(factor, fmt.Sprintf("since %s on %s", workText(x), x.Day.Format("Monday 2 January")), id)
			}
		}
	}
}
