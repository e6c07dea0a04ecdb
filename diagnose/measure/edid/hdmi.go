package edid

import "fmt"

// reader hands out the bytes of a payload one by one; past the end it gives 0
// and remembers that it did.
type reader struct {
	rest  []byte
	short bool
}

func (r *reader) next() byte {
	if len(r.rest) == 0 {
		r.short = true
		return 0
	}
	b := r.rest[0]
	r.rest = r.rest[1:]
	return b
}

// hdmi reads the vendor block 00-0C-03 (check values E-045 to E-048), its
// payload after the vendor number. Without this block a source sends DVI
// (E-067).
func (d *decoder) hdmi(p []byte) {
	d.out.HDMI = true
	h := &HDMI{DeepColorBits: []int{}, ContentTypes: []string{}, VICs: []int{},
		ThreeDAll: []string{}, ThreeDVICs: []int{}, ThreeDSingles: []ThreeDMode{}}
	if d.out.HDMIBlock != nil {
		d.problem("there are two HDMI blocks; the first counts")
		return
	}
	d.out.HDMIBlock = h
	if len(p) < 2 {
		d.problem("the HDMI block is too short for a physical address")
		return
	}
	h.PhysicalAddress = fmt.Sprintf("%x.%x.%x.%x", p[0]>>4, p[0]&0x0F, p[1]>>4, p[1]&0x0F)
	d.out.PhysicalAddress = &h.PhysicalAddress
	if len(p) > 2 {
		h.flags(p[2])
	}
	if len(p) > 3 {
		mhz := int(p[3]) * 5
		h.MaxTMDSMHz, d.out.MaxTMDSMHz = &mhz, &mhz
		if mhz > 340 {
			d.problem("the HDMI block states %d MHz, more than the 340 MHz it may", mhz)
		}
	}
	if len(p) <= 4 {
		return
	}
	h.ContentTypes = bitNames(int(p[4]), []string{"graphics", "photo", "cinema", "game"})
	r := &reader{rest: p[5:]}
	h.latencies(p[4], r)
	if p[4]&0x20 != 0 {
		d.hdmiVideo(h, r)
	}
	if r.short {
		d.problem("the HDMI block is shorter than its flags say")
	}
}

func (h *HDMI) flags(v byte) {
	h.SupportsAI = v&0x80 != 0
	for _, deep := range []struct {
		bit  byte
		bits int
	}{{0x10, 30}, {0x20, 36}, {0x40, 48}} {
		if v&deep.bit != 0 {
			h.DeepColorBits = append(h.DeepColorBits, deep.bits)
		}
	}
	h.DeepColor444, h.DualLinkDVI = v&0x08 != 0, v&0x01 != 0
}

// latencies reads the one or two pairs that the flags announce.
func (h *HDMI) latencies(flags byte, r *reader) {
	if flags&0x80 == 0 {
		return
	}
	h.VideoLatencyMS, h.AudioLatencyMS = latency(r.next()), latency(r.next())
	if flags&0x40 != 0 {
		h.InterlacedVideoLatencyMS, h.InterlacedAudioLatencyMS = latency(r.next()), latency(r.next())
	}
}

// latency is (value - 1) x 2 ms (check value E-048); nil if unknown, -1 if that
// signal is not supported.
func latency(v byte) *int {
	ms := (int(v) - 1) * 2
	switch {
	case v == 0 || v > 251 && v < 255:
		return nil
	case v == 255:
		ms = -1
	}
	return &ms
}

// hdmiVideo reads the part with 3D flags and the four UHD formats of HDMI 1.4.
func (d *decoder) hdmiVideo(h *HDMI, r *reader) {
	flags := r.next()
	h.ThreeD = flags&0x80 != 0
	h.ImageSize = [4]string{"", "aspect", "1 cm", "5 cm"}[flags>>3&3]
	lengths := r.next()
	for n := int(lengths >> 5); n > 0; n-- {
		vic := int(r.next())
		if r.short {
			return
		}
		if vic == 0 || vic >= len(hdmiVIC) {
			d.problem("the HDMI format number %d is not known", vic)
			continue
		}
		h.VICs = append(h.VICs, vic)
		d.out.HDMIVICs = append(d.out.HDMIVICs, vic)
		f, _ := vicFormat(hdmiVIC[vic])
		d.addTiming(f.raster().timing(), OriginHDMIVIC, fmt.Sprintf("HDMI VIC %d", vic))
	}
	three := r.rest[:min(int(lengths&0x1F), len(r.rest))]
	if len(three) < int(lengths&0x1F) {
		r.short = true
	}
	d.threeD(h, flags>>5&3, three)
}

var threeDStructures = []string{
	"frame packing", "field alternative", "line alternative", "side by side (full)", "L + depth",
	"L + depth + graphics", "top and bottom", "", "side by side (half, horizontal)",
	"", "", "", "", "", "", "side by side (half, quincunx)",
}

// threeD reads structures for all formats (kind 1), also a mask of formats
// (kind 2), and then formats one by one.
func (d *decoder) threeD(h *HDMI, kind byte, p []byte) {
	if (kind == 1 || kind == 2) && len(p) >= 2 {
		for _, name := range bitNames(int(p[0])<<8|int(p[1]), threeDStructures) {
			if name != "" {
				h.ThreeDAll = append(h.ThreeDAll, name)
			}
		}
		p = p[2:]
	}
	if kind == 2 && len(p) >= 2 {
		mask := int(p[0])<<8 | int(p[1])
		for i := 0; i < 16; i++ {
			if mask>>i&1 != 0 {
				h.ThreeDVICs = append(h.ThreeDVICs, d.vicAt(i))
			}
		}
		p = p[2:]
	}
	for len(p) > 0 {
		m := ThreeDMode{VIC: d.vicAt(int(p[0] >> 4)), Structure: fmt.Sprintf("structure %d", p[0]&0x0F)}
		if name := threeDStructures[p[0]&0x0F]; name != "" && p[0]&0x0F < 8 {
			m.Structure = name
		}
		n := 1
		if p[0]&0x0F >= 8 {
			n = 2 // a detail byte follows
			if p[0]&0x0F == 8 {
				m.Structure = "side by side (half)"
			}
		}
		h.ThreeDSingles = append(h.ThreeDSingles, m)
		p = p[min(n, len(p)):]
	}
}

// vicAt is the i-th format of the video block, 0 if there is none.
func (d *decoder) vicAt(i int) int {
	if i >= len(d.svds) {
		return 0
	}
	vic, _ := shortVideo(d.svds[i])
	return vic
}
