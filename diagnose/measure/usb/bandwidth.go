package usb

import "faultbook/diagnose/measure"

// Rates in Mbit/s.
const (
	// HighSpeedEndpoint: 3 × 1024 bytes each 125 µs (check value U-028).
	HighSpeedEndpoint = 3 * 1024 * 8 * 8000 / 1e6
	// FullSpeedEndpoint: 1023 bytes each ms (U-029, from memory USB 2.0 §5.6.3).
	FullSpeedEndpoint = 1023 * 8 * 1000 / 1e6
	// SuperSpeedData: 5 Gbit/s after 8b/10b (U-033).
	SuperSpeedData = 4000.0
	// HighSpeedShare of each microframe may be booked: 100 of 125 µs (U-030).
	HighSpeedShare = 0.80
	// SuperSpeedShare may be booked (U-031, from memory USB 3.2 §8.12).
	SuperSpeedShare = 0.90
	// endpointShare is the time that one stream at HighSpeedEndpoint books:
	// 60 of 125 µs (U-030: two such streams want about 120 µs).
	endpointShare = 60.0 / 125
)

// Coding is how a camera's pixels are sent.
type Coding string

// Uncompressed codings and their bits per pixel.
const (
	YUY2 Coding = "yuy2" // 4:2:2, 16 bits
	NV12 Coding = "nv12" // 4:2:0, 12 bits
)

// BitsPerPixel of a coding, 0 if it is not one of the two.
func (c Coding) BitsPerPixel() int {
	switch c {
	case YUY2:
		return 16
	case NV12:
		return 12
	}
	return 0
}

// VideoRate is the rate of an uncompressed camera stream, Mbit/s.
func VideoRate(width, height int, framesPerSecond float64, c Coding) float64 {
	return float64(width) * float64(height) * framesPerSecond * float64(c.BitsPerPixel()) / 1e6
}

// Stream is periodic traffic, Mbit/s.
type Stream struct {
	Label string
	Mbit  float64
}

// Path is the slowest link between host and devices.
type Path string

// Paths.
const (
	Full  Path = "full-speed"
	High  Path = "high-speed"
	Super Path = "5g"
)

// Paths lists the kinds of path.
func Paths() []string { return []string{string(Full), string(High), string(Super)} }

// BandwidthReport compares streams with a path. Share and ShareLimit are parts
// of the time that may be booked; Lines compare each stream with the most that
// one stream may have.
type BandwidthReport struct {
	Lines             []Line
	Share, ShareLimit float64
	TotalMbit         float64
	OK                bool
}

// Bandwidth judges streams that share a path: each within what one stream may
// have, and all together within the share that may be booked.
func Bandwidth(path Path, streams []Stream) BandwidthReport {
	r := BandwidthReport{OK: true, ShareLimit: HighSpeedShare}
	one, shareOfOne := HighSpeedEndpoint, endpointShare
	switch path {
	case Super:
		one, shareOfOne, r.ShareLimit = SuperSpeedData*SuperSpeedShare, SuperSpeedShare, SuperSpeedShare
	case Full:
		one, shareOfOne, r.ShareLimit = FullSpeedEndpoint, FullSpeedEndpoint/12, 0.90
	}
	for _, s := range streams {
		fits := measure.Within(s.Mbit, one)
		r.Lines = append(r.Lines, Line{s.Label, s.Mbit, one, fits})
		r.OK = r.OK && fits
		r.TotalMbit += s.Mbit
		r.Share += s.Mbit / one * shareOfOne
	}
	r.OK = r.OK && measure.Within(r.Share, r.ShareLimit)
	return r
}
