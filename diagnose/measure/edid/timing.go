package edid

import "math"

// Timing is one picture format that the display offers.
type Timing struct {
	Width      int  `json:"width"`  // pixels
	Height     int  `json:"height"` // lines of the whole frame
	Interlaced bool `json:"interlaced"`
	// RefreshHz is frames per second, fields per second if interlaced.
	RefreshHz     float64 `json:"refresh_hz"`
	PixelClockMHz float64 `json:"pixel_clock_mhz"` // 0 where the EDID leaves it open
	LineKHz       float64 `json:"line_khz"`
	Aspect        string  `json:"aspect"` // picture aspect, "16:9"

	HFront int `json:"h_front_px"`
	HSync  int `json:"h_sync_px"`
	HBack  int `json:"h_back_px"`
	HTotal int `json:"h_total_px"`
	VFront int `json:"v_front_lines"` // of one field if interlaced
	VSync  int `json:"v_sync_lines"`
	VBack  int `json:"v_back_lines"`
	// VTotal counts the whole frame, both fields together.
	VTotal    float64 `json:"v_total_lines"`
	HPositive bool    `json:"h_positive"`
	VPositive bool    `json:"v_positive"`

	ImageWidthMM  int `json:"image_width_mm"` // 0 where not stated
	ImageHeightMM int `json:"image_height_mm"`

	// Origin says which kind of statement named the format first; Code names
	// it within that kind ("VIC 16", "DMT 0x52", "detailed 1").
	Origin Origin `json:"origin"`
	Code   string `json:"code"`
	// Also lists the codes of further statements of the same format.
	Also []string `json:"also"`
	// Chroma420 is "" for a format usable in 4:4:4, "also" where the display
	// takes 4:2:0 too, "only" where it takes nothing but 4:2:0.
	Chroma420 string `json:"chroma_420"`
	Native    bool   `json:"native"`
	Preferred bool   `json:"preferred"`
	// Sync names the sync kind where it is not separate digital sync, Stereo a
	// 3D layout; both only for detailed timings, mostly "".
	Sync   string `json:"sync"`
	Stereo string `json:"stereo"`
}

// Origin is the kind of statement that a format comes from.
type Origin string

// The origins a Timing can have.
const (
	OriginDetailed    Origin = "detailed"
	OriginEstablished Origin = "established"
	OriginStandard    Origin = "standard"
	OriginCVTCode     Origin = "cvt-code"
	OriginVIC         Origin = "vic"
	OriginHDMIVIC     Origin = "hdmi-vic"
	OriginVideoFormat Origin = "video-format"
	OriginDisplayID   Origin = "displayid"
	OriginVideoTiming Origin = "video-timing-block"
)

// span is one direction of a raster: pixels of a line, or lines of a field.
type span struct {
	active, front, sync, back, border int
	positive                          bool
}

func (s span) total() int { return s.active + s.blank() }
func (s span) blank() int { return s.front + s.sync + s.back + 2*s.border }

// raster holds the figures that a timing is computed from. Vertical figures
// other than v.active are those of one field.
type raster struct {
	clockKHz       int
	h, v           span
	interlaced     bool
	evenTotal      bool // interlaced with a whole number of lines in each field
	hRatio, vRatio int
}

// frameLines is the number of lines of a whole frame. An interlaced frame has
// half a line more in each field, unless evenTotal.
func (r raster) frameLines() float64 {
	if !r.interlaced {
		return float64(r.v.total())
	}
	field := float64(r.v.active/2 + r.v.blank())
	if !r.evenTotal {
		field += 0.5
	}
	return 2 * field
}

// timing computes the published figures (check value E-031). Figures that
// would need a division by zero stay 0.
func (r raster) timing() Timing {
	t := Timing{
		Width: r.h.active, Height: r.v.active, Interlaced: r.interlaced,
		PixelClockMHz: float64(r.clockKHz) / 1000,
		HFront:        r.h.front, HSync: r.h.sync, HBack: r.h.back, HTotal: r.h.total(),
		VFront: r.v.front, VSync: r.v.sync, VBack: r.v.back, VTotal: r.frameLines(),
		HPositive: r.h.positive, VPositive: r.v.positive,
		Also: []string{},
	}
	if t.HTotal > 0 {
		t.LineKHz = round(float64(r.clockKHz)/float64(t.HTotal), 6)
		if t.VTotal > 0 {
			rate := float64(r.clockKHz) * 1000 / (float64(t.HTotal) * t.VTotal)
			if r.interlaced {
				rate *= 2
			}
			t.RefreshHz = round(rate, 6)
		}
	}
	t.Aspect = ratioText(r.ratio())
	return t
}

func (r raster) ratio() (int, int) {
	if r.hRatio > 0 {
		return r.hRatio, r.vRatio
	}
	return reduceRatio(r.h.active, r.v.active)
}

// reduceRatio divides both by their greatest common divisor, 0 by 0 if both
// are 0.
func reduceRatio(a, b int) (int, int) {
	d := a
	for rest := b; rest != 0; {
		d, rest = rest, d%rest
	}
	if d == 0 {
		return 0, 0
	}
	return a / d, b / d
}

// round rounds to so many decimal places.
func round(value float64, places int) float64 {
	scale := math.Pow(10, float64(places))
	return math.Round(value*scale) / scale
}

// formatRow is a line of the format tables: code, size, scan ('p' progressive,
// 'i' interlaced, 'e' interlaced with whole fields), aspect, pixel clock in
// kHz, then front porch, sync, back porch, border and polarity of a line and
// of a field.
type formatRow struct {
	code           int
	width, height  int
	scan           byte
	hRatio, vRatio int
	clockKHz       int

	hFront, hSync, hBack, hBorder int
	hPolarity                     byte
	vFront, vSync, vBack, vBorder int
	vPolarity                     byte
}

func (f formatRow) raster() raster {
	return raster{
		clockKHz:   f.clockKHz,
		h:          span{f.width, f.hFront, f.hSync, f.hBack, f.hBorder, f.hPolarity == '+'},
		v:          span{f.height, f.vFront, f.vSync, f.vBack, f.vBorder, f.vPolarity == '+'},
		interlaced: f.scan != 'p',
		evenTotal:  f.scan == 'e',
		hRatio:     f.hRatio, vRatio: f.vRatio,
	}
}

// vicFormat looks up a video format by its CTA-861 code.
func vicFormat(vic int) (formatRow, bool) {
	switch {
	case vic >= 1 && vic <= 127:
		return ctaFormats[vic-1], true
	case vic >= 193 && vic-193+127 < len(ctaFormats):
		return ctaFormats[vic-193+127], true
	}
	return formatRow{}, false
}

// hdmiVIC maps the format numbers 1 to 4 of the HDMI vendor block to their
// CTA-861 codes (check values section 1.5, last table).
var hdmiVIC = [5]int{0, 95, 94, 93, 98}

// dmtFormat looks up a monitor timing by its DMT id.
func dmtFormat(id int) (formatRow, bool) {
	for _, f := range dmtFormats {
		if f.code == id {
			return f, true
		}
	}
	return formatRow{}, false
}

// VICLabel writes a CTA-861 format with its code, "3840x2160p60 (VIC 97)", or
// the code alone if it is not known.
func VICLabel(vic int) string {
	f, ok := vicFormat(vic)
	if !ok {
		return vicCode(vic)
	}
	return f.raster().timing().Label() + " (" + vicCode(vic) + ")"
}
