package edid

import "math"

// videoCapability reads extended tag 0 (check value E-064).
func (d *decoder) videoCapability(p []byte) {
	if len(p) == 0 {
		return
	}
	v := p[0]
	scan := func(bits byte, zero string) string {
		return [4]string{zero, "overscan", "underscan", "both"}[bits&3]
	}
	d.out.VideoCapability = &VideoCapability{
		YCCRangeSelectable: v&0x80 != 0, RGBRangeSelectable: v&0x40 != 0,
		PreferredScan: scan(v>>4, "no-data"), ITScan: scan(v>>2, "unsupported"), CEScan: scan(v, "unsupported"),
	}
}

var colorimetryNames = []string{
	"xvYCC601", "xvYCC709", "sYCC601", "opYCC601", "opRGB", "BT2020cYCC", "BT2020YCC", "BT2020RGB",
}

var colorimetryUpper = []string{"", "", "", "", "default", "sRGB", "ICtCp", "ST2113RGB"}

// colorimetry reads extended tag 5 (check value E-063).
func (d *decoder) colorimetry(p []byte) {
	if len(p) < 2 {
		return
	}
	d.out.Colorimetry = append(d.out.Colorimetry, bitNames(int(p[0]), colorimetryNames)...)
	for _, name := range bitNames(int(p[1]), colorimetryUpper) {
		if name != "" {
			d.out.Colorimetry = append(d.out.Colorimetry, name)
		}
	}
}

// hdrStatic reads extended tag 6 (check values E-055 and E-056).
func (d *decoder) hdrStatic(p []byte) {
	if len(p) < 2 {
		return
	}
	h := &HDR{EOTFs: bitNames(int(p[0]), []string{"sdr", "hdr-gamma", "pq", "hlg"}), MetadataTypes: []int{}}
	for i := 0; i < 8; i++ {
		if p[1]>>i&1 != 0 {
			h.MetadataTypes = append(h.MetadataTypes, i+1)
		}
	}
	if len(p) >= 3 {
		h.MaxNits = nits(50 * math.Pow(2, float64(p[2])/32))
	}
	if len(p) >= 4 {
		h.MaxFrameNits = nits(50 * math.Pow(2, float64(p[3])/32))
	}
	if len(p) >= 5 {
		part := float64(p[4]) / 255
		h.MinNits = nits(50 * math.Pow(2, float64(p[2])/32) * part * part / 100)
	}
	d.out.HDR = h
}

func nits(v float64) *float64 {
	v = round(v, 9)
	return &v
}

// hdrDynamic reads extended tag 7: entries of a length byte, a two-byte type
// and, for the longer ones, a version.
func (d *decoder) hdrDynamic(p []byte) {
	for len(p) >= 3 {
		n := int(p[0])
		if n+1 > len(p) {
			return
		}
		e := DynamicHDR{Type: le16(p[1:]), Version: -1}
		if n > 2 && (e.Type == 1 || e.Type == 2 || e.Type == 4) {
			e.Version = int(p[3] & 0x0F)
		}
		d.out.HDRDynamic = append(d.out.HDRDynamic, e)
		p = p[n+1:]
	}
}

// infoFrames reads extended tag 0x20.
func (d *decoder) infoFrames(p []byte) {
	if len(p) < 2 {
		return
	}
	skip := int(p[0]>>5) + 2
	if len(p) < skip {
		return
	}
	for p = p[skip:]; len(p) > 0; {
		n := int(p[0] >> 5)
		f := InfoFrame{Type: int(p[0] & 0x1F)}
		p = p[1:]
		if f.Type == 1 && len(p) >= 3 {
			f.OUI, p = oui(p)
		}
		d.out.InfoFrames = append(d.out.InfoFrames, f)
		p = p[min(n, len(p)):]
	}
}

// transfer reads a VESA display transfer characteristic (tag 5): a start value
// and steps, of which the running sum counts.
func (d *decoder) transfer(p []byte) {
	if len(p) != 7 && len(p) != 15 && len(p) != 31 {
		d.problem("block %d: a transfer characteristic of %d bytes", d.block, len(p))
		return
	}
	c := TransferCurve{Channel: [4]string{"white", "red", "green", "blue"}[p[0]>>6]}
	level := int(p[0] & 0x3F)
	c.Steps = append(c.Steps, level)
	for _, step := range p[1:] {
		level += int(step)
		c.Steps = append(c.Steps, level)
	}
	d.out.TransferCurves = append(d.out.TransferCurves, c)
}
