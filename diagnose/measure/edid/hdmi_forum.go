package edid

// sinkCapability reads the HDMI Forum block in its extended form (0x79): two
// reserved bytes, then the same layout as the vendor block.
func (d *decoder) sinkCapability(p []byte) {
	if len(p) < 2 {
		d.problem("the HDMI Forum sink capability block is too short")
		return
	}
	d.forum(p[2:], true)
}

// forum reads the HDMI Forum block from its version byte on (check values E-050
// to E-052).
func (d *decoder) forum(p []byte, sink bool) {
	if d.out.ForumBlock != nil {
		d.problem("there are two HDMI Forum blocks; the first counts")
		return
	}
	f := &Forum{SinkCapability: sink, Deep420Bits: []int{}, DSCBits: []int{}}
	d.out.ForumBlock = f
	d.out.FRL = &f.FRL
	if len(p) < 4 {
		d.problem("the HDMI Forum block is too short")
	}
	full := make([]byte, 10)
	copy(full, p)
	f.Version = int(full[0])
	if mhz := int(full[1]) * 5; mhz > 0 {
		f.MaxTMDSMHz, d.out.MaxTMDSForumMHz = &mhz, &mhz
		if mhz <= 340 || mhz > 600 {
			d.problem("the HDMI Forum block states %d MHz; 345 to 600 are allowed", mhz)
		}
	}
	f.link(full[2], full[3])
	f.gaming(full[4], full[5], full[6])
	f.compression(full[7], full[8], full[9])
	if f.MaxTMDSMHz != nil && *f.MaxTMDSMHz > 340 && !f.SCDC {
		d.problem("the HDMI Forum block states %d MHz without SCDC: above 340 MHz no source can set the link up", *f.MaxTMDSMHz)
	}
}

func (f *Forum) link(a, b byte) {
	f.SCDC, f.ReadRequest = a&0x80 != 0, a&0x40 != 0
	f.CableStatus, f.BitsIndication = a&0x20 != 0, a&0x10 != 0
	f.ScrambleBelow, f.IndependentView = a&0x08 != 0, a&0x04 != 0
	f.DualView, f.OSDDisparity = a&0x02 != 0, a&0x01 != 0
	f.FRL, f.UHDVIC = int(b>>4), b&0x08 != 0
	for i, bits := range [...]int{10, 12, 16} {
		if b>>i&1 != 0 {
			f.Deep420Bits = append(f.Deep420Bits, bits)
		}
	}
}

func (f *Forum) gaming(flags, low, high byte) {
	f.MDelta, f.CinemaVRR, f.NegativeMVRR = flags&0x20 != 0, flags&0x10 != 0, flags&0x08 != 0
	f.FastVActive, f.LowLatency, f.FAPAInBlanking = flags&0x04 != 0, flags&0x02 != 0, flags&0x01 != 0
	f.VRRMinHz = int(low & 0x3F)
	f.VRRMaxHz = int(low&0xC0)<<2 | int(high)
}

func (f *Forum) compression(a, b, c byte) {
	f.DSC, f.DSC420, f.DSCAllBPP = a&0x80 != 0, a&0x40 != 0, a&0x08 != 0
	for i, bits := range [...]int{10, 12, 16} {
		if a>>i&1 != 0 {
			f.DSCBits = append(f.DSCBits, bits)
		}
	}
	f.DSCSlices, f.DSCFRL = int(b&0x0F), int(b>>4)
	if c&0x3F != 0 {
		f.DSCChunkBytes = 1024 * (1 + int(c&0x3F))
	}
}
