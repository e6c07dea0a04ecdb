package edid

import (
	"fmt"

	"faultbook/diagnose/measure/timing"
)

// displayIDTimings reads the data blocks that list formats. The step is the
// size of one entry.
func (d *decoder) displayIDTimings(tag, revision byte, p []byte) {
	each := func(size int, read func(x []byte)) {
		for ; len(p) >= size; p = p[size:] {
			read(p[:size])
		}
	}
	switch tag {
	case 0x03:
		each(20, func(x []byte) { d.typeI(x, 10, revision&7, "I") })
	case 0x22:
		each(20+int(revision>>4&7), func(x []byte) { d.typeI(x, 1, revision&7, "VII") })
	case 0x04:
		each(11, d.typeII)
	case 0x05:
		each(3, d.typeIII)
	case 0x06, 0x23:
		d.typeIV(revision, p)
	case 0x07:
		d.typeBits(p, d.dmtBit)
	case 0x08:
		d.typeBits(p, d.vicBit)
	case 0x11:
		each(7, d.typeV)
	case 0x13:
		d.typeVI(p)
	case 0x24:
		each(6, d.typeIX)
	case 0x32:
		each(6+int(revision>>4&7), d.typeX)
	}
}

func (d *decoder) addDisplayID(t Timing, kind string, preferred bool) {
	t.Preferred = preferred
	d.addTiming(t, OriginDisplayID, "type "+kind)
}

// displayIDAspects are the aspect codes 0 to 7 of the detailed types.
var displayIDAspects = [...][2]int{
	{1, 1}, {5, 4}, {4, 3}, {15, 9}, {16, 9}, {16, 10}, {64, 27}, {256, 135},
}

// typeI reads a detailed timing of type I (clock in 10 kHz) or type VII (in
// 1 kHz): 20 bytes, every figure one less than its value. Bit 7 of the options
// means "preferred", or "4:2:0 too" from revision 2 on.
func (d *decoder) typeI(x []byte, step int, revision byte, kind string) {
	hBlank, vBlank := le16(x[6:])+1, le16(x[14:])+1
	r := raster{clockKHz: step * (le24(x) + 1), interlaced: x[3]&0x10 != 0}
	r.h = span{active: le16(x[4:]) + 1, front: le16(x[8:])&0x7FFF + 1, sync: le16(x[10:]) + 1, positive: x[9]&0x80 != 0}
	r.v = span{active: le16(x[12:]) + 1, front: le16(x[16:])&0x7FFF + 1, sync: le16(x[18:]) + 1, positive: x[17]&0x80 != 0}
	r.h.back = hBlank - r.h.front - r.h.sync
	r.v.back = vBlank - r.v.front - r.v.sync
	r.halve()
	if i := int(x[3] & 0x0F); i < len(displayIDAspects) {
		r.hRatio, r.vRatio = displayIDAspects[i][0], displayIDAspects[i][1]
	}
	t := r.timing()
	if revision >= 2 && x[3]&0x80 != 0 {
		t.Chroma420 = chromaAlso
	}
	d.addDisplayID(t, kind, revision < 2 && x[3]&0x80 != 0)
}

// halve turns the vertical blanking of a frame into that of a field.
func (r *raster) halve() {
	if r.interlaced {
		r.v.front, r.v.sync, r.v.back = r.v.front/2, r.v.sync/2, r.v.back/2
	}
}

// typeII reads the shorter detailed timing of 11 bytes: horizontal figures in
// cells of 8 pixels.
func (d *decoder) typeII(x []byte) {
	r := raster{clockKHz: 10 * (le24(x) + 1), interlaced: x[3]&0x10 != 0}
	hBlank, vBlank := 8+8*int(x[5]>>1), int(x[9])+1
	r.h = span{active: 8 + 8*(int(x[4])|int(x[5]&1)<<8), front: 8 + 8*int(x[6]>>4), sync: 8 + 8*int(x[6]&0x0F),
		positive: x[3]&0x08 != 0}
	r.v = span{active: 1 + (int(x[7]) | int(x[8]&0x0F)<<8), front: 1 + int(x[10]>>4), sync: 1 + int(x[10]&0x0F),
		positive: x[3]&0x04 != 0}
	r.h.back, r.v.back = hBlank-r.h.front-r.h.sync, vBlank-r.v.front-r.v.sync
	r.halve()
	d.addDisplayID(r.timing(), "II", x[3]&0x80 != 0)
}

// typeIII reads a short timing of 3 bytes, worked out by CVT.
func (d *decoder) typeIII(x []byte) {
	i := int(x[0] & 0x0F)
	if i >= len(displayIDAspects) {
		return
	}
	method := timing.CVT
	if x[0]>>4&7 == 1 {
		method = timing.CVTRB
	}
	ratio := displayIDAspects[i]
	width := 8 + 8*int(x[1])
	t := computed(width, width*ratio[1]/ratio[0], int(x[2]&0x7F)+1, method)
	t.Aspect = ratioText(ratio[0], ratio[1])
	d.addDisplayID(t, "III", x[0]&0x80 != 0)
}

// typeIV reads numbers of listed formats; the top bits of the revision byte say
// which list, bit 3 that they take two bytes (type VIII).
func (d *decoder) typeIV(revision byte, p []byte) {
	size := 1
	if revision&0x08 != 0 {
		size = 2
	}
	for ; len(p) >= size; p = p[size:] {
		code := int(p[0])
		if size == 2 {
			code = le16(p)
		}
		d.listed(revision>>6, code)
	}
}

// listed adds a format by list (0 DMT, 1 CTA-861, 2 HDMI) and number.
func (d *decoder) listed(list byte, code int) {
	switch list {
	case 0:
		d.addDMT(code, OriginDisplayID)
	case 1:
		if f, ok := vicFormat(code); ok {
			d.addTiming(f.raster().timing(), OriginDisplayID, vicCode(code))
		}
	case 2:
		if code >= 1 && code < len(hdmiVIC) {
			f, _ := vicFormat(hdmiVIC[code])
			d.addTiming(f.raster().timing(), OriginDisplayID, fmt.Sprintf("HDMI VIC %d", code))
		}
	}
}

// typeBits reads a block with a bit for each format, lowest bit first.
func (d *decoder) typeBits(p []byte, add func(i int)) {
	for i := 0; i < 8*len(p); i++ {
		if p[i/8]>>(i%8)&1 != 0 {
			add(i)
		}
	}
}

func (d *decoder) dmtBit(i int) { d.addDMT(i+1, OriginDisplayID) }
func (d *decoder) vicBit(i int) { d.listed(1, i+1) }

// typeV reads a short timing of 7 bytes: CVT with reduced blanking version 2.
func (d *decoder) typeV(x []byte) {
	t := computed(le16(x[2:])+1, le16(x[4:])+1, int(x[6])+1, timing.RBv2)
	d.addDisplayID(t, "V", x[0]&0x80 != 0)
}

// typeVI reads detailed timings of 14 bytes, 17 where bit 6 of the third byte
// says that an image size follows.
func (d *decoder) typeVI(p []byte) {
	for len(p) >= 14 {
		n := 14
		if p[2]&0x40 != 0 {
			n = 17
		}
		if n > len(p) {
			return
		}
		x := p[:n]
		p = p[n:]
		r := raster{clockKHz: (int(x[0]) | int(x[1])<<8 | int(x[2]&0x3F)<<16) + 1, interlaced: x[13]&0x80 != 0}
		r.h = span{active: le16(x[3:])&0x3FFF + 1, front: (int(x[8]) | int(x[9]&0xF0)<<4) + 1, sync: int(x[10]) + 1,
			positive: x[4]&0x80 != 0}
		r.v = span{active: le16(x[5:])&0x3FFF + 1, front: int(x[12]) + 1, sync: int(x[13]&0x0F) + 1,
			positive: x[6]&0x80 != 0}
		r.h.back = (int(x[7]) | int(x[9]&0x0F)<<8) + 1 - r.h.front - r.h.sync
		r.v.back = int(x[11]) + 1 - r.v.front - r.v.sync
		r.halve()
		d.addDisplayID(r.timing(), "VI", x[2]&0x80 != 0)
	}
}

// typeIX reads a formula timing of 6 bytes: size, rate, and which formula.
func (d *decoder) typeIX(x []byte) { d.formula(x, int(x[5])+1, "IX") }

// typeX is type IX with a rate of ten bits where the entry has a seventh byte.
func (d *decoder) typeX(x []byte) {
	rate := int(x[5]) + 1
	if len(x) > 6 {
		rate += int(x[6]&3) << 8
	}
	d.formula(x, rate, "X")
}

// formula adds a timing of type IX or X. Reduced blanking version 3 is listed
// without a clock: package timing does not have that formula.
func (d *decoder) formula(x []byte, rate int, kind string) {
	width, height := le16(x[1:])+1, le16(x[3:])+1
	var t Timing
	switch x[0] & 7 {
	case 1:
		t = computed(width, height, rate, timing.CVTRB)
	case 2:
		t = computed(width, height, rate, timing.RBv2)
	case 3:
		t = open(width, height, rate)
	default:
		t = computed(width, height, rate, timing.CVT)
	}
	if kind == "X" && x[0]&0x80 != 0 {
		t.Chroma420 = chromaAlso
	}
	d.addDisplayID(t, kind, false)
}

// carriedTiming reads a DisplayID timing block that stands in a CTA-861
// extension; its first payload byte is the revision byte.
func (d *decoder) carriedTiming(tag int, p []byte) {
	if len(p) < 2 {
		d.problem("block %d: a timing data block is empty", d.block)
		return
	}
	switch tag {
	case tagTypeVII:
		if len(p) >= 21 {
			d.typeI(p[1:21], 1, 2, "VII")
		}
	case tagTypeVIII:
		if p[0]>>6 == 0 {
			d.typeIV(p[0], p[1:])
		}
	case tagTypeX:
		d.displayIDTimings(0x32, p[0], p[1:])
	}
}
