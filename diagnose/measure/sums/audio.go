package sums

import (
	"fmt"
	"math"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/audio"
)

func audioLevelSum() measure.Sum {
	return define(measure.Sum{
		Name:    "audio-level",
		Summary: "convert levels (dBu, dBV, V, dBFS), gain from one to another, headroom",
		Example: `faultbook calc audio-level --level "+4 dBu" --into "-10 dBV"`,
		Inputs: []measure.Input{
			required(text("level", "level with its unit: +4 dBu, -10 dBV, 1.23 V, 2.4 mV, -20 dBFS", "")),
			text("into", "level that the next input wants", ""),
			text("clip", "level at which the next input clips", ""),
			figure("full-scale", "dBu", -20, 40, "level of digital full scale: 18 dBu (EBU), 24 dBu (SMPTE)", "24 dBu"),
		},
		Facts: []measure.FactName{yesFact("level-clips", "the level is above the clip level")},
	}, workAudioLevel)
}

func workAudioLevel(g *measure.Given, r *result) error {
	full := g.Figure("full-scale")
	level, digital, err := readLevel(g.Text("level"), full)
	if err != nil {
		return measure.BadInput("level", "%w", err)
	}
	r.out("level_dbu", level, "dBu", 2)
	r.out("level_dbv", audio.DBuToDBV(level), "dBV", 2)
	r.out("level_v", audio.DBuToVolts(level), "V", 5)
	r.out("level_dbfs", level-full, "dBFS", 2)
	r.Formula = "dBu = 20 log10(U / 0.7746 V); dBV = 20 log10(U / 1 V); dBFS = dBu - full scale"
	r.src("A-001", "computed; from memory (IEC 60268-2, ITU-R BS.645)")
	r.src("A-002", measure.Computed)
	r.judge(measure.Unknown, "%s is %s; nothing was given to judge it by.", strings.TrimSpace(g.Text("level")), measure.Show(audio.DBuToVolts(level), "V", 4))
	if g.Has("into") {
		want, also, err := readLevel(g.Text("into"), full)
		if err != nil {
			return measure.BadInput("into", "%w", err)
		}
		digital = digital || also
		r.out("gain_needed", want-level, "dB", 2)
		r.judge(measure.Unknown, "Set a gain of %s.", measure.Show(want-level, "dB", 2))
		r.src("A-005", measure.Computed)
	}
	if g.Has("clip") {
		clip, also, err := readLevel(g.Text("clip"), full)
		if err != nil {
			return measure.BadInput("clip", "%w", err)
		}
		digital = digital || also
		ok := measure.Within(level, clip)
		r.out("headroom", clip-level, "dB", 2)
		r.fact("level-clips", !ok)
		if ok {
			r.judge(measure.Pass, "The level stays below clipping by %s.", measure.Show(clip-level, "dB", 1))
		} else {
			r.judge(measure.Fail, "The level is above clipping by %s.", measure.Show(level-clip, "dB", 1))
		}
	}
	if digital {
		r.src("A-008", "from memory (EBU R68, SMPTE RP 155)")
		r.note("full scale taken as %s; 18 and 24 dBu are both in use, 6 dB apart", measure.Show(full, "dBu", 1))
	}
	return nil
}

// readLevel reads a level in any of the units and returns dBu; digital says
// whether it hung on full scale.
func readLevel(t string, fullScale float64) (dBu float64, digital bool, err error) {
	if v, err := measure.Parse(t, "dBu"); err == nil {
		dBu = v
	} else if v, err := measure.Parse(t, "dBV"); err == nil {
		dBu = audio.DBVToDBu(v)
	} else if v, err := measure.Parse(t, "dBFS"); err == nil {
		dBu, digital = v+fullScale, true
		if v > 0 {
			return 0, true, fmt.Errorf("%q is above digital full scale, which does not exist", t)
		}
	} else if v, err := measure.Parse(t, "V"); err == nil {
		if v <= 0 {
			return 0, false, fmt.Errorf("%q: a level in volts is above 0", t)
		}
		dBu = audio.VoltsToDBu(v)
	} else {
		return 0, false, fmt.Errorf("%q is not a level; write one such as +4 dBu, -10 dBV, 1.23 V or -20 dBFS", t)
	}
	if math.Abs(dBu) > 200 {
		return 0, digital, fmt.Errorf("%q is out of range: -200 to 200 dBu can be used", t)
	}
	return dBu, digital, nil
}

func audioMixSum() measure.Sum {
	return define(measure.Sum{
		Name:    "audio-mix",
		Summary: "level of two or more signals added: the same, unrelated, or one turned over",
		Example: `faultbook calc audio-mix --level -10dB --level -10dB --kind opposite`,
		Inputs: []measure.Input{
			required(many(figure("level", "dB", -200, 200, "level of one signal, all against the same reference; once for each", ""))),
			word("kind", audio.Mixes(), "same signal, unrelated signals, or opposite (every second one turned over)", "unrelated"),
		},
		Facts: []measure.FactName{yesFact("signals-cancel", "the sum is at least 10 dB below the louder signal")},
	}, workAudioMix)
}

func workAudioMix(g *measure.Given, r *result) error {
	items, err := figures(g, figure("level", "dB", -200, 200, "", ""), "signal")
	if err != nil {
		return err
	}
	if len(items) < 2 {
		return measure.BadInput("level", "give at least two levels")
	}
	var levels []float64
	loudest := math.Inf(-1)
	for _, i := range items {
		levels = append(levels, i.value)
		loudest = max(loudest, i.value)
	}
	mix := audio.Mix(g.Text("kind"))
	sum := audio.Add(levels, mix)
	cancels := sum < loudest-10
	if math.IsInf(sum, -1) {
		r.say("sum", "nothing is left")
	} else {
		r.out("sum", sum, "dB", 2)
		r.out("change_from_loudest", sum-loudest, "dB", 2)
	}
	r.out("passive_sum_loss", audio.PassiveSumLoss(len(levels)), "dB", 2)
	r.Formula = "same: 20 log10 Σ 10^(L/20); unrelated: 10 log10 Σ 10^(L/10); opposite: every second term negative; passive sum of n: -20 log10 n"
	r.src("A-009", measure.Computed)
	r.src("A-010", measure.Computed)
	r.fact("signals-cancel", cancels)
	if cancels {
		r.src("A-013", "computed; "+measure.Practice)
		r.judge(measure.Fail, "The signals cancel: look for a swapped polarity.")
		return nil
	}
	r.judge(measure.Pass, "Together they are at %s, %s against the loudest.", measure.Show(sum, "dB", 2), measure.Show(sum-loudest, "dB", 2))
	return nil
}

func audioDistanceSum() measure.Sum {
	return define(measure.Sum{
		Name:    "audio-distance",
		Summary: "delay of sound over a distance and what it loses in level",
		Example: "faultbook calc audio-distance --distance 10m",
		Inputs: []measure.Input{
			required(figure("distance", "m", 0.01, 10000, "distance from the loudspeaker", "")),
			figure("from", "m", 0.01, 10000, "distance at which the level is known", "1 m"),
			figure("temperature", "°C", -40, 60, "of the air", "20 °C"),
		},
	}, func(g *measure.Given, r *result) error {
		d := g.Figure("distance")
		ms := audio.AirDelayMS(d, g.Figure("temperature"))
		r.out("delay", ms, "ms", 2)
		r.out("speed_of_sound", audio.SpeedOfSound(g.Figure("temperature")), "m/s", 1)
		r.out("level_change", audio.DistanceLoss(g.Figure("from"), d), "dB", 2)
		r.Formula = "speed = 331.3 × √(1 + T/273.15); delay = distance / speed; level = -20 log10(distance / from), free field"
		r.src("A-018", measure.Computed)
		r.src("A-017", measure.Computed)
		r.src("A-019", measure.Computed)
		r.judge(measure.Unknown, "Sound takes %s over %s.", measure.Show(ms, "ms", 1), measure.Show(d, "m", 2))
		return nil
	})
}
