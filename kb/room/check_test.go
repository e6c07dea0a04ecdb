package room

import (
	"math"
	"strings"
	"testing"

	"faultbook/kb"
)

// read parses a sheet that must be without errors.
func read(t testing.TB, text string) *Sheet {
	t.Helper()
	s, findings := Parse([]byte(text), "rooms/test.yaml", nil)
	if kb.CountErrors(findings) > 0 {
		t.Fatalf("sheet: %v", findings)
	}
	return s
}

const head = "kind: room\nid: test\ntitle: Test room\n"

// limit is one limit that was worked out by hand.
type limit struct {
	name   string
	sheet  string
	level  Severity // "" for no such finding
	code   string
	need   float64
	limit  float64
	text   string // that the finding must hold
	source string // check value that it must name
}

// chainSheet is a laptop, a cable, a switcher, a cable, a display.
func chainSheet(wanted, cable1, cable2, display string) string {
	return head + "wanted: [" + wanted + "]\n" + `
devices:
  - {id: laptop, kind: laptop, hdcp: "2.2", ports: [{id: out, carries: video, way: out, class: HDMI 2.0}]}
  - {id: box, title: the small box, kind: switcher, hdcp: "2.2", ports: [{id: in2, title: input 2, carries: video, way: in, class: HDMI 2.0}, {id: o, carries: video, way: out, class: HDMI 2.0}]}
  - {id: wall, title: the wall display, kind: display, hdcp: "1.4", ports: [{id: hdmi1, carries: video, way: in, class: "` + display + `"}]}
cables:
  - {id: c1, from: laptop/out, to: box/in2, ` + cable1 + `}
  - {id: c2, from: box/o, to: wall/hdmi1, ` + cable2 + `}
`
}

// usbSheet is a host with a hub and two cameras.
func usbSheet(hub, wants string) string {
	return head + `
devices:
  - {id: pc, kind: computer, ports: [{id: u, carries: usb, way: out, class: "2.0"}]}
  - {id: hub, kind: hub, ` + hub + `, ports: [{id: up, carries: usb, way: in, class: "2.0"}, {id: a, carries: usb, way: out, class: "2.0"}, {id: b, carries: usb, way: out, class: "2.0"}]}
  - {id: cam1, kind: camera, ports: [{id: u, carries: usb, way: in, wants: ` + wants + `}]}
  - {id: cam2, kind: camera, ports: [{id: u, carries: usb, way: in, wants: ` + wants + `}]}
cables:
  - {id: u0, from: pc/u, to: hub/up, class: high, length: 1 m}
  - {id: u1, from: hub/a, to: cam1/u, class: high, length: 1 m}
  - {id: u2, from: hub/b, to: cam2/u, class: high, length: 1 m}
`
}

func poeSheet(budget, class1, class2, port string) string {
	return head + `
devices:
  - {id: sw, kind: network-switch, poe_budget: ` + budget + `, ports: [{id: p1, carries: network, way: both, poe: ` + port + `}, {id: p2, carries: network, way: both, poe: ` + port + `}]}
  - {id: panel, kind: panel, power: {from: poe, class: ` + class1 + `}, ports: [{id: n, carries: network, way: both}]}
  - {id: cam, kind: camera, power: {from: poe, class: ` + class2 + `}, ports: [{id: n, carries: network, way: both}]}
cables:
  - {id: n1, from: sw/p1, to: panel/n, length: 20 m}
  - {id: n2, from: sw/p2, to: cam/n, length: 20 m}
`
}

func dropSheet(gauge, more string) string {
	return head + `
devices:
  - {id: psu, kind: supply, ports: [{id: o, carries: power, way: out, volts: 12 V}]}
  - {id: ptz, kind: camera, ports: [{id: i, carries: power, way: in, wants: 3 A` + more + `}]}
cables:
  - {id: p, from: psu/o, to: ptz/i, length: 15 m, gauge: ` + gauge + `}
`
}

func lineSheet(line, taps string) string {
	return head + `
devices:
  - {id: amp, kind: amplifier, line: ` + line + `, ports: [{id: l, carries: speaker, way: out}]}
  - {id: ls, kind: loudspeaker, copies: 8, line: ` + taps + `, ports: [{id: i, carries: speaker, way: in}]}
cables:
  - {id: s, from: amp/l, to: ls/i, length: 100 m, gauge: 1.5 mm2}
`
}

func lipSheet(scaler, display, sound string) string {
	return `
devices:
  - {id: pc, kind: computer, ports: [{id: o, carries: video, way: out, class: HDMI 2.0}]}
  - {id: box, kind: switcher, delay: ` + scaler + `, ports: [{id: i, carries: video, way: in, class: HDMI 2.0}, {id: o, carries: video, way: out, class: HDMI 2.0}, {id: a, carries: audio, way: out, level: +4 dBu}]}
  - {id: wall, kind: display, delay: ` + display + `, ports: [{id: i, carries: video, way: in, class: HDMI 2.0}]}
  - {id: dsp, kind: processor, delay: ` + sound + `, ports: [{id: i, carries: audio, way: in, level: +4 dBu}, {id: o, carries: audio, way: out, level: +4 dBu}]}
  - {id: amp, kind: amplifier, ports: [{id: i, carries: audio, way: in, level: +4 dBu}]}
cables:
  - {id: c1, from: pc/o, to: box/i, class: High Speed, length: 1 m}
  - {id: c2, from: box/o, to: wall/i, class: High Speed, length: 1 m}
  - {id: a1, from: box/a, to: dsp/i}
  - {id: a2, from: dsp/o, to: amp/i}
`
}

// limits are worked out by hand from the figures named beside each.
func limits() []limit {
	return []limit{
		// 2160p60 8 bit 4:4:4 is 594 MHz (section "does the format fit", computed); a High Speed cable carries 340 MHz (H-038).
		{"cable class", chainSheet("2160p60", "class: High Speed, length: 2 m", "class: Premium High Speed, length: 3 m", "HDMI 2.0"), Error, "format-over", 594, 340, "cable c1", "H-001"},
		// The same in 4:2:0 is 297 MHz (H-003) and fits 340.
		{"4:2:0 fits", chainSheet("2160p60 4:2:0", "class: High Speed, length: 2 m", "class: Premium High Speed, length: 3 m", "HDMI 2.0"), "", "format-over", 0, 0, "", ""},
		// 1080p60 10 bit is 185.625 MHz; a sink on 165 MHz refuses it (table of section 2.1; H-008).
		{"10 bit on 165 MHz", chainSheet("1080p60 10 bit", "class: High Speed, length: 2 m", "class: High Speed, length: 3 m", "165 MHz"), Error, "format-over", 185.625, 165, "the wall display", "H-001"},
		// 1920x1200 with full blanking needs 193.25 MHz (E-072), reduced 154 fits 165.
		{"1200 full blanking", chainSheet("1920x1200p60 full", "class: High Speed, length: 2 m", "class: High Speed, length: 3 m", "165 MHz"), Error, "format-over", 193.25, 165, "", "H-001"},
		{"1200 reduced", chainSheet("1920x1200p60 RB", "class: High Speed, length: 2 m", "class: High Speed, length: 3 m", "165 MHz"), "", "format-over", 0, 0, "", ""},
		// Passive to 5 m at 2160p60, a coupler counts 2 m: 4 m + 1 coupler = 6 m (H-039, H-041, common practice).
		{"length with coupler", chainSheet("2160p60", "class: Premium High Speed, length: 4 m, couplers: 1", "class: Premium High Speed, length: 3 m", "HDMI 2.0"), Warning, "cable-long", 594, 600, "6 m", "H-039"},
		// A part whose class is not written is unknown, never good.
		{"unknown class", chainSheet("1080p60", "length: 2 m", "class: High Speed, length: 3 m", "HDMI 2.0"), Unknown, "format-unknown", 148.5, 0, "its limit is not known", "H-001"},
		// Type 1 content needs 2.2 everywhere; the wall display has 1.4 (P-007, P-009).
		{"type 1 on 1.4", strings.Replace(chainSheet("1080p60", "class: High Speed, length: 2 m", "class: High Speed, length: 3 m", "HDMI 2.0"), head, head+"protected: type1\n", 1), Error, "protected-refused", 0, 0, "type 1 content needs 2.2", "P-007"},
		// A bus-powered 2.0 hub gives 100 mA a port (U-006); a camera that may draw 500 mA does not fit.
		{"bus-powered hub port", usbSheet("hub: bus-powered", "500 mA"), Error, "usb-current", 500, 100, "", "U-006"},
		// The host port gives 500 mA (U-002); hub 100 + 2 x 100 = 300 fits, ports too.
		{"bus-powered hub fits", usbSheet("hub: bus-powered", "100 mA"), "", "usb-current", 0, 0, "", ""},
		// A self-powered hub gives 500 mA a port (U-009), but this supply has 900 mA for 2 x 500.
		{"hub supply", usbSheet("hub: self-powered, supply: 900 mA", "500 mA"), Error, "usb-supply", 1000, 900, "", "U-013"},
		// Class 4 sets 30 W aside, class 3 15.4 W: 45.4 W of 45 W (table of classes; N-025).
		{"poe budget over", poeSheet("45 W", "4", "3", "4"), Error, "poe-budget", 45.4, 45, "", "N-025"},
		{"poe budget fits", poeSheet("45.4 W", "4", "3", "4"), "", "poe-budget", 0, 0, "", ""},
		// A class 6 device takes 51 W, a class 4 port gives 25.5 W at the device (table of classes).
		{"poe class", poeSheet("200 W", "6", "3", "4"), Error, "poe-class", 51, 25.5, "", "N-019"},
		// 12 V, 3 A, 15 m: 0.75 mm2 loses 2.340 V = 19.5 % (W-007), 1.5 mm2 10.0 % less a hair (W-009: 1.197 V = 9.975 %), 2.5 mm2 6.0 % (W-010).
		{"drop 0.75", dropSheet("0.75 mm2", ""), Error, "drop", 19.5, 10, "9.66 V is left", "W-004"},
		{"drop 1.5", dropSheet("1.5 mm2", ""), Warning, "drop", 9.975, 5, "10.803 V", "W-012"},
		{"drop least", dropSheet("2.5 mm2", ", least: 11.4 V"), Error, "drop", 11.4, 11.282, "11.4 V", "W-004"},
		{"drop least met", dropSheet("2.5 mm2", ", least: 11.2 V"), "", "drop", 0, 0, "", ""},
		// 8 taps of 6 W are 48 W: more than 80 % of 50 W, less than 50; 100 V²/48 W = 208 ohm.
		{"line 80 %", lineSheet("{volts: 100 V, watts: 50 W}", "{watts: 6 W, volts: 100 V}"), Warning, "line-load", 48, 40, "", "A-035"},
		{"line over", lineSheet("{volts: 100 V, watts: 40 W}", "{watts: 6 W, volts: 100 V}"), Error, "line-load", 48, 40, "", "A-033"},
		// A 100 V tap on a 70.7 V line takes half: 24 W of 40 W.
		{"line tap", lineSheet("{volts: 70.7 V, watts: 40 W}", "{watts: 6 W, volts: 100 V}"), "", "line-load", 0, 0, "", ""},
		// 8 loudspeakers of 8 ohm side by side are 1 ohm (computed); the amplifier drives 4.
		{"low impedance", lineSheet("{ohms: 4 ohm}", "{ohms: 8 ohm}"), Error, "line-load", 4, 1, "1.00 ohm", "A-033"},
		{"low impedance on a line", lineSheet("{volts: 100 V, watts: 100 W}", "{ohms: 8 ohm}"), Error, "line-kind", 0, 0, "", "A-038"},
	}
}

func TestLimits(t *testing.T) {
	for _, l := range limits() {
		t.Run(l.name, func(t *testing.T) { l.check(t) })
	}
}

// check looks for a finding with the code and the figures that were worked out.
func (l limit) check(t *testing.T) {
	t.Helper()
	r := Check(read(t, l.sheet))
	var seen []string
	for _, f := range r.Findings {
		if f.Code != l.code || f.Level == Note {
			continue
		}
		seen = append(seen, string(f.Level)+": "+f.Text)
		if f.Level == l.level && math.Abs(f.Need-l.need) < 0.01 && math.Abs(f.Limit-l.limit) < 0.01 &&
			strings.Contains(f.Text, l.text) && names(f, l.source) && f.Line > 1 {
			return
		}
	}
	if l.level != "" || len(seen) > 0 {
		t.Fatalf("want %q need %g limit %g with %q from %s; got %q of %+v", l.level, l.need, l.limit, l.text, l.source, seen, r.Findings)
	}
}

func names(f Finding, id string) bool {
	for _, s := range f.Sources {
		if s.CheckValue == id && s.Words != "" {
			return true
		}
	}
	return false
}

// More limits, each alone in its room.
func TestMoreLimits(t *testing.T) {
	for _, l := range []limit{
		// +4 dBu into -10 dBV is 11.78 dB too hot.
		{"level", head + `
devices:
  - {id: dsp, kind: processor, ports: [{id: o, carries: audio, way: out, level: +4 dBu}]}
  - {id: rec, kind: recorder, ports: [{id: i, carries: audio, way: in, level: -10 dBV}]}
cables: [{id: a, from: dsp/o, to: rec/i}]
`, Warning, "level", 4, -7.7815, "11.78 dB too hot", "A-005"},
		// 65 in is 809 mm high (O-001); six times that is 4.86 m (O-007).
		{"far seat", head + `
viewing: {farthest: 6 m, task: reading}
devices: [{id: wall, kind: display, diagonal: 65 in}]
`, Warning, "viewing-far", 6, 4.857, "809 mm", "O-007"},
		// 10 mm at 3 m is 11.5 minutes of arc (O-009).
		{"letters", head + "viewing: {farthest: 3 m, text: 10 mm}\n", Warning, "text-small", 15, 11.46, "11.5", "O-009"},
		{"letters too small", head + "viewing: {farthest: 6 m, text: 10 mm}\n", Error, "text-small", 10, 5.73, "", "O-009"},
		// 500 W and 149 m3/h of air: 10 K (W-014); 500 W = 1706 BTU/h (W-013).
		{"heat", head + `
places: [{id: rack, is: rack, cooling: 400 W, airflow: 149.2 m3/h, intake: 28 °C}]
devices: [{id: amp, kind: amplifier, place: rack, power: {draws: 500 W}}]
`, Error, "heat", 500, 400, "1706 BTU/h", "W-013"},
		{"air", head + `
places: [{id: rack, is: rack, airflow: 149.5 m3/h, intake: 28 °C}]
devices: [{id: amp, kind: amplifier, place: rack, power: {draws: 500 W}}]
`, Warning, "heat-air", 37.984, 35, "10.0 K", "W-014"},
		// Channel length 100 m (N-005).
		{"long network run", head + `
devices:
  - {id: sw, kind: network-switch, ports: [{id: p, carries: network}]}
  - {id: pc, kind: computer, ports: [{id: n, carries: network}]}
cables: [{id: n, from: sw/p, to: pc/n, length: 104 m}]
`, Error, "network-long", 104, 100, "", "N-005"},
		// 5 m of 28 AWG at 500 mA lose 1.06 V: 3.94 V is left of 5, and 4.40 V is the least (U-019, U-015).
		{"usb drop", head + `
devices:
  - {id: pc, kind: computer, ports: [{id: u, carries: usb, way: out, class: "2.0"}]}
  - {id: cam, kind: camera, ports: [{id: u, carries: usb, way: in, wants: 500 mA}]}
cables: [{id: u, from: pc/u, to: cam/u, class: high, length: 5 m, gauge: 28 AWG}]
`, Error, "usb-drop", 4.4, 3.9354, "3.94 V", "U-019"},
		// Cables of high speed end at 5 m (U-023).
		{"usb cable", head + `
devices:
  - {id: pc, kind: computer, ports: [{id: u, carries: usb, way: out, class: "2.0"}]}
  - {id: cam, kind: camera, ports: [{id: u, carries: usb, way: in, wants: 500 mA}]}
cables: [{id: u, from: pc/u, to: cam/u, class: high, length: 8 m}]
`, Error, "usb-cable-long", 8, 5, "", "U-023"},
		// Two streams of 196.608 Mbit/s want 96 % of high speed and 80 % may be booked (U-030).
		{"usb bandwidth", head + `
devices:
  - {id: pc, kind: computer, ports: [{id: u, carries: usb, way: out, class: "2.0"}]}
  - {id: hub, kind: hub, hub: self-powered, ports: [{id: up, carries: usb, way: in}, {id: a, carries: usb, way: out, class: "2.0"}, {id: b, carries: usb, way: out, class: "2.0"}]}
  - {id: cam1, kind: camera, ports: [{id: u, carries: usb, way: in, streams: [camera 196.608 Mbit/s], wants: 500 mA}]}
  - {id: cam2, kind: camera, ports: [{id: u, carries: usb, way: in, streams: [camera 196.608 Mbit/s], wants: 500 mA}]}
cables:
  - {id: u, from: pc/u, to: hub/up, class: high, length: 1 m}
  - {id: u1, from: hub/a, to: cam1/u, class: high, length: 1 m}
  - {id: u2, from: hub/b, to: cam2/u, class: high, length: 1 m}
`, Error, "usb-bandwidth", 96, 80, "", "U-030"},
		// 192.168.10.70 is outside 192.168.10.0/26 (N-026: hosts .1 to .62).
		{"outside the plan", head + `
network: {subnet: 192.168.10.0/26}
devices: [{id: a, kind: panel, address: 192.168.10.70/26}]
`, Error, "mask-plan", 0, 0, "192.168.10.0/26", "N-026"},
		{"address twice", head + `
devices: [{id: a, kind: panel, address: 10.0.0.5/24}, {id: b, kind: controller, address: 10.0.0.5/24}]
`, Error, "address-twice", 0, 0, "10.0.0.5", "N-033"},
		// An active cable the wrong way round gives no picture (H-040).
		{"active backwards", strings.Replace(chainSheet("1080p60", "class: Premium High Speed, length: 12 m, active: true, display_end: laptop/out", "class: High Speed, length: 3 m", "HDMI 2.0"), "", "", 1), Error, "active-backwards", 0, 0, "", "H-040"},
		// A scaler of 50 ms and a display of 60 against a sound without delay: 110 ms early, 90 are accepted.
		{"lip sync", head + lipSheet("50 ms", "60 ms", "0 ms"), Error, "lip-sync", 110, 90, "110 ms early", "A-025"},
		// With 50 ms on the sound it is 60 ms early: seen from 45, accepted to 90.
		{"lip sync seen", head + lipSheet("50 ms", "60 ms", "50 ms"), Warning, "lip-sync", 60, 90, "60 ms early", "A-024"},
		{"lip sync fits", head + lipSheet("50 ms", "60 ms", "100 ms"), "", "lip-sync", 0, 0, "", ""},
		// 115200 baud is for 3 m (C-005).
		{"serial", head + `
devices:
  - {id: ctl, kind: controller, ports: [{id: s, carries: control, way: out}]}
  - {id: pj, kind: projector, control: {by: serial, from: ctl, baud: 115200}, ports: [{id: s, carries: control, way: in}]}
cables: [{id: s, from: ctl/s, to: pj/s, length: 12 m}]
`, Warning, "serial-long", 12, 3, "", "C-005"},
	} {
		t.Run(l.name, func(t *testing.T) { l.check(t) })
	}
}
