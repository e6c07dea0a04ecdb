package link

import (
	"fmt"
	"math"
	"slices"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/timing"
)

// Kind is what a part is.
type Kind string

// Kinds of parts.
const (
	Source   Kind = "source"
	Cable    Kind = "cable"
	Extender Kind = "extender"
	Switcher Kind = "switcher"
	Adapter  Kind = "adapter"
	Splitter Kind = "splitter"
	Dock     Kind = "dock"
	Display  Kind = "display"
)

// Kinds lists the kinds in the order of a chain.
func Kinds() []Kind {
	return []Kind{Source, Dock, Adapter, Cable, Extender, Switcher, Splitter, Display}
}

// Part is one member of a chain. Empty fields mean: not said.
type Part struct {
	Kind     Kind
	Text     string // as described by the user
	Capacity Capacity
	LengthM  float64         // of a cable, or of the cable of an extender
	ReachM   float64         // the extender's own figure
	Couplers int             // couplers and wall plates in the cable
	Active   bool            // active or optical: the passive lengths do not hold
	MaxDepth int             // bits per component, any chroma
	DepthIn  map[Chroma]int  // the same for one chroma
	Chromas  []Chroma        // what it takes
	UpTo     *timing.Timing  // largest format
	Only     []timing.Timing // exact list, as an EDID offers
	Only420  []timing.Timing // of the list, usable as 4:2:0 only
}

// Label names the part in a chart.
func (p Part) Label() string {
	if p.Text == "" {
		return string(p.Kind)
	}
	return fmt.Sprintf("%s (%s)", p.Kind, p.Text)
}

// Finding is how one part stands to a signal. Why is empty for a plain pass.
// Long means longer than the trade advises.
type Finding struct {
	Part    Part
	Demand  Demand
	Known   bool
	Verdict measure.Verdict
	Why     string
	Long    bool
}

// Practice lengths in metres (H-039, H-041, H-042: common practice, no source).
const (
	couplerMetres     = 2.0
	extenderMetres    = 100.0
	extenderMetresUHD = 40.0
)

// UsualLength is the length in metres up to which passive copper is found to
// work at a character rate in MHz; above 600 MHz the wire runs FRL.
func UsualLength(characterRate float64) float64 {
	switch {
	case measure.Within(characterRate, 148.5):
		return 15
	case measure.Within(characterRate, 297):
		return 7
	case measure.Within(characterRate, LimitHDMI20):
		return 5
	}
	return 3
}

// Check judges a part: first what it refuses outright, then its capacity, then
// its length.
func (p Part) Check(s Signal) Finding {
	f := Finding{Part: p, Known: p.Capacity.Known(), Verdict: measure.Pass}
	if f.Known {
		f.Demand = p.Capacity.Ask(s)
	} else {
		f.Demand = Demand{Need: s.CharacterRate(), Unit: "MHz"}
	}
	if why := p.refuses(s); why != "" {
		f.Verdict, f.Why = measure.Fail, why
		return f
	}
	switch {
	case !f.Known && p.saysEnough():
	case !f.Known:
		f.Verdict, f.Why = measure.Unknown, "its limit is not known"
	case !f.Demand.OK && f.Demand.Plain:
		f.Verdict = measure.Unknown
		f.Why = "plain arithmetic says no; shorter blanking or compression may still carry it"
	case !f.Demand.OK:
		f.Verdict = measure.Fail
		f.Why = fmt.Sprintf("it carries %s and %s is needed", measure.Show(f.Demand.Limit, f.Demand.Unit, 3),
			measure.Show(f.Demand.Need, f.Demand.Unit, 3))
	}
	p.checkLength(s, &f)
	return f
}

// saysEnough is true for a part that states its formats instead of a rate.
func (p Part) saysEnough() bool { return p.UpTo != nil || len(p.Only) > 0 }

// refuses returns why the part turns a signal down whatever the rate.
func (p Part) refuses(s Signal) string {
	switch {
	case p.MaxDepth > 0 && s.Depth > p.MaxDepth:
		return fmt.Sprintf("it takes %d bit at most", p.MaxDepth)
	case p.DepthIn[s.Chroma] > 0 && s.Depth > p.DepthIn[s.Chroma]:
		return fmt.Sprintf("it takes %d bit at most in %s", p.DepthIn[s.Chroma], s.Chroma)
	case len(p.Chromas) > 0 && !slices.Contains(p.Chromas, s.Chroma):
		return fmt.Sprintf("it does not take %s", s.Chroma)
	case s.Chroma != C420 && holds(p.Only420, s.Timing):
		return "it lists this format for 4:2:0 only"
	case p.UpTo != nil && exceeds(s.Timing, *p.UpTo):
		return fmt.Sprintf("it stops at %s %s Hz", p.UpTo.Size(), measure.Show(p.UpTo.RateHz(), "", 2))
	case len(p.Only) > 0 && !holds(p.Only, s.Timing) && !holds(p.Only420, s.Timing):
		return "its list of formats does not have this one"
	case p.ReachM > 0 && !measure.Within(p.LengthM, p.ReachM):
		return fmt.Sprintf("%s is beyond its reach of %s", measure.Show(p.LengthM, "m", 1), measure.Show(p.ReachM, "m", 1))
	}
	return ""
}

// exceeds says whether a timing asks more than another: wider, taller, or more
// pixels a second.
func exceeds(t, top timing.Timing) bool {
	return t.Width > top.Width || t.Height > top.Height ||
		!measure.Within(t.ActivePixelsPerSecond(), top.ActivePixelsPerSecond()*1.001)
}

// holds says whether a list has a timing of the same size and rate (59.94 and
// 60 count as one: a list entry stands for both).
func holds(list []timing.Timing, t timing.Timing) bool {
	return slices.ContainsFunc(list, func(l timing.Timing) bool {
		return l.Width == t.Width && l.Height == t.Height && l.Interlaced == t.Interlaced &&
			math.Abs(l.RateHz()/t.RateHz()-1) < 0.003
	})
}

// checkLength turns a pass into tight where the length is beyond practice.
func (p Part) checkLength(s Signal, f *Finding) {
	length := p.LengthM + couplerMetres*float64(p.Couplers)
	if length == 0 || p.Active || p.ReachM > 0 || f.Verdict == measure.Fail {
		return
	}
	usual := UsualLength(s.CharacterRate())
	if p.Kind == Extender {
		usual = extenderMetres
		if !measure.Within(s.CharacterRate(), 148.5) {
			usual = extenderMetresUHD
		}
	}
	if measure.Within(length, usual) {
		return
	}
	f.Long = true
	f.Verdict = measure.Worse(f.Verdict, measure.Tight)
	if f.Why == "" {
		f.Why = fmt.Sprintf("%s is longer than the %s that usually work at this rate",
			measure.Show(length, "m", 1), measure.Show(usual, "m", 1))
	}
}
