package edid

// cta makes a CTA-861 extension: data blocks in an order that suits HDMI, then
// detailed timings.
func (m *maker) cta() []byte {
	revision := byte(3)
	if m.chance(5) {
		revision = byte(m.between(1, 2))
	}
	b := []byte{tagCTA, revision, 4, m.byte()}
	if revision == 3 {
		for _, block := range m.dataBlocks() {
			if len(b)+len(block) <= 127 && m.allowed(block) {
				b = append(b, block...)
			}
		}
		b[2] = byte(len(b))
	} else if revision == 1 {
		b[3] = 0
	}
	for len(b)+18 <= 127 && m.chance(70) {
		b = append(b, m.detailed()...)
	}
	return sealed(b)
}

// dataBlocks makes data blocks of many kinds; the HDMI Forum block follows the
// HDMI block, and each kind but vendor blocks comes once.
func (m *maker) dataBlocks() [][]byte {
	kinds := []func() []byte{
		m.video, m.video, m.audio, m.speakerBlock, m.videoCapability, m.colorimetryBlock, m.hdrStatic, m.hdrDynamic,
		m.only420, m.map420, m.unknownVendor, m.vendorVideo, m.vendorAudio, m.roomBlock, m.infoFrameBlock,
		m.transferBlock, m.preference, m.nativeBlock, m.hdmiAudioBlock, m.places, m.typeVII, m.typeVIII, m.unknownTag,
	}
	m.Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
	var out [][]byte
	if !m.hdmi && m.chance(5) {
		out = append(out, data(extendedTag+0x78, byte(m.between(1, 3))))
	}
	if !m.hdmi && m.chance(70) {
		m.hdmi = true
		out = append(out, m.hdmiBlock())
		if m.chance(50) {
			out = append(out, m.forumBlock())
		}
	}
	for _, k := range kinds[:m.between(2, 9)] {
		out = append(out, k())
	}
	return out
}

// allowed says whether a block may stand here: most extended ones come once.
func (m *maker) allowed(block []byte) bool {
	key := block[0] >> 5
	if key == tagVideo || key == tagAudio || key == tagVendor {
		return true
	}
	if key == 7 {
		key = block[1] | 0x80
	}
	was := m.done[key]
	m.done[key] = true
	return !was
}

// data writes a data block.
func data(tag int, p ...byte) []byte {
	if tag >= extendedTag {
		p = append([]byte{byte(tag)}, p...)
		tag = 7
	}
	return append([]byte{byte(tag)<<5 | byte(len(p))}, p...)
}

// anyVIC is a code the tool knows, perhaps with the native flag.
func (m *maker) anyVIC() byte {
	if m.chance(10) {
		return byte(m.between(193, 219))
	}
	vic := byte(m.between(1, 127))
	if vic <= 64 && m.chance(15) {
		vic |= 0x80
	}
	return vic
}

func (m *maker) vics(n int) []byte {
	var out []byte
	seen := map[byte]bool{}
	for range n {
		v := m.anyVIC()
		key := v
		if v >= 129 && v <= 192 {
			key &= 0x7F
		}
		if !seen[key] {
			seen[key] = true
			out = append(out, v)
		}
	}
	return out
}

func (m *maker) video() []byte {
	p := m.vics(m.between(1, 20))
	if m.chance(10) {
		p = append(p, byte(m.between(220, 253))) // not known to anyone
	}
	return data(tagVideo, p...)
}

func (m *maker) only420() []byte { return data(tag420Video, m.vics(m.between(1, 6))...) }
func (m *maker) map420() []byte  { return data(tag420Map, m.bytes(m.between(0, 1))...) }

func (m *maker) audio() []byte {
	var p []byte
	for range m.between(1, 6) {
		code := m.between(1, 15)
		if m.chance(40) {
			code = audioLPCM
		}
		d := []byte{byte(code)<<3 | byte(m.IntN(8)), m.byte() & 0x7F, m.byte()}
		if code == audioLPCM {
			d[2] &= 7
		}
		if code == audioExtends {
			d[2] = []byte{4, 5, 6, 7, 8, 10, 11, 13, 15}[m.IntN(9)]<<3 | m.byte()&7
		}
		p = append(p, d...)
	}
	return data(tagAudio, p...)
}

func (m *maker) speakerBlock() []byte {
	return data(tagSpeakers, m.byte(), m.byte(), m.byte()&0x1F)
}

func (m *maker) videoCapability() []byte { return data(tagVideoCapability, m.byte()) }
func (m *maker) colorimetryBlock() []byte {
	return data(tagColorimetry, m.byte(), m.byte())
}

func (m *maker) hdrStatic() []byte {
	return data(tagHDRStatic, append([]byte{m.byte() & 0x0F, m.byte()}, m.bytes(m.IntN(4))...)...)
}

func (m *maker) hdrDynamic() []byte {
	var p []byte
	for range m.between(1, 3) {
		p = append(p, 3, byte(m.between(1, 4)), 0, m.byte())
	}
	return data(tagHDRDynamic, p...)
}

// unassigned is the start of a vendor number that the tool has no name for.
func (m *maker) unassigned() []byte { return []byte{m.byte(), m.byte(), 0xFE} }

func (m *maker) unknownVendor() []byte {
	return data(tagVendor, append(m.unassigned(), m.bytes(m.between(1, 12))...)...)
}
func (m *maker) vendorVideo() []byte {
	return data(tagVendorVideo, append(m.unassigned(), m.bytes(m.between(1, 10))...)...)
}
func (m *maker) vendorAudio() []byte {
	return data(tagVendorAudio, append(m.unassigned(), m.bytes(m.between(1, 10))...)...)
}

func (m *maker) roomBlock() []byte {
	p := []byte{m.byte(), m.byte(), m.byte(), m.byte() & 0x1F}
	if m.chance(50) {
		p = append(p, m.bytes(6)...)
	}
	return data(tagRoom, p...)
}

func (m *maker) places() []byte {
	var p []byte
	for range m.between(1, 3) {
		if m.chance(50) {
			p = append(p, m.byte()&0x3F, byte(m.IntN(28)))
		} else {
			p = append(p, append([]byte{m.byte()&0x3F | 0x40, byte(m.IntN(28))}, m.bytes(3)...)...)
		}
	}
	return data(tagSpeakerPlaces, p...)
}

func (m *maker) infoFrameBlock() []byte {
	p := []byte{0, byte(m.IntN(4))}
	for range m.between(1, 4) {
		if m.chance(30) {
			p = append(p, 1, m.byte(), m.byte(), m.byte())
		} else {
			p = append(p, byte(m.between(2, 6)))
		}
	}
	return data(tagInfoFrames, p...)
}

func (m *maker) transferBlock() []byte {
	return data(tagTransfer, m.bytes([]int{7, 15}[m.IntN(2)])...)
}

func (m *maker) preference() []byte {
	p := []byte{129} // the first detailed timing, which is always there
	for range m.between(0, 4) {
		p = append(p, byte(m.between(1, 127)))
	}
	return data(tagPreference, p...)
}

func (m *maker) nativeBlock() []byte {
	if m.chance(50) {
		return data(tagNativeFormat, byte(m.between(1, 127)))
	}
	return data(tagNativeFormat, byte(m.between(1, 127)), 0x81, m.byte(), byte(m.between(1, 8)), m.byte(), byte(m.between(1, 8)))
}

func (m *maker) hdmiAudioBlock() []byte {
	p := []byte{byte(m.IntN(8)), byte(m.between(2, 4))}
	for range m.between(1, 3) {
		p = append(p, audioLPCM, byte(m.IntN(32)), m.byte()&0x7F, m.byte()&7)
	}
	return data(tagHDMIAudio, append(p, m.byte(), m.byte(), m.byte()&0x1F, 0x10)...)
}

func (m *maker) unknownTag() []byte {
	return data(extendedTag+0x60, m.bytes(m.between(1, 6))...)
}

func (m *maker) typeVII() []byte {
	return data(tagTypeVII, append([]byte{2}, m.displayIDDetailed(false)...)...)
}

func (m *maker) typeVIII() []byte {
	return data(tagTypeVIII, 1, byte(m.between(1, 0x50)), byte(m.between(1, 0x50)))
}

func (m *maker) hdmiBlock() []byte {
	p := []byte{0x03, 0x0C, 0x00, m.byte(), m.byte(), m.byte() & 0xF9, byte(m.IntN(69))}
	switch n := m.IntN(4); n {
	case 0:
		return data(tagVendor, p[:5]...)
	case 1:
		return data(tagVendor, p...)
	}
	flags := m.byte() & 0xEF
	if flags&0x80 == 0 {
		flags &^= 0x40
	}
	p = append(p, flags)
	if flags&0x80 != 0 {
		p = append(p, m.latency(), m.latency())
		if flags&0x40 != 0 {
			p = append(p, m.latency(), m.latency())
		}
	}
	if flags&0x20 != 0 {
		formats := m.between(0, 4)
		p = append(p, m.byte()&0x98, byte(formats)<<5)
		for i := range formats {
			p = append(p, byte(i+1))
		}
	}
	return data(tagVendor, p...)
}

func (m *maker) latency() byte {
	return []byte{0, 255, byte(m.between(1, 251)), byte(m.between(1, 251))}[m.IntN(4)]
}

func (m *maker) forumBlock() []byte {
	p := []byte{1, byte([]int{0, 69, 118, 120}[m.IntN(4)]), m.byte(), byte(m.IntN(7))<<4 | m.byte()&0x0F}
	if m.chance(60) {
		p = append(p, m.bytes(3)...)
		if m.chance(60) {
			p = append(p, m.byte()&0xCF, byte(m.IntN(7))<<4|byte(m.IntN(8)), m.byte())
		}
	}
	if m.chance(50) {
		return data(tagSinkCapability, append([]byte{0, 0}, p...)...)
	}
	return data(tagVendor, append([]byte{0xD8, 0x5D, 0xC4}, p...)...)
}
