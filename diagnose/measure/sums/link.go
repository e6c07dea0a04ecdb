package sums

import (
	"fmt"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/link"
	"faultbook/diagnose/measure/timing"
)

const readHDMI = "read: an open kernel's HDMI helper, which quotes HDMI 1.0 §6.5 and HDMI 2.0 §7.1"

func linkSum() measure.Sum {
	return define(measure.Sum{
		Name:    "link",
		Summary: "does a picture format pass every part of an HDMI or DisplayPort chain",
		Example: `faultbook calc link --format 2160p60 --part "source=HDMI 2.0" --part "cable=High Speed, 7 m" --part "display=600 MHz"`,
		Inputs: []measure.Input{
			required(text("format", "picture format: 2160p60, 1920x1200p60 RB, VIC 97", "")),
			bare(figure("depth", "bit", 1, 48, "bits per component: 8, 10, 12 or 16", "8 bit")),
			text("chroma", "4:4:4 (RGB too), 4:2:2 or 4:2:0", "4:4:4"),
			many(text("part", "one part, from source to display: source=HDMI 2.0, cable=High Speed, 7 m, "+
				"extender=340 MHz, 60 m, switcher=up to 1080p60, dock=HBR2 x2, display=300 MHz, 4:2:0 only 2160p60; once for each", "")),
		},
		Facts: []measure.FactName{
			yesFact("format-fits", "the wanted format passes every part"),
			yesFact("cable-length-usual", "no cable is longer than the trade finds to work"),
		},
	}, workLink)
}

func workLink(g *measure.Given, r *result) error {
	s, err := readSignal(g.Text("format"), int(g.Figure("depth")), g.Text("chroma"))
	if err != nil {
		return err
	}
	var parts []link.Part
	for _, t := range g.Texts("part") {
		p, err := link.ParsePart(t)
		if err != nil {
			return measure.BadInput("part", "%w", err)
		}
		parts = append(parts, p)
	}
	report := link.CheckChain(s, parts)
	linkNeeds(r, s)
	linkParts(r, report)
	if len(parts) > 0 {
		linkAdvice(r, s, parts)
	}
	linkVerdict(r, report)
	linkSources(r, s, parts)
	return nil
}

// readSignal reads format, depth and chroma; errors name the input.
func readSignal(format string, depth int, chroma string) (link.Signal, error) {
	f, err := timing.ParseFormat(format)
	if err != nil {
		return link.Signal{}, measure.BadInput("format", "%w", err)
	}
	t, err := timing.Resolve(f)
	if err != nil {
		return link.Signal{}, measure.BadInput("format", "%w", err)
	}
	c, err := link.ParseChroma(chroma)
	if err != nil {
		return link.Signal{}, measure.BadInput("chroma", "%w", err)
	}
	s := link.Signal{Timing: t, Depth: depth, Chroma: c}
	for _, d := range link.Depths() {
		if d == depth {
			return s, nil
		}
	}
	return link.Signal{}, measure.BadInput("depth", "%d bit is not one of 8, 10, 12, 16", depth)
}

func linkNeeds(r *result, s link.Signal) {
	r.out("character_rate", s.CharacterRate(), "MHz", 4)
	r.say("timing", "%s, %s, %d x %d in all", s.Timing.Name, s.Timing.Size(), s.Timing.HTotal, s.Timing.VTotal)
	r.out("pixel_clock", s.Timing.ClockMHz, "MHz", 3)
	r.out("raw_rate", s.RawGbit(), "Gbit/s", 4)
	r.out("data_rate", s.DataGbit(), "Gbit/s", 4)
	r.Formula = "character rate = pixel clock × bits / 8 (4:4:4); = pixel clock (4:2:2); = pixel clock × bits / 16 (4:2:0); " +
		"raw = character rate × 30; data = character rate × 24; each part's limit ≥ the need"
}

func linkParts(r *result, report link.Report) {
	usual, lengths := true, false
	for _, f := range report.Findings {
		p := measure.Part{Label: f.Part.Label(), Capacity: f.Demand.Limit, Need: f.Demand.Need, Unit: f.Demand.Unit,
			OK: f.Verdict == measure.Pass || f.Verdict == measure.Tight, Judged: f.Known, Note: f.Why}
		r.Parts = append(r.Parts, p)
		lengths = lengths || f.Part.LengthM > 0
		usual = usual && !f.Long
	}
	if lengths {
		r.fact("cable-length-usual", usual)
	}
}

// linkAdvice adds the highest format that passes and the ways out.
func linkAdvice(r *result, s link.Signal, parts []link.Part) {
	if best, ok := link.Highest(parts); ok {
		r.say("highest_that_passes", "%s", best)
	} else {
		r.say("highest_that_passes", "none of the usual formats")
	}
	for i, c := range link.Changes(s, parts) {
		if i == 0 {
			r.say("least_change", "%s", c.Text)
			continue
		}
		r.say("or_change_"+c.What, "%s", c.Text)
	}
}

func linkVerdict(r *result, report link.Report) {
	s := report.Signal
	switch {
	case report.Illegal != "":
		r.judge(measure.Fail, "%s cannot be sent: %s.", s, report.Illegal)
	case len(report.Findings) == 0:
		r.judge(measure.Unknown, "%s needs %s; name the parts to have them judged.", s, measure.Show(s.CharacterRate(), "MHz", 3))
	case report.Verdict == measure.Fail:
		r.judge(measure.Fail, "%s does not pass: %s.", s, worst(report, measure.Fail))
	case report.Verdict == measure.Unknown:
		r.judge(measure.Unknown, "%s cannot be judged: %s.", s, worst(report, measure.Unknown))
	case report.Verdict == measure.Tight:
		r.judge(measure.Tight, "%s passes, but may fail in practice: %s.", s, worst(report, measure.Tight))
	default:
		r.judge(measure.Pass, "%s passes every part.", s)
	}
	if r.Verdict != measure.Unknown {
		r.fact("format-fits", r.Verdict != measure.Fail)
	}
}

// worst lists the parts of one verdict with the reason of each.
func worst(report link.Report, v measure.Verdict) string {
	var out []string
	for _, f := range report.Findings {
		if f.Verdict == v {
			out = append(out, fmt.Sprintf("%s: %s", f.Part.Label(), f.Why))
		}
	}
	return strings.Join(out, "; ")
}

func linkSources(r *result, s link.Signal, parts []link.Part) {
	switch s.Chroma {
	case link.C422:
		r.src("H-002", readHDMI)
	case link.C420:
		r.src("H-003", readHDMI+"; which formats, from memory (HDMI 2.0 §7.1)")
	default:
		r.src("H-001", readHDMI)
	}
	r.src("H-006", "computed; from memory (HDMI 1.4b §5.4)")
	used := map[string]bool{}
	add := func(id, words string, when bool) {
		if when && !used[id] {
			used[id] = true
			r.src(id, words)
		}
	}
	for _, p := range parts {
		c := p.Capacity
		add("H-008", "computed; from memory (DVI 1.0; HDMI 1.2)", c.TMDSMHz == link.LimitSingleLink)
		add("H-009", "computed; read: edid-decode", c.TMDSMHz == link.LimitHDMI14)
		add("H-010", "computed; read: edid-decode", c.TMDSMHz == link.LimitHDMI20)
		add("H-013", "lanes and rates read: edid-decode and an open kernel; coding from memory (HDMI 2.1); computed", c.FRLGbit > 0)
		add("H-021", "from memory (DisplayPort 1.4 and 2.0); computed", c.DPGbit > 0)
		add("H-039", measure.Practice, p.LengthM > 0 && p.Kind != link.Extender)
		add("H-041", measure.Practice, p.Couplers > 0)
		add("H-042", measure.Practice, p.Kind == link.Extender)
	}
	linkNotes(r, s)
}

func linkNotes(r *result, s link.Signal) {
	if c := s.CharacterRate(); c > link.LimitHDMI14 && measure.Within(c, link.LimitHDMI20) {
		r.note("above 340 MHz the source must switch scrambling on over the DDC wires; a fault there keeps this format dark although 1080p works")
		r.src("H-011", "read: open kernel headers; effect "+measure.Practice)
	}
	var others []string
	for _, v := range timing.Variants(timing.Format{Width: s.Timing.Width, Height: s.Timing.Height, Rate: s.Timing.RateHz(), Interlaced: s.Timing.Interlaced}) {
		if v.Name != s.Timing.Name && v.Method != timing.GTF {
			others = append(others, fmt.Sprintf("%s %s", v.Name, measure.Show(v.ClockMHz, "MHz", 3)))
		}
	}
	if len(others) > 0 {
		r.note("taken as %s; the same size and rate has other clocks: %s", s.Timing.Name, strings.Join(others, ", "))
	}
}
