package link

import (
	"fmt"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/timing"
)

// Change is one way to make a chain pass. Signal is what then runs.
type Change struct {
	What   string // "depth", "chroma", "blanking", "rate", "size", "part"
	Text   string
	Signal Signal
}

// Changes lists ways to make a wanted signal pass, least first: less depth,
// less chroma, shorter blanking, a lower rate, another size; the first that
// passes of each kind. A change of parts comes after those that keep size and
// rate. Empty if the chain passes already.
func Changes(want Signal, parts []Part) []Change {
	if passes(want, parts) {
		return nil
	}
	var out []Change
	add := func(what, text string, s Signal) bool {
		if !passes(s, parts) {
			return false
		}
		out = append(out, Change{what, text, s})
		return true
	}
	changeDepth(want, add)
	changeChroma(want, add)
	changeBlanking(want, add)
	if c, ok := changeParts(want, parts); ok {
		out = append(out, c)
	}
	changeRate(want, add)
	changeSize(want, add)
	return out
}

type adder func(what, text string, s Signal) bool

func changeDepth(want Signal, add adder) {
	for _, d := range []int{12, 10, 8} {
		if s := want; d < want.Depth {
			s.Depth = d
			if add("depth", fmt.Sprintf("set the depth to %d bit", d), s) {
				return
			}
		}
	}
}

func changeChroma(want Signal, add adder) {
	for _, c := range []Chroma{C444, C422, C420} {
		if chromaRank(c) >= chromaRank(want.Chroma) {
			continue
		}
		for _, d := range []int{want.Depth, 10, 8} {
			if d > want.Depth {
				continue
			}
			text := fmt.Sprintf("set the chroma to %s", c)
			if d != want.Depth {
				text += fmt.Sprintf(" at %d bit", d)
			}
			if add("chroma", text, Signal{want.Timing, d, c}) {
				return
			}
		}
	}
}

func changeBlanking(want Signal, add adder) {
	for _, m := range []timing.Method{timing.CVTRB, timing.RBv2} {
		t, ok := timing.Compute(want.Timing.Width, want.Timing.Height, nominal(want.Timing), m)
		if !ok || want.Timing.Interlaced || t.ClockMHz >= want.Timing.ClockMHz {
			continue
		}
		text := fmt.Sprintf("set reduced blanking (%s, pixel clock %s)", t.Name, measure.Show(t.ClockMHz, "MHz", 3))
		if add("blanking", text, Signal{t, want.Depth, want.Chroma}) {
			return
		}
	}
}

// nominal rounds 59.95 and the like to the rate that they stand for.
func nominal(t timing.Timing) float64 {
	for _, rate := range []float64{24, 25, 30, 48, 50, 60, 75, 100, 120, 144} {
		if d := t.RateHz() - rate; d < 0.25 && d > -0.25 {
			return rate
		}
	}
	return t.RateHz()
}

func changeRate(want Signal, add adder) {
	for _, rate := range []float64{100, 60, 50, 30, 25, 24} {
		if rate > want.Timing.RateHz()*0.99 {
			continue
		}
		t, err := timing.Resolve(timing.Format{Width: want.Timing.Width, Height: want.Timing.Height, Rate: rate})
		if err == nil && add("rate", fmt.Sprintf("set the rate to %s", measure.Show(rate, "Hz", 0)), Signal{t, want.Depth, want.Chroma}) {
			return
		}
	}
}

// changeSize looks down the ladder for the largest smaller picture at the
// wanted depth and full chroma, then at 8 bit.
func changeSize(want Signal, add adder) {
	pixels := want.Timing.Width * want.Timing.Height
	for _, depth := range []int{want.Depth, 8} {
		for _, text := range ladder() {
			t := mustResolve(text)
			if t.Width*t.Height >= pixels || t.RateHz() < want.Timing.RateHz()*0.98 && t.RateHz() < 59 {
				continue
			}
			s := Signal{t, depth, C444}
			if add("size", "set "+s.String(), s) {
				return
			}
		}
	}
}

// changeParts says which parts to replace so that the wanted signal passes
// unchanged; false if the signal does not exist or the fault is not a limit.
func changeParts(want Signal, parts []Part) (Change, bool) {
	if want.Legal() != nil {
		return Change{}, false
	}
	text := ""
	for _, p := range parts {
		f := p.Check(want)
		if f.Verdict != measure.Fail {
			continue
		}
		if !f.Known || f.Demand.OK {
			return Change{}, false // it refuses by format, depth or chroma: no part number helps
		}
		if text != "" {
			text += " and "
		}
		text += fmt.Sprintf("the %s by one for %s%s", p.Label(), measure.Show(f.Demand.Need, f.Demand.Unit, 3), className(p, f.Demand))
	}
	if text == "" {
		return Change{}, false
	}
	return Change{"part", "replace " + text, want}, true
}

// className names the class of a cable that carries a need.
func className(p Part, d Demand) string {
	if p.Kind != Cable || d.Unit != "MHz" {
		return ""
	}
	switch {
	case measure.Within(d.Need, LimitHDMI14):
		return " (High Speed)"
	case measure.Within(d.Need, LimitHDMI20):
		return " (Premium High Speed)"
	}
	return " (Ultra High Speed)"
}
