package timing

import (
	"fmt"
	"math"
)

// ntsc is the ratio of the 59.94 family to the 60 family.
const ntsc = 1000.0 / 1001

// Resolve finds or computes the timing of a format. Errors say which list or
// formula does not have it.
func Resolve(f Format) (Timing, error) {
	if err := f.check(); err != nil {
		return Timing{}, err
	}
	if f.Method == Auto {
		return resolveAuto(f)
	}
	if t, ok := fromCode(f); ok {
		return t, nil
	}
	switch f.Method {
	case CTA:
		if t, ok := fromVICs(f); ok {
			return t, nil
		}
		return Timing{}, fmt.Errorf("%s is not in the CTA list", f)
	case DMT, Full:
		if t, ok := fromDMTs(f, f.Method == DMT); ok {
			return t, nil
		}
		if f.Method == DMT {
			return Timing{}, fmt.Errorf("%s is not in the DMT list", f)
		}
		f.Method = CVT
	}
	if f.Interlaced {
		return Timing{}, fmt.Errorf("%s: the formulas here are for progressive pictures", f)
	}
	t, ok := Compute(f.Width, f.Height, f.Rate, f.Method)
	if !ok {
		return Timing{}, fmt.Errorf("%s: the %s formula does not reach this size and rate", f, f.Method)
	}
	return t, nil
}

// fromCode looks up the entry that was named outright.
func fromCode(f Format) (Timing, bool) {
	switch {
	case f.Code == 0:
		return Timing{}, false
	case f.Method == CTA:
		return VIC(f.Code)
	}
	return DMTEntry(f.Code)
}

func resolveAuto(f Format) (Timing, error) {
	if t, ok := fromVICs(f); ok {
		return t, nil
	}
	if f.Interlaced {
		return Timing{}, fmt.Errorf("%s is not in the CTA list, and the formulas here are for progressive pictures", f)
	}
	if t, ok := fromDMTs(f, true); ok {
		return t, nil
	}
	if t, ok := Compute(f.Width, f.Height, f.Rate, CVTRB); ok {
		return t, nil
	}
	return Timing{}, fmt.Errorf("%s: no list has it and the formulas do not reach this size and rate", f)
}

// fromVICs looks for a list entry of the same size whose rate is the asked
// one, or its 1000/1001 neighbour with the clock scaled to it.
func fromVICs(f Format) (Timing, bool) {
	for _, r := range vicRows() {
		if r.width != f.Width || r.height != f.Height || r.interlaced != f.Interlaced {
			continue
		}
		t := r.timing()
		ratio := f.Rate / t.RateHz()
		switch {
		case near(ratio, 1):
			return t, true
		case near(ratio, ntsc) && hasNTSCTwin(t.RateHz()):
			t.ClockMHz *= ntsc
			return t, true
		case near(ratio, 1/ntsc): // 480p60 is the entry listed at 59.94
			return t, true
		}
	}
	return Timing{}, false
}

// near allows 0.02 %, a fifth of the step between 59.94 and 60 Hz.
func near(a, b float64) bool { return math.Abs(a/b-1) < 0.0002 }

// hasNTSCTwin says whether a rate of the list also stands for its 1000/1001
// variant: 24, 30, 48, 60, 120, 240 do; 25, 50, 100, 200 do not.
func hasNTSCTwin(rate float64) bool { return math.Mod(math.Round(rate), 6) == 0 }

// fromDMTs looks for a DMT entry of the same size whose rate rounds to the
// asked one; reduced blanking first if wanted, full blanking only otherwise.
func fromDMTs(f Format, reducedFirst bool) (Timing, bool) {
	if f.Interlaced {
		return Timing{}, false
	}
	var full, reduced []Timing
	for _, r := range dmtRows() {
		t := r.timing()
		if t.Width != f.Width || t.Height != f.Height || math.Abs(t.RateHz()-f.Rate) > 0.6 {
			continue
		}
		if t.Reduced {
			reduced = append(reduced, t)
		} else {
			full = append(full, t)
		}
	}
	if reducedFirst && len(reduced) > 0 {
		return closest(reduced, f.Rate), true
	}
	if len(full) > 0 {
		return closest(full, f.Rate), true
	}
	return Timing{}, false
}

func closest(list []Timing, rate float64) Timing {
	best := list[0]
	for _, t := range list[1:] {
		if math.Abs(t.RateHz()-rate) < math.Abs(best.RateHz()-rate) {
			best = t
		}
	}
	return best
}

// Variants returns every timing that lists and formulas have for a size and
// rate, in the order CTA, DMT reduced, DMT full, CVT, CVT-RB, CVT-RB v2, GTF.
func Variants(f Format) []Timing {
	var out []Timing
	f.Code = 0
	seen := map[string]bool{}
	for _, m := range []Method{CTA, DMT, Full, CVT, CVTRB, RBv2, GTF} {
		f.Method = m
		if t, err := Resolve(f); err == nil && !seen[t.Name] {
			seen[t.Name] = true
			out = append(out, t)
		}
	}
	return out
}
