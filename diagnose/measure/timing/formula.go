package timing

import "math"

// Constants of CVT (VESA CVT 1.2) and GTF (VESA GTF 1.1), from memory; checked
// in the tests against three tools.
const (
	cellPixels    = 8     // CVT, CVT-RB and GTF count in cells of 8 pixels
	minBlankUS    = 550.0 // vertical sync and back porch at least, microseconds
	dutyOffset    = 30.0  // C', per cent
	dutyGradient  = 300.0 // M', per cent per ms of line time
	leastDuty     = 20.0  // CVT only, per cent
	cvtSteps      = 4     // the clock is rounded down to 1/4 MHz
	rb2Steps      = 1000  // the clock is rounded down to 1/1000 MHz
	rbBlankUS     = 460.0 // vertical blanking at least
	rbHBlank      = 160
	rb2HBlank     = 80
	minBackLines  = 7 // CVT 1.2, as edid-decode; the cvt tool has less, which shows below 60 Hz only
	cvtFrontLines = 3
)

// floorTo rounds down to a fraction of a MHz. The allowance keeps an exact
// product such as 110.600 from falling to 110.599 by binary noise.
func floorTo(value, steps float64) float64 { return math.Floor(value*steps+1e-6) / steps }

// cvtSyncLines is the width of the frame sync, which tells the aspect ratio.
func cvtSyncLines(width, height int) int {
	is := func(a, b int) bool { return height%b == 0 && height*a/b == width }
	switch {
	case is(4, 3):
		return 4
	case is(16, 9):
		return 5
	case is(16, 10):
		return 6
	case is(5, 4), is(15, 9):
		return 7
	}
	return 10
}

// cvtFull computes CVT with full blanking. The width is taken down to whole
// cells for the sum; rate in Hz.
func cvtFull(width, height int, rate float64) Timing {
	cells := width / cellPixels * cellPixels
	sync := cvtSyncLines(width, height)
	lineUS := (1e6/rate - minBlankUS) / float64(height+cvtFrontLines)
	syncAndBack := max(int(minBlankUS/lineUS)+1, sync+minBackLines)
	duty := math.Max(dutyOffset-dutyGradient*lineUS/1000, leastDuty)
	blank := int(float64(cells)*duty/(100-duty)/(2*cellPixels)) * 2 * cellPixels
	total := cells + blank
	hSync := total * 8 / 100 / cellPixels * cellPixels
	return Timing{
		Name: "CVT", Method: CVT, Width: width, Height: height, Repeat: 1,
		ClockMHz: floorTo(float64(total)/lineUS, cvtSteps),
		HFront:   blank/2 - hSync, HSync: hSync, HBack: blank / 2, HTotal: total,
		VFront: cvtFrontLines, VSync: sync, VBack: syncAndBack - sync,
		VTotal: height + cvtFrontLines + syncAndBack, VPositive: true,
	}
}

// cvtReduced computes CVT with reduced blanking, version 1.
func cvtReduced(width, height int, rate float64) Timing {
	cells := width / cellPixels * cellPixels
	sync := cvtSyncLines(width, height)
	lineUS := (1e6/rate - rbBlankUS) / float64(height)
	blankLines := max(int(rbBlankUS/lineUS)+1, cvtFrontLines+sync+minBackLines)
	total, lines := cells+rbHBlank, height+blankLines
	return Timing{
		Name: "CVT-RB", Method: CVTRB, Width: width, Height: height, Repeat: 1, Reduced: true,
		ClockMHz: floorTo(rate*float64(total)*float64(lines)/1e6, cvtSteps),
		HFront:   48, HSync: 32, HBack: 80, HTotal: total,
		VFront: cvtFrontLines, VSync: sync, VBack: blankLines - cvtFrontLines - sync,
		VTotal: lines, HPositive: true,
	}
}

// cvtReduced2 computes CVT with reduced blanking, version 2.
func cvtReduced2(width, height int, rate float64) Timing {
	const sync, back = 8, 6
	lineUS := (1e6/rate - rbBlankUS) / float64(height)
	blankLines := max(int(rbBlankUS/lineUS)+1, 1+sync+back)
	total, lines := width+rb2HBlank, height+blankLines
	return Timing{
		Name: "CVT-RB v2", Method: RBv2, Width: width, Height: height, Repeat: 1, Reduced: true,
		ClockMHz: floorTo(rate*float64(total)*float64(lines)/1e6, rb2Steps),
		HFront:   8, HSync: 32, HBack: 40, HTotal: total,
		VFront: blankLines - sync - back, VSync: sync, VBack: back,
		VTotal: lines, HPositive: true,
	}
}

// gtf computes the default curve of GTF. Its clock is not stepped.
func gtf(width, height int, rate float64) Timing {
	const front, sync = 1, 3
	cells := int(math.Round(float64(width)/cellPixels)) * cellPixels
	estimateUS := (1e6/rate - minBlankUS) / float64(height+front)
	syncAndBack := int(math.Round(minBlankUS / estimateUS))
	lines := height + syncAndBack + front
	lineUS := 1e6 / rate / float64(lines)
	duty := dutyOffset - dutyGradient*lineUS/1000
	blank := int(math.Round(float64(cells)*duty/(100-duty)/(2*cellPixels))) * 2 * cellPixels
	total := cells + blank
	hSync := int(math.Round(float64(total)*8/100/cellPixels)) * cellPixels
	return Timing{
		Name: "GTF", Method: GTF, Width: width, Height: height, Repeat: 1,
		ClockMHz: float64(total) / lineUS,
		HFront:   blank/2 - hSync, HSync: hSync, HBack: blank / 2, HTotal: total,
		VFront: front, VSync: sync, VBack: syncAndBack - sync, VTotal: lines, VPositive: true,
	}
}

// leastFrameUS keeps the formulas away from rates at which the blanking alone
// would fill the frame; leastClockMHz and mostShift from pictures so small that
// rounding the clock down, or the least number of blank lines, would shift the
// rate by more than a twentieth.
const (
	leastFrameUS  = 2 * minBlankUS
	leastClockMHz = 5.0
	mostShift     = 0.05
)

// Compute applies a formula (CVT, CVTRB, RBv2 or GTF) to a progressive format;
// false if the rate is too high for the formula (above about 900 Hz), the
// picture too small, or the method a list.
func Compute(width, height int, rate float64, method Method) (Timing, bool) {
	if width < cellPixels || height < 1 || rate <= 0 || 1e6/rate < leastFrameUS {
		return Timing{}, false
	}
	var t Timing
	switch method {
	case CVT:
		t = cvtFull(width, height, rate)
	case CVTRB:
		t = cvtReduced(width, height, rate)
	case RBv2:
		t = cvtReduced2(width, height, rate)
	case GTF:
		t = gtf(width, height, rate)
	default:
		return Timing{}, false
	}
	return t, t.ClockMHz >= leastClockMHz && t.HTotal > t.Width-cellPixels && math.Abs(t.RateHz()/rate-1) <= mostShift
}
