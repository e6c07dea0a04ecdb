package edid

import (
	"fmt"

	"faultbook/diagnose/measure/timing"
)

// established reads bytes 0x23 to 0x25 (check value E-015): a bit for each of
// 17 formats, from the top bit of the first byte down.
func (d *decoder) established(b []byte) {
	for i, id := range establishedDMT {
		if b[i/8]&(0x80>>(i%8)) == 0 {
			continue
		}
		if id != 0 {
			d.addDMT(id, OriginEstablished)
			continue
		}
		d.addTiming(establishedOther[i].raster().timing(), OriginEstablished, "established")
	}
}

// establishedIII reads the six bytes of descriptor F7 in the same way.
func (d *decoder) establishedIII(b []byte) {
	for i, id := range establishedIII {
		if b[i/8]&(0x80>>(i%8)) != 0 {
			d.addDMT(id, OriginEstablished)
		}
	}
}

func (d *decoder) addDMT(id int, origin Origin) {
	if f, ok := dmtFormat(id); ok {
		d.addTiming(f.raster().timing(), origin, fmt.Sprintf("DMT 0x%02X", id))
	}
}

// standardTiming reads two bytes (check value E-016). A code that DMT lists
// means that timing; any other is worked out by formula: CVT if the range
// limits name it, else GTF, which is what a source of EDID 1.3 takes too. EDID
// 1.0 and 1.1 name no formula.
func (d *decoder) standardTiming(b0, b1 byte, gtfOnly bool) {
	if b0 <= 1 {
		return // 01 01 is "unused"; 00 is reserved and used in the same sense
	}
	code := fmt.Sprintf("%02X %02X", b0, b1)
	if id, ok := dmtByStandardCode[uint16(b0)<<8|uint16(b1)]; ok {
		f, _ := dmtFormat(id)
		d.addTiming(f.raster().timing(), OriginStandard, fmt.Sprintf("DMT 0x%02X", id))
		return
	}
	width := (int(b0) + 31) * 8
	ratio := [4][2]int{{16, 10}, {4, 3}, {5, 4}, {16, 9}}[b1>>6]
	if b1>>6 == 0 && d.minor < 3 && !gtfOnly {
		ratio = [2]int{1, 1} // before EDID 1.3
	}
	height, rate := width*ratio[1]/ratio[0], int(b1&0x3F)+60
	method := timing.GTF
	if d.takesCVT && !gtfOnly {
		method = timing.CVT
	}
	t := open(width, height, rate)
	if d.minor >= 2 || gtfOnly {
		t = computed(width, height, rate, method)
	}
	t.Aspect = ratioText(ratio[0], ratio[1])
	d.addTiming(t, OriginStandard, code)
}

// computed works a timing out by formula; without a clock if the formula does
// not reach it.
func computed(width, height, rate int, method timing.Method) Timing {
	c, ok := timing.Compute(width, height, float64(rate), method)
	if !ok {
		return open(width, height, rate)
	}
	r := raster{
		clockKHz: int(c.ClockMHz*1000 + 0.5),
		h:        span{c.HTotal - c.HFront - c.HSync - c.HBack, c.HFront, c.HSync, c.HBack, 0, c.HPositive},
		v:        span{height, c.VFront, c.VSync, c.VBack, 0, c.VPositive},
	}
	t := r.timing()
	t.Width, t.Aspect = width, ratioText(reduceRatio(width, height))
	return t
}

// open is a format of which only size and rate are known.
func open(width, height, rate int) Timing {
	return Timing{Width: width, Height: height, RefreshHz: float64(rate), Also: []string{},
		Aspect: ratioText(reduceRatio(width, height))}
}

func ratioText(a, b int) string { return fmt.Sprintf("%d:%d", a, b) }

// cvtCode reads a three-byte CVT code (descriptor F8): lines, aspect, and a bit
// for each rate.
func (d *decoder) cvtCode(x []byte) {
	height := ((int(x[0]) | int(x[1]&0xF0)<<4) + 1) * 2
	ratio := [4][2]int{{4, 3}, {16, 9}, {16, 10}, {15, 9}}[x[1]>>2&3]
	width := height * ratio[0] / ratio[1] / 8 * 8
	code := fmt.Sprintf("%02X %02X %02X", x[0], x[1], x[2])
	modes := []struct {
		bit    byte
		rate   int
		method timing.Method
	}{
		{0x10, 50, timing.CVT}, {0x08, 60, timing.CVT}, {0x04, 75, timing.CVT},
		{0x02, 85, timing.CVT}, {0x01, 60, timing.CVTRB},
	}
	for _, m := range modes {
		if x[2]&m.bit != 0 {
			t := computed(width, height, m.rate, m.method)
			t.Aspect = ratioText(ratio[0], ratio[1])
			d.addTiming(t, OriginCVTCode, code)
		}
	}
}
