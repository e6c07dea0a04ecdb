package sums

import (
	"math"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/link"
	"faultbook/diagnose/measure/serial"
	"faultbook/diagnose/measure/timing"
)

func timingSum() measure.Sum {
	return define(measure.Sum{
		Name:    "timing",
		Summary: "pixel clock, totals and porches of a format: CTA, DMT, CVT, reduced blanking, GTF",
		Example: "faultbook calc timing --format 1920x1200p60 --limit 165MHz",
		Inputs: []measure.Input{
			required(text("format", "picture format, with a method if wanted: 1920x1080p60 CVT, 2160p60 RB, 1440p60 RBv2, 1024x768p60 GTF", "")),
			figure("limit", "MHz", 1, 10000, "pixel clock that a part can carry", ""),
		},
		Facts: []measure.FactName{yesFact("clock-fits", "the pixel clock is within the limit")},
	}, workTiming)
}

func workTiming(g *measure.Given, r *result) error {
	f, err := timing.ParseFormat(g.Text("format"))
	if err != nil {
		return measure.BadInput("format", "%w", err)
	}
	t, err := timing.Resolve(f)
	if err != nil {
		return measure.BadInput("format", "%w", err)
	}
	describeTiming(r, t)
	variants := timing.Variants(f)
	for _, v := range variants {
		if v.Name != t.Name {
			r.say("also: "+v.Name, "%s, %d x %d", measure.Show(v.ClockMHz, "MHz", 3), v.HTotal, v.VTotal)
		}
	}
	judgeTiming(g, r, t, variants)
	timingSources(r, t)
	return nil
}

func describeTiming(r *result, t timing.Timing) {
	r.out("pixel_clock", t.ClockMHz, "MHz", 3)
	r.say("timing", "%s", t.Name)
	r.out("line_rate", t.LineKHz(), "kHz", 3)
	r.out("rate", t.RateHz(), "Hz", 3)
	r.out("h_total", float64(t.HTotal), "", 0)
	r.out("v_total", float64(t.VTotal), "", 0)
	r.say("h_front_sync_back", "%d/%d/%d", t.HFront, t.HSync, t.HBack)
	r.say("v_front_sync_back", "%d/%d/%d", t.VFront, t.VSync, t.VBack)
	r.say("polarity_h_v", "%s", t.Polarity())
}

func judgeTiming(g *measure.Given, r *result, t timing.Timing, variants []timing.Timing) {
	clock := measure.Show(t.ClockMHz, "MHz", 3)
	if !g.Has("limit") {
		r.judge(measure.Unknown, "%s as %s has a pixel clock of %s; no limit was given to judge it by.", t.Size(), t.Name, clock)
		return
	}
	limit := g.Figure("limit")
	ok := measure.Within(t.ClockMHz, limit)
	verb := "fits"
	if !ok {
		verb = "does not fit"
	}
	r.judge(passOrFail(ok), "%s as %s has a pixel clock of %s, which %s %s.", t.Size(), t.Name, clock, verb, measure.Show(limit, "MHz", 3))
	r.fact("clock-fits", ok)
	r.part(t.Name, t.ClockMHz, limit, "MHz", ok)
	for _, v := range variants {
		if v.Name != t.Name {
			r.part(v.Name, v.ClockMHz, limit, "MHz", measure.Within(v.ClockMHz, limit))
		}
	}
}

func timingSources(r *result, t timing.Timing) {
	r.Formula = "line rate = pixel clock / h total; rate = pixel clock / (h total × v total), twice that for interlaced fields"
	switch t.Method {
	case timing.CTA:
		r.src("E-031", "computed; list: ran edid-decode --list-vics (CTA-861)")
	case timing.DMT:
		r.src("E-031", "computed; list: ran edid-decode --list-dmts (VESA DMT)")
	default:
		r.Formula += "; clock by " + t.Name + " (rounded down to 0.25 MHz, for v2 to 0.001 MHz, for GTF not stepped)"
		r.src("E-071", "computed, formulas from memory (VESA CVT 1.2, GTF 1.1); equal to edid-decode, cvt and gtf as run, but for named steps")
	}
	if t.Width%8 != 0 && !t.Interlaced && (t.Method == timing.CVT || t.Method == timing.CVTRB) {
		r.note("%d pixels are no whole number of cells of 8: the formula takes the next lower", t.Width)
	}
}

func frameRateSum() measure.Sum {
	return define(measure.Sum{
		Name:    "frame-rate",
		Summary: "frame time, scaler delay, slip of two rates, camera flicker against the mains",
		Example: "faultbook calc frame-rate --rate 59.94Hz --other 60Hz --mains 50Hz",
		Inputs: []measure.Input{
			required(bare(figure("rate", "Hz", 1, 900, "frame rate of picture or camera", ""))),
			bare(figure("other", "Hz", 1, 900, "rate of the other device", "")),
			bare(figure("mains", "Hz", 16, 400, "mains frequency of the light, 50 or 60 Hz", "")),
			count("frames", 0, 100, "frames that scalers on the way store", ""),
		},
		Facts: []measure.FactName{yesFact("camera-flickers", "camera and light beat at a rate that is seen")},
	}, workFrameRate)
}

func workFrameRate(g *measure.Given, r *result) error {
	rate := g.Figure("rate")
	r.out("frame_time", timing.FrameMS(rate), "ms", 3)
	r.Formula = "frame time = 1 / rate; slip = 1 / |rate - other|; flicker = |2 × mains - n × rate| with the nearest n"
	r.src("H-043", measure.Computed)
	r.judge(measure.Unknown, "One frame at %s lasts %s.", measure.Show(rate, "Hz", 3), measure.Show(timing.FrameMS(rate), "ms", 3))
	if g.Has("frames") {
		r.out("scaler_delay", timing.FrameMS(rate)*g.Figure("frames"), "ms", 1)
		r.note("a frame-store scaler adds one to three frames (%s)", measure.Practice)
	}
	if g.Has("other") {
		slip := timing.SlipSeconds(rate, g.Figure("other"))
		if math.IsInf(slip, 0) {
			r.say("slip", "none")
		} else {
			r.out("slip", slip, "s", 2)
			r.judge(measure.Unknown, "The two rates are one frame apart every %s: a small jump, not a fault.", measure.Show(slip, "s", 1))
		}
		r.src("O-011", measure.Computed)
	}
	if g.Has("mains") {
		beat := timing.FlickerHz(rate, g.Figure("mains"))
		r.out("flicker", beat, "Hz", 2)
		r.fact("camera-flickers", beat > 0.5)
		r.src("O-012", "computed; "+measure.Practice)
		if beat > 0.5 {
			r.judge(measure.Fail, "The camera will see the light flicker at %s; set its anti-flicker to the mains frequency.", measure.Show(beat, "Hz", 1))
		} else {
			r.judge(measure.Pass, "The camera's rate goes with the mains: no flicker.")
		}
	}
	return nil
}

func cecSum() measure.Sum {
	return define(measure.Sum{
		Name:    "cec",
		Summary: "time of a message on the CEC wire",
		Example: "faultbook calc cec --blocks 2",
		Inputs: []measure.Input{
			count("blocks", 1, serial.CECMostBlocks, "blocks: the address, the opcode and each operand count one", "2"),
		},
	}, func(g *measure.Given, r *result) error {
		ms := serial.CECMessageMS(g.Count("blocks"))
		r.out("message_time", ms, "ms", 1)
		r.Formula = "time = 4.5 ms + 24 ms × blocks"
		r.src("C-026", "read: an open kernel's CEC code")
		r.src("C-027", "computed; the half second "+measure.Practice)
		r.note("give half a second between commands")
		r.judge(measure.Unknown, "The message takes %s on the wire.", measure.Show(ms, "ms", 1))
		return nil
	})
}

func edidReadSum() measure.Sum {
	return define(measure.Sum{
		Name:    "edid-read",
		Summary: "time to read an EDID over the DDC wires",
		Example: "faultbook calc edid-read --blocks 2",
		Inputs: []measure.Input{
			count("blocks", 1, 256, "blocks of 128 bytes", "2"),
			figure("clock", "kHz", 1, 1000, "clock of the DDC wires", "100 kHz"),
		},
	}, func(g *measure.Given, r *result) error {
		ms := link.EDIDReadMS(128*g.Count("blocks"), g.Figure("clock"))
		r.out("read_time", ms, "ms", 2)
		r.Formula = "time = bytes × 9 bits / clock, addressing not counted"
		r.src("H-037", measure.Computed)
		r.src("H-036", "from memory (HDMI 1.4b §4.2.8)")
		r.judge(measure.Unknown, "Reading takes %s plus addressing.", measure.Show(ms, "ms", 1))
		return nil
	})
}
