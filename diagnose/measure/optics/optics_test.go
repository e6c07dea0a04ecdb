package optics

import (
	"math"
	"testing"
)

// Source: check values O-001 to O-004 and O-008 to O-010; computed. The check
// value's 1059 mm for 85 in was taken with the rounded factor 0.4903; without
// that rounding it is 1058.47.
func TestComputedValues(t *testing.T) {
	w16, h16 := Size(1, 16, 9)
	w10, h10 := Size(1, 16, 10)
	width := func(inch float64) float64 { w, _ := Size(inch*25.4, 16, 9); return w }
	height := func(inch float64) float64 { _, h := Size(inch*25.4, 16, 9); return h }
	for _, c := range []struct {
		id        string
		got, want float64
		places    int
	}{
		{"O-001 w", w16, 0.8716, 4}, {"O-001 h", h16, 0.4903, 4},
		{"O-001 65 w", width(65), 1439, 0}, {"O-001 65 h", height(65), 809, 0},
		{"O-001 85 w", width(85), 1882, 0}, {"O-001 85 h", height(85), 1058.5, 1},
		{"O-001 98 w", width(98), 2170, 0}, {"O-001 98 h", height(98), 1220, 0},
		{"O-002 w", w10, 0.8480, 4}, {"O-002 h", h10, 0.5300, 4},
		{"O-003", Throw(1.5, 2), 3, 9},
		{"O-004", Luminance(5000, 1, 2.0*1.125), 707, 0},
		{"O-004 fL", CandelaPerFootLambert, 3.426, 3},
		{"O-007", Farthest("reading", 1.2), 7.2, 9},
		{"O-008", FarthestByElement(1, 3), 6, 9},
		{"O-009", Minutes(10, 3000), 11.5, 1},
		{"O-009 back", DistanceFor(10, Minutes(10, 3000)), 3000, 6},
		{"O-010", PixelLimit(1, 1080), 3.18, 2},
	} {
		if math.Abs(c.got-c.want) > 0.5000001*math.Pow(10, -float64(c.places)) {
			t.Errorf("%s: got %.6f, want %g", c.id, c.got, c.want)
		}
	}
	if math.Abs(MinutesPerRadian-180*60/math.Pi) > 0.3 {
		t.Errorf("O-008: %g minutes in a radian", MinutesPerRadian)
	}
}

// Source: check value O-006 (from memory ANSI/INFOCOMM 3M-2011).
func TestContrast(t *testing.T) {
	if got := Contrast(300, 0.3, 20); math.Abs(got-320/20.3) > 1e-9 {
		t.Errorf("got %g", got)
	}
	for v, want := range map[Viewing]float64{Passive: 7, Decision: 15, Analysis: 50, Film: 80} {
		if got := v.LeastContrast(); got != want {
			t.Errorf("%s: got %g, want %g", v, got, want)
		}
	}
}
