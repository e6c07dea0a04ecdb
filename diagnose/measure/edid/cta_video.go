package edid

import "fmt"

const (
	chromaAlso = "also"
	chromaOnly = "only"
)

// shortVideo reads a short video descriptor (check value E-044): codes 1 to 64
// may carry the native flag in bit 7, the rest are codes as they stand. 0 means
// reserved.
func shortVideo(v byte) (vic int, native bool) {
	switch {
	case v >= 1 && v <= 127, v >= 193 && v <= 253:
		return int(v), false
	case v >= 129 && v <= 192:
		return int(v & 0x7F), true
	}
	return 0, false
}

func vicCode(vic int) string { return fmt.Sprintf("VIC %d", vic) }

// video reads the list of video formats. A list that a DisplayID section carries
// does not count for the 4:2:0 map of the CTA-861 extension.
func (d *decoder) video(p []byte) {
	for _, v := range p {
		if !d.inDisplayID {
			d.svds = append(d.svds, v)
		}
		vic, native := shortVideo(v)
		if vic == 0 {
			if v >= 254 {
				d.problem("block %d: the video format code %d is reserved", d.block, v)
			}
			continue
		}
		d.out.VICs = append(d.out.VICs, vic)
		if native {
			d.out.VICsNative = append(d.out.VICsNative, vic)
		}
		if f, ok := vicFormat(vic); ok {
			t := f.raster().timing()
			t.Native = native
			d.addTiming(t, OriginVIC, vicCode(vic))
		} else {
			d.problem("block %d: video format %d is not known", d.block, vic)
		}
	}
}

// video420 reads the list of formats that work in 4:2:0 only (E-053).
func (d *decoder) video420(p []byte) {
	for _, v := range p {
		vic, _ := shortVideo(v)
		if vic == 0 {
			continue
		}
		d.out.VICs420Only = append(d.out.VICs420Only, vic)
		if f, ok := vicFormat(vic); ok {
			t := f.raster().timing()
			t.Chroma420 = chromaOnly
			d.addTiming(t, OriginVIC, vicCode(vic))
		}
	}
}

// resolve420 applies the capability maps to the list of formats: bit n stands
// for the n-th descriptor of all video blocks, an empty map for every one
// (check value E-054).
func (d *decoder) resolve420() {
	taken := map[int]bool{}
	for _, m := range d.maps {
		for i, v := range d.svds {
			inMap := len(m) == 0 || i/8 < len(m) && m[i/8]>>(i%8)&1 != 0
			vic, _ := shortVideo(v)
			if !inMap || vic == 0 || taken[vic] {
				continue
			}
			taken[vic] = true
			d.out.VICs420Also = append(d.out.VICs420Also, vic)
			d.mark420(vic)
		}
		for i := len(d.svds); i < 8*len(m); i++ {
			if m[i/8]>>(i%8)&1 != 0 {
				d.problem("the 4:2:0 map names format %d of a list of %d", i+1, len(d.svds))
				break
			}
		}
	}
}

func (d *decoder) mark420(vic int) {
	if f, ok := vicFormat(vic); ok {
		if at, ok := d.seen[keyOf(f.raster().timing())]; ok {
			d.out.Timings[at].Chroma420 = chromaAlso
		}
	}
}

// reference names what a short video reference points at (from memory,
// CTA-861-H §7.5.12).
func reference(v byte) string {
	n := int(v)
	switch {
	case n >= 1 && n <= 127, n >= 193 && n <= 253:
		return vicCode(n)
	case n >= 129 && n <= 144:
		return fmt.Sprintf("detailed %d", n-128)
	case n >= 145 && n <= 160:
		return fmt.Sprintf("video timing %d", n-144)
	case n >= 161 && n <= 175:
		return fmt.Sprintf("video format rate %d", n-160)
	case n == 254:
		return "type VIII timing"
	}
	return fmt.Sprintf("reserved %d", n)
}

// formatRates are the picture rates of a video format descriptor, in Hz, by
// rate index 1 to 15 (from memory, CTA-861.6).
var formatRates = [...]int{24, 25, 30, 48, 50, 60, 100, 120, 144, 200, 240, 300, 360, 400, 480}

// videoFormat reads a video format data block: a flags byte that gives the
// descriptor length, then descriptors of resolution id and rates.
func (d *decoder) videoFormat(p []byte) {
	if len(p) == 0 {
		return
	}
	size := int(p[0]&3) + 1
	for x := p[1:]; len(x) >= size; x = x[size:] {
		rid := int(x[0] & 0x3F)
		if rid == 0 || rid >= len(ridSizes) {
			d.problem("block %d: the resolution id %d is not known", d.block, rid)
			continue
		}
		f := VideoFormat{RID: rid, Width: ridSizes[rid].width, Height: ridSizes[rid].height, RatesHz: []int{}}
		for _, rate := range formatRates {
			if hasRate(x[:size], rate) {
				f.RatesHz = append(f.RatesHz, rate)
				t := open(f.Width, f.Height, rate)
				t.Aspect = ratioText(ridSizes[rid].hRatio, ridSizes[rid].vRatio)
				d.addTiming(t, OriginVideoFormat, fmt.Sprintf("RID %d", rid))
			}
		}
		d.out.VideoFormats = append(d.out.VideoFormats, f)
	}
}

// hasRate says whether a descriptor of 1 to 4 bytes allows a rate: 24, 48 and
// 144 Hz have a bit each; the others are a base rate of 25 or 30 Hz times a
// factor. A one-byte descriptor means factors 1 and 2 of the 30 Hz family.
func hasRate(x []byte, rate int) bool {
	family30, fr144, factors, fr48 := true, false, 3, false
	if len(x) > 1 {
		family30, fr144, factors = x[1]&0x80 != 0, x[1]&0x40 != 0, int(x[1]&0x3F)
	}
	if len(x) > 2 {
		fr48 = x[2]&1 != 0
	}
	switch rate {
	case 24:
		return x[0]&0x40 != 0
	case 48:
		return fr48
	case 144:
		return fr144
	}
	base, allowed := 25, x[0]&0x80 != 0
	if rate%30 == 0 {
		base, allowed = 30, family30
	}
	// A rate of both families (300) needs both, as the reference tool reads it.
	if rate%30 == 0 && rate%25 == 0 {
		base, allowed = 25, family30 && x[0]&0x80 != 0
	}
	for i, factor := range [...]int{1, 2, 4, 8, 12, 16} {
		if factor*base == rate && factors>>i&1 != 0 {
			return allowed
		}
	}
	return false
}

// nativeFormat reads the native video resolution block: a reference and,
// if flagged, the image size in mm or in tenths.
func (d *decoder) nativeFormat(p []byte) {
	if len(p) == 0 {
		return
	}
	n := &NativeFormat{Format: reference(p[0])}
	if len(p) >= 6 && p[1]&1 != 0 {
		scale := 10.0
		if p[1]&0x80 != 0 {
			scale = 1
		}
		n.ImageWidthMM = float64(le16(p[2:])) / scale
		n.ImageHeightMM = float64(le16(p[4:])) / scale
	}
	d.out.NativeFormat = n
}
