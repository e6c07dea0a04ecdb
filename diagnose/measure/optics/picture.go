package optics

import "math"

// Size returns width and height of a picture in the unit of the diagonal, for
// an aspect such as 16, 9 (check values O-001, O-002).
func Size(diagonal, across, down float64) (width, height float64) {
	d := math.Hypot(across, down)
	return diagonal * across / d, diagonal * down / d
}

// Throw is the distance of a projector from the picture, in the unit of the
// width (O-003).
func Throw(ratio, width float64) float64 { return ratio * width }

// Luminance is the white of a projected picture, cd/m² (O-004): lumens, screen
// gain, area in m².
func Luminance(lumens, gain, area float64) float64 { return lumens * gain / (math.Pi * area) }

// CandelaPerFootLambert converts fL to cd/m² (O-004).
const CandelaPerFootLambert = 3.4262591

// Contrast of white against black with room light on the screen, all in cd/m²
// (O-006).
func Contrast(white, black, room float64) float64 { return (white + room) / (black + room) }

// Viewing is what the picture is for.
type Viewing string

// Viewings and their least contrast (O-006, from memory ANSI/INFOCOMM 3M-2011).
const (
	Passive  Viewing = "passive"
	Decision Viewing = "decisions"
	Analysis Viewing = "analysis"
	Film     Viewing = "video"
)

// Viewings lists the kinds.
func Viewings() []string {
	return []string{string(Passive), string(Decision), string(Analysis), string(Film)}
}

// LeastContrast of a kind of viewing.
func (v Viewing) LeastContrast() float64 {
	switch v {
	case Decision:
		return 15
	case Analysis:
		return 50
	case Film:
		return 80
	}
	return 7
}

// MinutesPerRadian is the number of minutes of arc in a radian, as O-008 rounds
// it.
const MinutesPerRadian = 3438.0

// Minutes is the angle of a size at a distance, both in the same unit (O-009).
func Minutes(size, distance float64) float64 { return MinutesPerRadian * size / distance }

// DistanceFor is the distance at which a size is seen under an angle in
// minutes.
func DistanceFor(size, minutes float64) float64 { return MinutesPerRadian * size / minutes }

// Readable text in minutes of arc (O-009, common practice, no source).
const (
	TextLeast = 10.0
	TextGood  = 15.0
)

// Farthest is the farthest viewer by the older rule, as a multiple of the
// picture's height (O-007, common practice, no source).
func Farthest(task string, height float64) float64 {
	factors := map[string]float64{"detail": 4, "reading": 6, "viewing": 8}
	return factors[task] * height
}

// FarthestByElement is the farthest viewer by the element-height method: share
// of the picture's height that the smallest element takes, in % (O-008, from
// memory ANSI/INFOCOMM V202.01:2016).
func FarthestByElement(height, sharePercent float64) float64 {
	return height * 200 * sharePercent / 100
}

// PixelLimit is the distance, in the unit of the height, beyond which one of so
// many lines is smaller than one minute of arc (O-010).
func PixelLimit(height float64, lines int) float64 { return DistanceFor(height/float64(lines), 1) }
