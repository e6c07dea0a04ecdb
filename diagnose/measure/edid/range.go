package edid

import "fmt"

// The range formulas a display can name.
const (
	formulaGTF          = "gtf"
	formulaLimits       = "limits"
	formulaSecondaryGTF = "secondary-gtf"
	formulaCVT          = "cvt"
	formulaUnknown      = "unknown"
)

var rangeAspects = []string{"4:3", "16:9", "16:10", "5:4", "15:9"}

// preRange looks for the range limits before the rest: standard timings need
// to know whether the display takes CVT.
func (d *decoder) preRange(b []byte) {
	for i := 0x36; i+18 <= 0x7E; i += 18 {
		if x := b[i : i+18]; x[0] == 0 && x[1] == 0 && x[3] == 0xFD {
			d.takesCVT = d.minor >= 4 && x[10] == 4
		}
	}
}

// rangeLimits reads a descriptor FD (check values E-033 to E-036).
func (d *decoder) rangeLimits(x []byte) {
	r := &Range{MinVHz: int(x[5]), MaxVHz: int(x[6]), MinHKHz: int(x[7]), MaxHKHz: int(x[8]),
		Aspects: []string{}, Scaling: []string{}}
	if d.minor >= 4 {
		extend(x[4], &r.MinVHz, &r.MaxVHz)
		extend(x[4]>>2, &r.MinHKHz, &r.MaxHKHz)
	}
	if x[9] != 0 {
		clock := float64(x[9]) * 10
		r.MaxClockMHz, r.statedClockMHz = &clock, int(x[9])*10
	}
	switch x[10] {
	case 0:
		r.Formula = formulaGTF
	case 1:
		r.Formula = formulaLimits
	case 2:
		r.Formula = formulaSecondaryGTF
		r.GTFStartKHz, r.GTFC = int(x[12])*2, float64(x[13])/2
		r.GTFM, r.GTFK, r.GTFJ = le16(x[14:]), int(x[16]), float64(x[17])/2
	case 4:
		r.Formula = formulaCVT
		r.cvt(x)
	default:
		r.Formula = formulaUnknown
	}
	if r.MinVHz > r.MaxVHz || r.MinHKHz > r.MaxHKHz {
		d.problem("the range limits are upside down (%d-%d Hz, %d-%d kHz)", r.MinVHz, r.MaxVHz, r.MinHKHz, r.MaxHKHz)
	}
	d.out.Range = r
}

// extend adds 255 as the two low bits say: bit 1 to the maximum, bit 0 to the
// minimum, which counts only together with bit 1 (E-034).
func extend(flags byte, lowest, highest *int) {
	if flags&2 == 0 {
		return
	}
	*highest += 255
	if flags&1 != 0 {
		*lowest += 255
	}
}

// cvt reads the CVT part of the range limits (E-036).
func (r *Range) cvt(x []byte) {
	r.CVTVersion = fmt.Sprintf("%d.%d", x[11]>>4, x[11]&0x0F)
	if r.MaxClockMHz != nil {
		*r.MaxClockMHz -= float64(x[12]>>2) * 0.25
	}
	r.MaxPixels = (int(x[12]&3)<<8 | int(x[13])) * 8
	for i, name := range rangeAspects {
		if x[14]&(0x80>>i) != 0 {
			r.Aspects = append(r.Aspects, name)
		}
	}
	if i := int(x[15] >> 5); i < len(rangeAspects) {
		r.PreferAspect = rangeAspects[i]
	}
	r.CVTReduced, r.CVTStandard = x[15]&0x10 != 0, x[15]&0x08 != 0
	for i, name := range []string{"horizontal shrink", "horizontal stretch", "vertical shrink", "vertical stretch"} {
		if x[16]&(0x80>>i) != 0 {
			r.Scaling = append(r.Scaling, name)
		}
	}
	r.PreferRateHz = int(x[17])
}
