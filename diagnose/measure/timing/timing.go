package timing

import "fmt"

// Method is the rule that makes a timing.
type Method string

// Methods. Auto means: the first of CTA, DMT, CVT-RB that has the format; Full
// means: with full blanking, from the DMT list or by CVT.
const (
	Auto  Method = ""
	CTA   Method = "CTA"
	DMT   Method = "DMT"
	Full  Method = "full"
	CVT   Method = "CVT"
	CVTRB Method = "CVT-RB"
	RBv2  Method = "CVT-RB2"
	GTF   Method = "GTF"
)

// Timing is a format with everything that a source puts on the wire.
type Timing struct {
	Name       string  // "CTA VIC 97", "DMT 0x44", "CVT-RB"
	Method     Method  // which rule made it
	VIC        int     // CTA code, 0 if none
	Width      int     // active pixels
	Height     int     // active lines of a frame
	Interlaced bool    //
	ClockMHz   float64 // pixel clock before repetition
	HFront     int     // pixels
	HSync      int     // pixels
	HBack      int     // pixels
	VFront     int     // lines, of a field if interlaced
	VSync      int     // lines
	VBack      int     // lines, of a field if interlaced
	HTotal     int     // pixels
	VTotal     int     // lines of a frame
	HPositive  bool    // polarity of the line sync
	VPositive  bool    // polarity of the frame sync
	Reduced    bool    // reduced blanking
	Repeat     int     // 2 where each pixel is sent twice, else 1
}

// RateHz returns the frame rate, or for an interlaced timing the field rate
// (check value E-031).
func (t Timing) RateHz() float64 {
	rate := t.ClockMHz * 1e6 / float64(t.HTotal*t.VTotal)
	if t.Interlaced {
		return 2 * rate
	}
	return rate
}

// LineKHz returns the line rate in kHz.
func (t Timing) LineKHz() float64 { return t.ClockMHz * 1e3 / float64(t.HTotal) }

// ActivePixelsPerSecond is what the eye gets: a measure to compare formats by.
func (t Timing) ActivePixelsPerSecond() float64 {
	rate := t.RateHz()
	if t.Interlaced {
		rate /= 2
	}
	return float64(t.Width) * float64(t.Height) * rate
}

// Size returns "1920x1080" or "1920x1080i".
func (t Timing) Size() string {
	if t.Interlaced {
		return fmt.Sprintf("%dx%di", t.Width, t.Height)
	}
	return fmt.Sprintf("%dx%d", t.Width, t.Height)
}

// Polarity returns the signs of line and frame sync, such as "+-".
func (t Timing) Polarity() string {
	sign := func(positive bool) string {
		if positive {
			return "+"
		}
		return "-"
	}
	return sign(t.HPositive) + sign(t.VPositive)
}
