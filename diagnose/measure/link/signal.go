package link

import (
	"fmt"
	"slices"
	"strings"

	"faultbook/diagnose/measure/timing"
)

// Chroma is the sampling of colour.
type Chroma string

// Samplings. RGB is carried as 4:4:4.
const (
	C444 Chroma = "4:4:4"
	C422 Chroma = "4:2:2"
	C420 Chroma = "4:2:0"
)

// ParseChroma reads "4:4:4", "444", "RGB", "4:2:0" and the like.
func ParseChroma(text string) (Chroma, error) {
	switch strings.ReplaceAll(strings.ToLower(strings.TrimSpace(text)), ":", "") {
	case "444", "rgb", "ycbcr444":
		return C444, nil
	case "422", "ycbcr422":
		return C422, nil
	case "420", "ycbcr420":
		return C420, nil
	}
	return "", fmt.Errorf("%q is not a chroma sampling; use 4:4:4, 4:2:2 or 4:2:0", text)
}

// Depths are the bits per component that HDMI knows.
func Depths() []int { return []int{8, 10, 12, 16} }

// Signal is a timing as it is coded. Depth is in bits per component.
type Signal struct {
	Timing timing.Timing
	Depth  int
	Chroma Chroma
}

// String gives "3840x2160p60 8 bit 4:4:4".
func (s Signal) String() string {
	letter := "p"
	if s.Timing.Interlaced {
		letter = "i"
	}
	rate := s.Timing.RateHz()
	if s.Timing.Method != timing.CTA {
		rate = nominal(s.Timing) // DMT and CVT land beside the rate that they are for
	}
	size := strings.TrimSuffix(s.Timing.Size(), "i")
	text := fmt.Sprintf("%s%s%.4g %d bit %s", size, letter, rate, s.Depth, s.Chroma)
	if s.Timing.Reduced {
		text += " reduced blanking"
	}
	return text
}

// CharacterRate is the TMDS character rate in MHz (check values H-001 to
// H-003, H-005; read in an open kernel's HDMI helper, which quotes HDMI 1.0
// §6.5 and HDMI 2.0 §7.1).
func (s Signal) CharacterRate() float64 {
	rate := s.Timing.ClockMHz * float64(max(s.Timing.Repeat, 1))
	switch s.Chroma {
	case C422:
		return rate
	case C420:
		return rate * float64(s.Depth) / 16
	}
	return rate * float64(s.Depth) / 8
}

// RawGbit is the rate of all three TMDS pairs, Gbit/s (H-006).
func (s Signal) RawGbit() float64 { return s.CharacterRate() * 30 / 1000 }

// DataGbit is what is left of it after 8-of-10 coding, Gbit/s (H-007). FRL has
// to carry this too.
func (s Signal) DataGbit() float64 { return s.CharacterRate() * 24 / 1000 }

// PixelGbit is pixel clock times bits per pixel, Gbit/s: what DisplayPort has
// to carry (H-026).
func (s Signal) PixelGbit() float64 {
	bits := 3.0 * float64(s.Depth)
	switch s.Chroma {
	case C422:
		bits = 2 * float64(s.Depth)
	case C420:
		bits = 1.5 * float64(s.Depth)
	}
	return s.Timing.ClockMHz * bits / 1000
}

// Legal says why HDMI does not know such a signal, or nil: 4:2:2 ends at 12
// bits (H-002), 4:2:0 begins at 2160p50 (H-003), VIC 1 has 8 bits (H-004).
func (s Signal) Legal() error {
	switch {
	case !slices.Contains(Depths(), s.Depth):
		return fmt.Errorf("a depth of %d bit is not one of 8, 10, 12, 16", s.Depth)
	case s.Chroma == C422 && s.Depth > 12:
		return fmt.Errorf("4:2:2 is carried up to 12 bit, not in %d", s.Depth)
	case s.Chroma == C420 && !knows420(s.Timing):
		return fmt.Errorf("4:2:0 exists for 2160p50, 2160p60 and larger formats only")
	case s.Timing.VIC == 1 && s.Depth != 8:
		return fmt.Errorf("640x480 of the CTA list is carried in 8 bit only")
	}
	return nil
}

func knows420(t timing.Timing) bool {
	if t.Interlaced || t.Width < 3840 || t.Height < 2160 {
		return false
	}
	return t.Height > 2160 || t.RateHz() > 49
}
