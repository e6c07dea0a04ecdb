package edid

import "fmt"

// lowestClockKHz: a pixel clock below 10 MHz marks 18 bytes of something else
// that was left where a detailed timing belongs (as the reference tool does).
const lowestClockKHz = 10000

// detailedTiming reads 18 bytes as a detailed timing and lists it.
func (d *decoder) detailedTiming(x []byte) {
	d.detailed++
	r, sync, ok := d.detailedRaster(x)
	if !ok {
		d.problem("block %d has a detailed timing with a pixel clock of %.2f MHz: not a timing", d.block, float64(r.clockKHz)/1000)
		return
	}
	t := finished(r, x, sync)
	if r.h.active == 0 || r.h.blank() <= 0 || r.v.active == 0 || r.v.blank() <= 0 ||
		r.h.front <= 0 || r.h.sync == 0 || r.v.sync == 0 || r.v.front == 0 && !r.interlaced {
		d.problem("detailed timing %d (%s) has figures of 0 that cannot be", d.detailed, t.Label())
	}
	d.addTiming(t, OriginDetailed, fmt.Sprintf("detailed %d", d.detailed))
	if d.out.FirstTiming == nil {
		d.out.FirstTiming = copyOf(t, OriginDetailed, fmt.Sprintf("detailed %d", d.detailed))
	}
}

func copyOf(t Timing, origin Origin, code string) *Timing {
	t.Origin, t.Code, t.Also = origin, code, []string{}
	return &t
}

// detailedRaster unpacks the figures (check values E-020 to E-026), and names
// the sync kind where it is not separate digital sync. It says no where the
// pixel clock is too low to be one.
func (d *decoder) detailedRaster(x []byte) (raster, string, bool) {
	r := raster{clockKHz: le16(x) * 10}
	if r.clockKHz < lowestClockKHz {
		return r, "", false
	}
	// Blanking is taken to include both borders and the front porch to leave
	// them out: EDID 1.3 and 1.4 disagree and displays follow neither (E-025).
	r.h = span{active: int(x[2]) | int(x[4]&0xF0)<<4, border: int(x[15]),
		front: int(x[8]) | int(x[11]&0xC0)<<2, sync: int(x[9]) | int(x[11]&0x30)<<4}
	r.h.back = int(x[3]) | int(x[4]&0x0F)<<8 - 2*r.h.border - r.h.front - r.h.sync
	r.v = span{active: int(x[5]) | int(x[7]&0xF0)<<4, border: int(x[16]),
		front: int(x[10]>>4) | int(x[11]&0x0C)<<2, sync: int(x[10]&0x0F) | int(x[11]&0x03)<<4}
	r.v.back = int(x[6]) | int(x[7]&0x0F)<<8 - 2*r.v.border - r.v.front - r.v.sync
	flags := x[17]
	if flags&0x80 != 0 {
		r.interlaced = true
		r.v.active *= 2
		r.evenTotal = isVIC39(r, flags)
	}
	return r, syncKind(&r, flags), true
}

// isVIC39 tells the one interlaced format with whole fields by its figures: the
// 18 bytes themselves cannot say it.
func isVIC39(r raster, flags byte) bool {
	f, _ := vicFormat(39)
	want := f.raster()
	return flags&0x1E == 0x1A && r.clockKHz == want.clockKHz &&
		r.h.active == want.h.active && r.h.front == want.h.front && r.h.sync == want.h.sync && r.h.back == want.h.back &&
		r.v.active == want.v.active && r.v.front == want.v.front && r.v.sync == want.v.sync && r.v.back == want.v.back
}

// syncKind reads bits 4 to 1 of the flags, sets the polarities and names the
// kind of sync if it is another than separate digital.
func syncKind(r *raster, flags byte) string {
	switch flags >> 3 & 3 {
	case 0, 1:
		name := []string{"analogue composite", "bipolar analogue composite"}[flags>>3&1]
		if flags&0x04 != 0 {
			name += ", serrated"
		}
		if flags&0x02 == 0 {
			name += ", on green"
		}
		return name
	case 2:
		r.h.positive = flags&0x02 != 0
		if flags&0x04 != 0 {
			return "digital composite, serrated"
		}
		return "digital composite"
	}
	r.h.positive, r.v.positive = flags&0x02 != 0, flags&0x04 != 0
	return ""
}

// stereo reads bits 6, 5 and 0 of the flags; "" for an ordinary picture.
func stereo(flags byte) string {
	switch flags & 0x61 {
	case 0x20:
		return "field sequential, left first"
	case 0x40:
		return "field sequential, right first"
	case 0x21:
		return "interleaved, right on even lines"
	case 0x41:
		return "interleaved, left on even lines"
	case 0x60:
		return "four-way interleaved"
	case 0x61:
		return "side by side"
	}
	return ""
}

// finished is the timing with what the 18 bytes say beside the raster: image
// size (bytes 12 to 14, E-024), kind of sync, stereo layout.
func finished(r raster, x []byte, sync string) Timing {
	t := r.timing()
	t.ImageWidthMM = int(x[12]) | int(x[14]&0xF0)<<4
	t.ImageHeightMM = int(x[13]) | int(x[14]&0x0F)<<8
	t.Sync, t.Stereo = sync, stereo(x[17])
	return t
}
