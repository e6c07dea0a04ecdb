package sums

import (
	"fmt"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/audio"
	"faultbook/diagnose/measure/timing"
	"faultbook/diagnose/measure/usb"
)

const readUSB = "read: data sheets of hubs and load switches, and pages on USB power"

func usbPowerSum() measure.Sum {
	return define(measure.Sum{
		Name:    "usb-power",
		Summary: "is the current of a USB port, hub or supply enough for its devices",
		Example: `faultbook calc usb-power --port 2.0 --hub bus-powered --device camera=500mA --device mic=100mA`,
		Inputs: []measure.Input{
			word("port", usb.Ports(), "socket of the host: 2.0 (500 mA), 3.x (900 mA), c-1.5a, c-3a, charging (1500 mA)", "2.0"),
			word("hub", []string{"none", "bus-powered", "self-powered"}, "hub between port and devices", "none"),
			figure("supply", "mA", 1, 100000, "current of the hub's own supply at 5 V", ""),
			required(many(figure("device", "mA", 0, 100000, "a device with the most it draws, from its descriptor: camera=500mA; once for each", ""))),
		},
		Facts: []measure.FactName{
			yesFact("usb-current-enough", "port, hub and supply carry the devices"),
			{Name: "usb-current-sum", Values: []string{"fits", "over-port", "over-hub"}, Help: "what the devices are too much for"},
		},
	}, workUSBPower)
}

func workUSBPower(g *measure.Given, r *result) error {
	items, err := figures(g, figure("device", "mA", 0, 100000, "", ""), "device")
	if err != nil {
		return err
	}
	var loads []usb.Load
	for _, i := range items {
		loads = append(loads, usb.Load{Label: i.label, MA: i.value})
	}
	port, hub := usb.Port(g.Text("port")), usb.Hub(g.Text("hub"))
	lines, err := usb.Current(port, hub, g.Figure("supply"), loads)
	if err != nil {
		return measure.BadInput("device", "%w", err)
	}
	r.out("total_current", total(items), "mA", 1)
	ok, short := true, []string{}
	for _, l := range lines {
		r.part(l.Label, l.Need, l.Limit, "mA", l.OK)
		if !l.OK {
			ok = false
			short = append(short, fmt.Sprintf("%s needs %s and gets %s", l.Label, measure.Show(l.Need, "mA", 1), measure.Show(l.Limit, "mA", 1)))
		}
	}
	switch {
	case !ok:
		r.judge(measure.Fail, "The current is not enough: %s.", strings.Join(short, "; "))
	case hub == usb.SelfPower && !g.Has("supply"):
		r.judge(measure.Unknown, "Each port is enough; give the hub's supply to judge all of them together.")
	default:
		r.judge(measure.Pass, "The current is enough.")
	}
	if r.Verdict != measure.Unknown {
		r.fact("usb-current-enough", ok)
		r.factValue("usb-current-sum", overWhat(ok, hub))
	}
	usbPowerSources(r, port, hub)
	return nil
}

// overWhat says what gives way: without a hub it is the port.
func overWhat(ok bool, hub usb.Hub) string {
	switch {
	case ok:
		return "fits"
	case hub == usb.NoHub:
		return "over-port"
	}
	return "over-hub"
}

func usbPowerSources(r *result, port usb.Port, hub usb.Hub) {
	r.Formula = "each device's maximum ≤ its port; sum of all ≤ port, hub or supply"
	r.src("U-013", "computed; units of the descriptor from memory (USB 2.0 §9.6.3, USB 3.2 §9.6.3)")
	switch port {
	case usb.Port20:
		r.src("U-002", readUSB)
	case usb.Port3x:
		r.src("U-004", "read: pages on USB power; USB 3.2 §11.4 not read")
		r.note("900 mA only while the 5 Gbit/s link is up; on a 2.0 link the device gets 500 mA")
	case usb.PortCharging:
		r.src("U-010", "read: articles on charging ports")
	default:
		r.src("U-005", "from memory (USB Type-C 4.11)")
	}
	switch hub {
	case usb.BusPowered:
		r.src("U-006", "read: an open kernel's hub code (one unit load a port) and data sheets")
		r.src("U-007", "read: data sheets; computed")
	case usb.SelfPower:
		r.src("U-009", "read: an open kernel's hub code and data sheets")
		r.note("without its supply plugged in the hub falls back to bus power")
	}
}

func usbBandwidthSum() measure.Sum {
	return define(measure.Sum{
		Name:    "usb-bandwidth",
		Summary: "do camera and sound streams fit the USB path",
		Example: `faultbook calc usb-bandwidth --path high-speed --stream "camera=1080p30 YUY2" --stream "mic=2x48kHz 24bit"`,
		Inputs: []measure.Input{
			word("path", usb.Paths(), "slowest link between host and devices: full-speed (12 Mbit/s), high-speed (480 Mbit/s), 5g", "high-speed"),
			required(many(text("stream", "a stream: camera=1080p30 YUY2, camera=720p30 NV12, mic=2x48kHz 24bit, camera=60 Mbit/s; once for each", ""))),
		},
		Facts: []measure.FactName{
			yesFact("usb-bandwidth-enough", "the path carries all streams"),
			{Name: "usb-bandwidth-sum", Values: []string{"fits", "over"}, Help: "the same in other words"},
		},
	}, workUSBBandwidth)
}

func workUSBBandwidth(g *measure.Given, r *result) error {
	var streams []usb.Stream
	for i, t := range g.Texts("stream") {
		label, rest := measure.Item(t, "stream", i+1)
		mbit, err := streamRate(rest)
		if err != nil {
			return measure.BadInput("stream", "%w", err)
		}
		streams = append(streams, usb.Stream{Label: label, Mbit: mbit})
	}
	path := usb.Path(g.Text("path"))
	report := usb.Bandwidth(path, streams)
	r.out("total_rate", report.TotalMbit, "Mbit/s", 3)
	r.out("booked_share", report.Share*100, "%", 1)
	r.out("share_limit", report.ShareLimit*100, "%", 0)
	for _, l := range report.Lines {
		r.part(l.Label, l.Need, l.Limit, "Mbit/s", l.OK)
	}
	r.part("share of the time, all", report.Share*100, report.ShareLimit*100, "%", measure.Within(report.Share, report.ShareLimit))
	if report.OK {
		r.judge(measure.Pass, "The streams fit %s.", path)
	} else {
		r.judge(measure.Fail, "The streams do not fit %s: send them compressed, smaller or slower, or spread them over host ports.", path)
	}
	r.fact("usb-bandwidth-enough", report.OK)
	r.factValue("usb-bandwidth-sum", map[bool]string{true: "fits", false: "over"}[report.OK])
	usbBandwidthSources(r, path)
	return nil
}

// streamRate reads "1080p30 YUY2", "2x48kHz 24bit" or a rate, in Mbit/s.
func streamRate(t string) (float64, error) {
	if mbit, err := measure.Parse(t, "Mbit/s"); err == nil {
		if mbit < 0 || mbit > 100000 {
			return 0, fmt.Errorf("%q is out of range: 0 to 100000 Mbit/s can be used", t)
		}
		return mbit, nil
	}
	words := strings.Fields(strings.ToLower(t))
	if len(words) < 2 {
		return 0, fmt.Errorf("%q is not a stream; write one such as 1080p30 YUY2, 2x48kHz 24bit or 60 Mbit/s", t)
	}
	last := words[len(words)-1]
	if bits := usb.Coding(last).BitsPerPixel(); bits > 0 {
		f, err := timing.ParseFormat(strings.Join(words[:len(words)-1], " "))
		if err != nil {
			return 0, err
		}
		return usb.VideoRate(f.Width, f.Height, f.Rate, usb.Coding(last)), nil
	}
	channels, rest, found := strings.Cut(strings.Join(words[:len(words)-1], ""), "x")
	n, err1 := measure.Parse(channels, "")
	kHz, err2 := measure.Parse(rest, "kHz")
	bits, err3 := measure.Parse(last, "bit")
	if !found || err1 != nil || err2 != nil || err3 != nil || n < 1 || n > 32 || kHz < 1 || kHz > 400 || bits < 8 || bits > 32 {
		return 0, fmt.Errorf("%q is not a stream; write one such as 1080p30 YUY2, 720p30 NV12, 2x48kHz 24bit or 60 Mbit/s", t)
	}
	return audio.LPCMMbit(int(n), kHz, int(bits)), nil
}

func usbBandwidthSources(r *result, path usb.Path) {
	r.Formula = "rate = width × height × frames × bits (YUY2 16, NV12 12), sound = channels × sample rate × bits; " +
		"each ≤ one endpoint; sum of booked time ≤ the share that may be booked"
	switch path {
	case usb.Super:
		r.src("U-033", "computed")
		r.src("U-031", "from memory (USB 3.2 §8.12)")
	case usb.Full:
		r.src("U-029", "from memory (USB 2.0 §5.6.3); computed")
	default:
		r.src("U-028", "read: an open kernel's text on periodic transfers; computed")
		r.src("U-030", "read: an open kernel's text on periodic transfers")
	}
	r.src("U-034", "computed; "+measure.Practice)
	r.note("a camera that turns grainy or offers only 640x480 has fallen to a slower path or is sharing it")
}

func usbTiersSum() measure.Sum {
	return define(measure.Sum{
		Name:    "usb-tiers",
		Summary: "are there too many hubs in a line, or too long cables",
		Example: `faultbook calc usb-tiers --hub switcher=self-powered --hub dock=bus-powered --cable 5m --cable 3m`,
		Inputs: []measure.Input{
			many(text("hub", "a hub in line, hidden ones in displays, docks, switchers, bars and extenders too: dock=self-powered; once for each", "")),
			many(figure("cable", "m", 0.01, 1000, "a passive cable in line; once for each", "")),
			word("speed", usb.Speeds(), "what runs over the cables: low, high (full too), 5g, 10g, 40g", "high"),
			yesNoInput("extension", "a passive extension cable is in the way"),
		},
		Facts: []measure.FactName{yesFact("usb-tiers-ok", "hubs, cables and supplies of the chain are allowed")},
	}, workUSBTiers)
}

func workUSBTiers(g *measure.Given, r *result) error {
	tree := usb.Tree{Speed: usb.Speed(g.Text("speed")), Extension: g.Text("extension") == "yes"}
	for i, t := range g.Texts("hub") {
		_, rest := measure.Item(t, "hub", i+1)
		hub := usb.Hub(strings.ToLower(rest))
		if hub != usb.BusPowered && hub != usb.SelfPower {
			return measure.BadInput("hub", "%q: write a name and self-powered or bus-powered, such as dock=self-powered", t)
		}
		tree.Hubs = append(tree.Hubs, hub)
	}
	cables, err := figures(g, figure("cable", "m", 0.01, 1000, "", ""), "cable")
	if err != nil {
		return err
	}
	limit, practice := tree.Speed.CableLimit()
	r.out("tiers", float64(tree.Tiers()), "", 0)
	r.part("hubs in a line", float64(len(tree.Hubs)), usb.MostHubs, "", len(tree.Hubs) <= usb.MostHubs)
	for _, c := range cables {
		tree.CablesM = append(tree.CablesM, c.value)
		r.part(c.label, c.value, limit, "m", measure.Within(c.value, limit))
	}
	verdict, faults := tree.Check()
	if len(faults) == 0 {
		r.judge(measure.Pass, "%d tiers of %d; hubs and cables are as they should be.", tree.Tiers(), usb.MostTiers)
	} else {
		r.judge(verdict, "%d tiers; %s.", tree.Tiers(), strings.Join(faults, "; "))
	}
	r.fact("usb-tiers-ok", verdict != measure.Fail)
	usbTierSources(r, practice)
	return nil
}

func usbTierSources(r *result, practice bool) {
	r.Formula = "host and device and each hub count one: at most 7 tiers, 5 hubs; each cable ≤ the longest for its speed"
	r.src("U-021", "read: an open kernel's hub code; pages on USB topology")
	r.src("U-008", "read: data sheets of hubs")
	if practice {
		r.src("U-025", "read: pages disagree; "+measure.Practice)
	} else {
		r.src("U-023", "read: pages on USB cabling; computed")
	}
	r.src("U-026", "from memory (USB 2.0 §6.4)")
}
