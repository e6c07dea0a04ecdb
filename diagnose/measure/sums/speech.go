package sums

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/audio"
	"faultbook/diagnose/measure/power"
)

func lipSyncSum() measure.Sum {
	return define(measure.Sum{
		Name:    "lip-sync",
		Summary: "sound against picture: delays of both ways, limits, and the delay to set",
		Example: "faultbook calc lip-sync --picture scaler=33ms --picture display=80ms --sound processor=5ms",
		Inputs: []measure.Input{
			many(figure("picture", "ms", 0, 10000, "a delay in the picture's way: scaler=33ms; once for each", "")),
			many(figure("sound", "ms", 0, 10000, "a delay in the sound's way: processor=5ms; once for each", "")),
		},
		Facts: []measure.FactName{
			yesFact("lip-sync-ok", "the offset is within what the average viewer accepts"),
			{Name: "lip-sync-early", Values: []string{"sound", "picture", "neither"}, Help: "which of the two comes first"},
		},
	}, workLipSync)
}

func workLipSync(g *measure.Given, r *result) error {
	picture, err := figures(g, figure("picture", "ms", 0, 10000, "", ""), "picture delay")
	if err != nil {
		return err
	}
	sound, err := figures(g, figure("sound", "ms", 0, 10000, "", ""), "sound delay")
	if err != nil {
		return err
	}
	if len(picture)+len(sound) == 0 {
		return measure.BadInput("picture", "missing; give the delays of the picture's way, of the sound's way or both")
	}
	offset := audio.Offset(total(picture), total(sound))
	r.out("offset", offset, "ms", 1)
	r.out("picture_delay", total(picture), "ms", 1)
	r.out("sound_delay", total(sound), "ms", 1)
	verdict := audio.LipSync(offset)
	lipSyncText(r, verdict, offset)
	for _, l := range []struct {
		label       string
		early, late float64
	}{
		{"seen (ITU-R BT.1359)", audio.DetectEarly, audio.DetectLate}, {"accepted (ITU-R BT.1359)", audio.AcceptEarly, audio.AcceptLate},
		{"EBU R37", audio.EBUEarly, audio.EBULate}, {"ATSC IS-191", audio.ATSCEarly, audio.ATSCLate},
	} {
		need, limit := offset, l.early
		if offset < 0 {
			need, limit = -offset, l.late
		}
		r.part(l.label, need, limit, "ms", measure.Within(need, limit))
	}
	lipSyncSources(r)
	return nil
}

func lipSyncText(r *result, v measure.Verdict, offset float64) {
	order, first := "sound and picture come together", "neither"
	switch {
	case offset > 0:
		order, first = fmt.Sprintf("sound is %s early", measure.Show(offset, "ms", 1)), "sound"
		r.out("delay_to_set_on_sound", offset, "ms", 1)
	case offset < 0:
		order, first = fmt.Sprintf("sound is %s late", measure.Show(-offset, "ms", 1)), "picture"
	}
	order = strings.ToUpper(order[:1]) + order[1:]
	switch v {
	case measure.Pass:
		r.judge(v, "%s, which is not seen.", order)
	case measure.Tight:
		r.judge(v, "%s, which is seen but accepted by the average viewer.", order)
	default:
		r.judge(v, "%s, which is more than viewers accept.", order)
	}
	r.fact("lip-sync-ok", v != measure.Fail)
	r.factValue("lip-sync-early", first)
}

func lipSyncSources(r *result) {
	r.Formula = "offset = picture delays - sound delays; positive: sound early"
	r.src("A-024", "read: ITU-R BT.1359-1")
	r.src("A-025", "read: ITU-R BT.1359-1")
	r.src("A-026", "read in a secondary table: EBU R37")
	r.src("A-027", "from memory (ATSC IS-191)")
	r.src("A-028", measure.Practice)
	r.note("aim for sound 0 to 40 ms late (%s); delay the sound, since the picture cannot be made earlier", measure.Practice)
}

func speakerLineSum() measure.Sum {
	return define(measure.Sum{
		Name:    "speaker-line",
		Summary: "load of a 100 V or 70.7 V line, its impedance, and the loss of the cable",
		Example: `faultbook calc speaker-line --line 100V --amplifier 120W --speaker "ceiling=6W x 12" --length 100m --wire 1.5mm2`,
		Inputs: []measure.Input{
			figure("line", "V", 10, 250, "line voltage: 100 V or 70.7 V", "100 V"),
			figure("marked", "V", 10, 250, "line voltage that the taps are marked for, if another", ""),
			figure("amplifier", "W", 0.1, 100000, "rated power of the amplifier", ""),
			many(text("speaker", "loudspeakers by tap: ceiling=6W x 12; once for each kind", "")),
			figure("impedance", "ohm", 0.5, 10000, "low-impedance load instead of taps, such as 8 ohm", ""),
			figure("measured", "ohm", 0.1, 100000, "impedance measured on the line, to compare", ""),
			figure("length", "m", 0, 10000, "cable, one way", ""),
			text("wire", "conductor: 1.5mm2, 1.5mm2 solid, 16AWG", ""),
		},
		Facts: []measure.FactName{
			yesFact("speaker-line-ok", "the taps are within the amplifier's power"),
			{Name: "line-impedance", Values: []string{"as-calculated", "differs"}, Help: "the measured impedance is within 20 % of the calculated one"},
		},
	}, workSpeakerLine)
}

var tapPattern = regexp.MustCompile(`^(.*?)(?: ?[x×*] ?(\d{1,4}))?$`)

func workSpeakerLine(g *measure.Given, r *result) error {
	if g.Has("speaker") == g.Has("impedance") {
		return measure.BadInput("speaker", "give either the taps of the loudspeakers or --impedance")
	}
	if g.Has("length") != g.Has("wire") {
		return measure.BadInput("wire", "cable loss needs both --length and --wire")
	}
	if g.Has("impedance") && !g.Has("wire") {
		return measure.BadInput("impedance", "a low-impedance load is judged with its cable: give --length and --wire")
	}
	load := g.Figure("impedance")
	r.judge(measure.Unknown, "Give the amplifier's power to have the load judged.")
	if g.Has("speaker") {
		watts, err := tapsTotal(g)
		if err != nil {
			return err
		}
		load = audio.LoadOhm(g.Figure("line"), watts)
		r.out("taps", watts, "W", 2)
		r.src("A-033", measure.Computed)
		speakerVerdict(g, r, watts)
	}
	r.out("load", load, "ohm", 1)
	if g.Has("measured") {
		compareImpedance(r, load, g.Figure("measured"))
	}
	r.Formula = "load = line voltage² / watts; a tap on another line takes watts × (line / marked)²; loss = 20 log10(R / (R + r))"
	if !g.Has("wire") {
		return nil
	}
	return speakerCable(g, r, load)
}

// impedanceTolerance is the difference in % that a meter and the loudspeakers
// together explain (common practice, no source).
const impedanceTolerance = 20.0

// compareImpedance sets a measured load against the calculated one: lower means
// more load or a short, higher means loudspeakers that are not there.
func compareImpedance(r *result, load, measured float64) {
	diff := (measured - load) / load * 100
	r.out("measured_difference", diff, "%", 1)
	r.src("A-038", measure.Practice)
	if measure.Within(math.Abs(diff), impedanceTolerance) {
		r.factValue("line-impedance", "as-calculated")
		return
	}
	r.factValue("line-impedance", "differs")
	what := "lower than calculated: more or wrongly tapped loudspeakers, or a damaged cable"
	if diff > 0 {
		what = "higher than calculated: loudspeakers are missing or tapped lower"
	}
	r.add(measure.Fail, "The measured impedance is %s.", what)
}

// tapsTotal adds the taps as they are on the given line, W.
func tapsTotal(g *measure.Given) (float64, error) {
	sum := 0.0
	for i, t := range g.Texts("speaker") {
		_, rest := measure.Item(t, "speaker", i+1)
		m := tapPattern.FindStringSubmatch(rest)
		watts, err := measure.Parse(m[1], "W")
		if err != nil {
			return 0, measure.BadInput("speaker", "%w", err)
		}
		n := 1
		if m[2] != "" {
			n, _ = strconv.Atoi(m[2])
		}
		if watts <= 0 || n < 1 {
			return 0, measure.BadInput("speaker", "%q: taps are above 0 W, and there is at least one", t)
		}
		sum += watts * float64(n)
	}
	if g.Has("marked") {
		sum = audio.TapOnOtherLine(sum, g.Figure("marked"), g.Figure("line"))
	}
	return sum, nil
}

func speakerVerdict(g *measure.Given, r *result, watts float64) {
	if g.Has("marked") {
		r.src("A-034", measure.Computed)
	}
	if !g.Has("amplifier") {
		return
	}
	rated := g.Figure("amplifier")
	loading := watts / rated * 100
	r.out("loading", loading, "%", 1)
	r.part("amplifier", watts, rated, "W", measure.Within(watts, rated))
	r.part("advice of 80 %", watts, rated*audio.LoadingAdvice/100, "W", measure.Within(loading, audio.LoadingAdvice))
	r.src("A-035", measure.Practice)
	r.fact("speaker-line-ok", measure.Within(watts, rated))
	text := fmt.Sprintf("%s of taps on an amplifier of %s", measure.Show(watts, "W", 1), measure.Show(rated, "W", 1))
	switch {
	case !measure.Within(watts, rated):
		r.add(measure.Fail, "The line is overloaded: %s.", text)
	case !measure.Within(loading, audio.LoadingAdvice):
		r.add(measure.Tight, "The line is within the amplifier's power but above the advised 80 %%: %s.", text)
	default:
		r.add(measure.Pass, "The line is within the amplifier's power: %s.", text)
	}
}

func speakerCable(g *measure.Given, r *result, load float64) error {
	wire, err := power.ParseWire(g.Text("wire"))
	if err != nil {
		return measure.BadInput("wire", "%w", err)
	}
	loop := power.VoltageDrop(1, 1, g.Figure("length"), wire, 20).LoopOhm
	loss := -audio.LineLossDB(load, loop)
	r.out("loop_resistance", loop, "ohm", 3)
	r.out("line_loss", loss, "dB", 2)
	r.out("loop_share", loop/load*100, "%", 1)
	r.src("A-036", measure.Computed)
	r.src(wire.Check, wire.Rule)
	if !g.Has("impedance") {
		return nil
	}
	r.src("A-037", measure.Practice)
	r.part("loop against load", loop/load*100, audio.CableAdvice, "%", measure.Within(loop/load*100, audio.CableAdvice))
	if measure.Within(loop/load*100, audio.CableAdvice) {
		r.add(measure.Pass, "The cable costs %s; its loop is within 10 %% of the load.", measure.Show(loss, "dB", 2))
	} else {
		r.add(measure.Tight, "The cable costs %s; its loop is more than 10 %% of the load.", measure.Show(loss, "dB", 2))
	}
	return nil
}
