package link

import (
	"fmt"
	"slices"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/timing"
)

// Report is how a whole chain stands to a signal.
type Report struct {
	Signal   Signal
	Findings []Finding
	Verdict  measure.Verdict
	Illegal  string // why no such signal exists, empty if it does
}

// CheckChain judges every part. The chain is as bad as its worst part.
func CheckChain(s Signal, parts []Part) Report {
	r := Report{Signal: s, Verdict: measure.Pass}
	for _, p := range parts {
		f := p.Check(s)
		r.Findings = append(r.Findings, f)
		r.Verdict = measure.Worse(r.Verdict, f.Verdict)
	}
	if err := s.Legal(); err != nil {
		r.Illegal, r.Verdict = err.Error(), measure.Fail
	}
	if len(parts) == 0 && r.Illegal == "" {
		r.Verdict = measure.Unknown
	}
	return r
}

// passes says whether a chain surely carries a signal as far as it is known;
// a part of unknown limit counts as passing, plain FRL arithmetic does not.
func passes(s Signal, parts []Part) bool {
	if s.Legal() != nil {
		return false
	}
	for _, p := range parts {
		f := p.Check(s)
		if f.Verdict == measure.Fail || f.Verdict == measure.Unknown && f.Known {
			return false
		}
	}
	return true
}

// ladder lists formats that rooms use, as they are written.
func ladder() []string {
	return []string{
		"7680x4320p60", "7680x4320p30", "3840x2160p120", "4096x2160p60", "3840x2160p60", "3840x2160p60 RB", "3840x2160p50",
		"3840x2160p30", "3840x2160p25", "3840x2160p24", "3440x1440p60", "2560x1600p60", "2560x1440p60", "2560x1080p60",
		"1920x1200p60", "1920x1080p60", "1920x1080p50", "1920x1080p30", "1680x1050p60", "1440x900p60", "1280x800p60",
		"1280x720p60", "1280x720p50", "1024x768p60", "800x600p60", "640x480p60",
	}
}

// Highest finds the signal with the most pixels a second that passes; among
// equals full chroma before less, then the greater depth. 4:2:0 of formats above
// 2160p60 is left out: it fits 600 MHz by arithmetic, but no such device has
// it. False if nothing passes.
func Highest(parts []Part) (Signal, bool) {
	var best Signal
	found := false
	for _, text := range ladder() {
		t := mustResolve(text)
		for _, c := range []Chroma{C444, C422, C420} {
			for _, d := range []int{12, 10, 8} {
				s := Signal{t, d, c}
				if c == C420 && t.ClockMHz > LimitHDMI20 {
					continue
				}
				if passes(s, parts) && (!found || better(s, best)) {
					best, found = s, true
				}
			}
		}
	}
	return best, found
}

func better(a, b Signal) bool {
	pa, pb := a.Timing.ActivePixelsPerSecond(), b.Timing.ActivePixelsPerSecond()
	if diff := pa/pb - 1; diff > 0.003 || diff < -0.003 {
		return diff > 0
	}
	if a.Chroma != b.Chroma {
		return chromaRank(a.Chroma) > chromaRank(b.Chroma)
	}
	return a.Depth > b.Depth
}

func chromaRank(c Chroma) int { return slices.Index([]Chroma{C420, C422, C444}, c) }

// mustResolve resolves a format of the ladder, all of which are tested.
func mustResolve(text string) timing.Timing {
	f, err := timing.ParseFormat(text)
	if err == nil {
		var t timing.Timing
		if t, err = timing.Resolve(f); err == nil {
			return t
		}
	}
	panic(fmt.Sprintf("format %q of the ladder: %v", text, err))
}
