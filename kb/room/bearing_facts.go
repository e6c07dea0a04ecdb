package room

import (
	"fmt"
	"slices"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/hdcp"
	"faultbook/diagnose/measure/usb"
)

// facts are the questions that the sheet answers.
func (w *bearer) facts() {
	w.displays()
	w.leads()
	w.usbFacts()
	w.sums()
	w.rest()
	w.worksFacts()
	for _, k := range w.s.Known {
		why := k.Note
		if why == "" {
			why = "so it is written in the sheet"
		}
		w.tell(k.Question, k.Value, w.moved, "%s", why)
	}
}

func (w *bearer) displays() {
	list := w.s.of("display", "projector", "video-wall", "led-wall")
	if len(list) == 0 || !w.s.complete("display") {
		return
	}
	kind, n := list[0].Kind, 0
	for _, d := range list {
		n += d.count()
		if d.Kind != kind {
			kind = ""
		}
	}
	if kind == "display" {
		kind = "flat-screen"
	}
	if kind != "" {
		w.tell("display-kind", kind, w.fixed, "every screen here is a %s", kind)
	}
	if n == 1 {
		w.tell("displays-alike", "only-one-there", w.fixed, "%s is the only one", list[0].Name())
		w.tell("other-screen-has-it", "only-one-there", w.fixed, "%s is the only one", list[0].Name())
		w.tell("screens-receiving", "one", w.fixed, "%s is the only one", list[0].Name())
	}
}

// leads are what people plug in: cables of laptops.
func (w *bearer) leads() {
	if len(w.s.Leads) == 1 {
		w.tell("connection", w.s.Leads[0], w.moved, "the only way into this room")
	}
	if w.s.Divider == "no-wall" {
		w.tell("room-divider", w.s.Divider, w.fixed, "no folding wall")
	}
	bucket, active, certified, any := "", false, true, false
	for i := range w.s.Cables {
		k := &w.s.Cables[i]
		from := w.s.ports[k.From]
		if from == nil || from.port.Carries != "video" {
			continue
		}
		any = true
		active = active || k.Active || k.DisplayEnd != ""
		certified = certified && k.Certified
		if from.device.Kind != "laptop" {
			continue
		}
		m, ok := known(k.Length)
		b := lengthBucket(m)
		if !ok || bucket != "" && bucket != b {
			b = "differ"
		}
		bucket = b
	}
	if bucket != "" && bucket != "differ" {
		w.tell("cable-length", bucket, w.moved, "by the lengths of the laptop leads")
	}
	if any && w.s.complete("video") {
		if !active {
			w.tell("cable-direction", "no-marks", w.moved, "no cable here has a source end")
		}
		if certified {
			w.tell("cable-certified", "yes", w.moved, "every label was checked")
		}
	}
}

func lengthBucket(m float64) string {
	switch {
	case m < 5:
		return "under-5"
	case m <= 10:
		return "5-to-10"
	}
	return "over-10"
}

// usbFacts are hubs, lengths, hosts and cameras.
func (w *bearer) usbFacts() {
	if cameras := w.s.of("camera"); len(cameras) == 1 && cameras[0].count() == 1 && w.s.complete("camera") {
		w.tell("second-camera", "no", w.moved, "%s is the only one", cameras[0].Name())
	}
	if !w.s.complete("usb") {
		return
	}
	c := &checker{s: w.s, said: map[string]bool{}}
	hubs, metres, fast, allKnown, any := -1, -1.0, true, true, false
	for i := range w.s.Devices {
		d := &w.s.Devices[i]
		if !c.isHost(d) {
			continue
		}
		for _, p := range d.carries("usb", "out") {
			for _, l := range c.leaves(d, p, nil, nil, speedOf(usb.Port(p.Class)), nil) {
				any = true
				hubs = max(hubs, len(l.hubs))
				sum := 0.0
				for _, k := range l.cables {
					m, ok := known(k.Length)
					allKnown = allKnown && ok
					sum += m
				}
				metres = max(metres, sum)
				fast = fast && l.slow == usb.Super
			}
		}
	}
	if !any {
		return
	}
	w.tell("usb-hub-count", hubBucket(hubs), w.moved, "at most %d in line by the sheet", hubs)
	if allKnown {
		w.tell("usb-cable-length", usbBucket(metres), w.moved, "at most %g m by the sheet", metres)
	}
	if fast {
		w.tell("usb-3-path", "all-3x", w.moved, "every cable and socket is 5 Gbit/s")
	}
	w.usbAbsent()
}

func (w *bearer) usbAbsent() {
	if len(w.s.of("usb-extender")) == 0 {
		w.tell("usb-extender-lamp", "no-box", w.moved, "no USB extender here")
		w.tell("usb-extender-rating", "no-extender", w.moved, "no USB extender here")
	}
	hubs, choice := false, false
	for i := range w.s.Devices {
		d := &w.s.Devices[i]
		hubs = hubs || d.Hub != ""
		choice = choice || d.Kind == "usb-switch" || d.Kind != "computer" && len(d.carries("usb", "in")) > 1
	}
	if !hubs {
		w.tell("usb-hub-supply", "no-hub", w.moved, "no hub here")
	}
	if !choice {
		w.tell("usb-host", "no-button", w.moved, "nothing here changes the computer of the USB things")
	}
}

func hubBucket(n int) string {
	switch {
	case n <= 1:
		return "up-to-one"
	case n <= 3:
		return "two-or-three"
	}
	return "four-or-more"
}

func usbBucket(m float64) string {
	switch {
	case m <= 3:
		return "up-to-3"
	case m <= 5:
		return "3-to-5"
	}
	return "over-5"
}

// has says whether the check has such a finding of these levels.
func (w *bearer) has(code string, levels ...Severity) bool {
	return slices.ContainsFunc(w.report.Findings, func(f Finding) bool { return f.Code == code && slices.Contains(levels, f.Level) })
}

// sums are facts that the check settles: no figure missing.
func (w *bearer) sums() {
	formats, bad := 0, false
	for _, cell := range w.report.Matrix {
		for _, f := range cell.Formats {
			if f.Verdict == measure.Unknown {
				formats = -1 << 20
			}
			formats++
			bad = bad || f.Verdict == measure.Fail
		}
	}
	if bad {
		w.tell("format-sum", "over", w.moved, "a wanted format does not pass a part of its way")
	} else if formats > 0 {
		w.tell("format-sum", "fits", w.moved, "every wanted format passes every part")
	}
	w.tellSum("usb-current-sum", "fits", "usb-current")
	w.tellSum("usb-bandwidth-sum", "fits", "usb-bandwidth")
	if state := w.hdcpState(); state != "" {
		w.tell("hdcp-state", state, w.moved, "by the versions in the sheet")
	}
}

// tellSum tells that a sum fits where nothing is over or unknown.
func (w *bearer) tellSum(question, value, code string) {
	if !w.s.complete("usb") || w.has(code, Error, Unknown) || w.has("usb-supply", Error) || w.has("usb-speed", Unknown) {
		return
	}
	w.tell(question, value, w.moved, "the check of the room finds nothing over")
}

// hdcpState is the lowest version on all picture ways, "" where unknown.
func (w *bearer) hdcpState() string {
	state := ""
	for i := range w.s.Devices {
		d := &w.s.Devices[i]
		for j := range d.Ports {
			p := &d.Ports[j]
			if p.Carries != "video" {
				continue
			}
			f, ok := family(&portAt{d, p})
			switch {
			case !ok:
				return ""
			case f.Transparent:
			case f.Family.None():
				state = "one-none"
			case f.Family == (hdcp.Family{V1: true}) && state != "one-none":
				state = "one-1x"
			case state == "":
				state = "all-2x"
			}
		}
	}
	return state
}

// rest are single facts of control, sound, network and meetings.
func (w *bearer) rest() {
	way := ""
	for i := range w.s.Devices {
		if c := w.s.Devices[i].Control; c != nil && c.By != "" {
			if way != "" && way != c.By {
				way = "differ"
			} else {
				way = c.By
			}
		}
	}
	if way != "" && way != "differ" && w.s.complete("control") {
		w.tell("control-way", way, w.fixed, "every device here is driven so")
	}
	if w.s.complete("video") && len(w.s.of("extender")) == 0 {
		w.tell("screen-box-lamp", "no-box", w.moved, "no extender here")
	}
	if w.s.complete("audio") && len(w.s.of("radio-microphone")) == 0 {
		w.tell("radio-receiver", "no-radio", w.moved, "no radio microphone here")
	}
	if w.s.complete("audio") && len(w.s.of("microphone", "radio-microphone", "codec")) == 0 {
		w.tell("room-mic-heard", "no-amplified-mic", w.moved, "no microphone of the room")
	}
	if w.s.complete("meeting") && len(w.s.of("recorder", "codec")) == 0 {
		w.tell("recorder-in-path", "no", w.moved, "no recorder or meeting system here")
	}
	if w.s.complete("network") {
		w.tell("table-switch", w.tableSwitch(), w.moved, "by the network boxes in the sheet")
	}
	if w.s.complete("power") && len(w.s.of("ups")) == 0 {
		w.tell("ups-warning", "no", w.moved, "no battery back-up here")
	}
}

// tableSwitch says whether a network switch stands where people sit.
func (w *bearer) tableSwitch() string {
	for _, d := range w.s.of("network-switch") {
		for _, p := range w.s.Places {
			if p.ID == d.Place && (p.Is == "table" || p.Is == "desk") {
				return "yes"
			}
		}
	}
	return "no"
}

// worksFacts are what was done lately; a log that is kept and holds nothing
// says that nothing was.
func (w *bearer) worksFacts() {
	if w.s.complete("works") && len(w.s.recent(w.now, quietDays)) == 0 {
		w.tell("what-changed", "nothing", min(recentTrust, w.moved), "the log of works has nothing in the last %d days", quietDays)
		w.tell("works-done", "no", w.moved, "the log of works has nothing in the last %d days", quietDays)
	}
	for _, x := range w.s.recent(w.now, 7) {
		value := map[string]string{"cleaning": "moved-or-cleaned", "moved": "moved-or-cleaned", "power-cut": "power-cut", "update": "update", "new-device": "new-device"}[x.Kind]
		if value != "" {
			w.tell("what-changed", value, recentTrust, "%s on %s", workText(x), x.Day)
			break
		}
	}
	for _, x := range w.s.recent(w.now, 14) {
		if x.Kind == "building" {
			w.tell("works-done", "yes", recentTrust, "%s on %s", workText(x), x.Day)
			break
		}
	}
	for _, x := range w.s.recent(w.now, 365) {
		if x.Kind == "cleaning" && x.Text != "" && slices.ContainsFunc([]string{"filter", "vent", "dust"}, func(word string) bool { return containsWord(x.Text, word) }) {
			w.tell("last-cleaned", "this-year", recentTrust, "%s on %s", workText(x), x.Day)
			break
		}
	}
}

// quietDays is how far back a fault is usually put down to some work.
const quietDays = 14

// recentTrust is how far it is believed that the latest work is what changed
// before the fault began (judgement, no source).
const recentTrust = 0.75

func workText(x Work) string {
	if x.Text != "" {
		return x.Text
	}
	return fmt.Sprintf("%s in the room", x.Kind)
}
