package sums

import (
	"fmt"
	"strconv"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/link"
	"faultbook/diagnose/measure/timing"
)

func dockSum() measure.Sum {
	var rates []string
	for _, r := range link.DPRates() {
		rates = append(rates, strings.ToLower(r.Name))
	}
	return define(measure.Sum{
		Name:    "dock",
		Summary: "do the pictures fit the DisplayPort lanes of a laptop's socket or dock",
		Example: "faultbook calc dock --rate HBR2 --usb3 yes --picture 2160p60 --picture 1080p60",
		Inputs: []measure.Input{
			required(word("rate", rates, "rate of one lane: RBR, HBR, HBR2, HBR3, UHBR10, UHBR13.5, UHBR20", "")),
			word("lanes", []string{"1", "2", "4"}, "lanes for pictures; if not known say --usb3", ""),
			yesNoInput("usb3", "the USB-C socket keeps a USB 3 pair, which leaves two lanes for pictures"),
			required(many(text("picture", "a picture: 2160p60, or 1440p60, 10 bit, 4:2:2; once for each", ""))),
		},
		Facts: []measure.FactName{
			yesFact("dock-lanes-fit", "all pictures fit"),
			{Name: "dock-lanes-fit-2160p60", Values: []string{"yes", "reduced-blanking-only", "no"},
				Help: "one 2160p60 picture at 8 bit 4:4:4 fits"},
		},
	}, workDock)
}

func workDock(g *measure.Given, r *result) error {
	rate, err := link.FindDPRate(g.Text("rate"))
	if err != nil {
		return measure.BadInput("rate", "%w", err)
	}
	lanes := link.USBCLanes(g.Text("usb3") == "yes")
	if g.Has("lanes") {
		lanes, _ = strconv.Atoi(g.Text("lanes"))
	}
	var pictures []link.Signal
	for _, t := range g.Texts("picture") {
		s, err := readPicture(t)
		if err != nil {
			return measure.BadInput("picture", "%w", err)
		}
		pictures = append(pictures, s)
	}
	report := link.FitDock(rate, lanes, pictures)
	r.out("need", report.Need, "Gbit/s", 3)
	r.out("usable", report.Usable, "Gbit/s", 3)
	r.out("lanes", float64(lanes), "", 0)
	r.out("capacity", report.Capacity, "Gbit/s", 3)
	for i, s := range pictures {
		r.part(s.String(), report.Each[i], report.Usable, "Gbit/s", measure.Within(report.Each[i], report.Usable))
	}
	if len(pictures) > 1 {
		r.part("all pictures", report.Need, report.Usable, "Gbit/s", report.OK)
	}
	dockVerdict(r, rate, lanes, pictures, report)
	dockSources(r, rate, len(pictures), g.Has("lanes"))
	return nil
}

// readPicture reads "1440p60, 10 bit, 4:2:2".
func readPicture(t string) (link.Signal, error) {
	pieces := measure.Tokens(t)
	depth, chroma := 8, link.C444
	if len(pieces) == 0 {
		return link.Signal{}, fmt.Errorf("no picture given; write one such as 2160p60")
	}
	for _, piece := range pieces[1:] {
		if c, err := link.ParseChroma(piece); err == nil {
			chroma = c
			continue
		}
		bits, err := measure.Parse(piece, "bit")
		if err != nil {
			return link.Signal{}, fmt.Errorf("%q is neither a depth such as 10 bit nor a chroma such as 4:2:2", piece)
		}
		depth = int(bits)
	}
	s, err := readSignal(pieces[0], depth, string(chroma))
	return s, err
}

func dockVerdict(r *result, rate link.DPRate, lanes int, pictures []link.Signal, report link.DockReport) {
	label := fmt.Sprintf("%d %s lane%s", lanes, rate.Name, plural(lanes))
	need, usable := measure.Show(report.Need, "Gbit/s", 3), measure.Show(report.Usable, "Gbit/s", 3)
	if report.OK {
		r.judge(measure.Pass, "The pictures fit %s: %s of %s.", label, need, usable)
	} else {
		r.judge(measure.Fail, "The pictures do not fit %s: %s are needed and %s are there.", label, need, usable)
		r.say("least_change", "%s", dockWayOut(rate, lanes, pictures))
	}
	r.fact("dock-lanes-fit", report.OK)
	r.factValue("dock-lanes-fit-2160p60", fits2160p60(rate, lanes))
	r.Formula = "need = pixel clock × bits per pixel; capacity = lanes × lane rate × 8/10 (UHBR 128/132); several pictures share 63 of 64 slots"
}

// fits2160p60 tells whether one such picture fits, with which blanking.
func fits2160p60(rate link.DPRate, lanes int) string {
	fits := func(format string) bool {
		s, err := readSignal(format, 8, "4:4:4")
		return err == nil && link.FitDock(rate, lanes, []link.Signal{s}).OK
	}
	switch {
	case fits("2160p60"):
		return "yes"
	case fits("2160p60 RB") || fits("2160p60 RBv2"):
		return "reduced-blanking-only"
	}
	return "no"
}

// dockWayOut tries reduced blanking on all pictures, then half the rate on the
// largest, then four lanes.
func dockWayOut(rate link.DPRate, lanes int, pictures []link.Signal) string {
	short := make([]link.Signal, len(pictures))
	for i, s := range pictures {
		short[i] = s
		if t, ok := timing.Compute(s.Timing.Width, s.Timing.Height, s.Timing.RateHz(), timing.CVTRB); ok && t.ClockMHz < s.Timing.ClockMHz {
			short[i].Timing = t
		}
	}
	if link.FitDock(rate, lanes, short).OK {
		return "set reduced blanking (CVT-RB)"
	}
	halved := append([]link.Signal{}, pictures...)
	big := 0
	for i, s := range halved {
		if s.PixelGbit() > halved[big].PixelGbit() {
			big = i
		}
	}
	t, err := timing.Resolve(timing.Format{Width: halved[big].Timing.Width, Height: halved[big].Timing.Height, Rate: halved[big].Timing.RateHz() / 2})
	if err == nil {
		halved[big].Timing = t
		if link.FitDock(rate, lanes, halved).OK {
			return fmt.Sprintf("set the largest picture to %s Hz", measure.Show(t.RateHz(), "", 1))
		}
	}
	if lanes < 4 && link.FitDock(rate, 4, pictures).OK {
		return "give the pictures four lanes: a dock or a socket setting without USB 3 on the same pairs"
	}
	return "no single setting is enough: fewer or smaller pictures, or a faster link"
}

func dockSources(r *result, rate link.DPRate, pictures int, lanesGiven bool) {
	r.src(rate.Check, "from memory (DisplayPort 1.4 and 2.0); computed")
	r.src("H-026", measure.Computed)
	if pictures > 1 {
		r.src("H-029", "computed; 63 of 64 slots from memory (DisplayPort MST)")
	}
	if !lanesGiven {
		r.src("H-031", "read: three articles on the alternate mode, which agree")
	}
	r.note("without compression; a tunnelling dock (USB4) shares its link otherwise")
}

func plural(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}
