package edid

// displayID makes a DisplayID section of version 1.3 or 2.0 in an extension.
func (m *maker) displayID() []byte {
	version := []byte{0x12, 0x13, 0x20}[m.IntN(3)]
	kinds := []func() []byte{m.idTypeI, m.idTypeII, m.idTypeIII, m.idTypeIV, m.idBits, m.idTypeV, m.idTypeVI, m.idTiled, m.idText}
	tag := byte(0)
	if version == 0x20 {
		kinds = []func() []byte{m.idTypeVII, m.idTypeVIII, m.idTypeIX, m.idTypeX, m.idTiled, m.idCTA}
		tag = 0x20
	}
	m.Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
	blocks := m.idProduct(tag)
	blocks = append(blocks, m.idParameters(tag)...)
	for _, k := range kinds[:m.between(1, 4)] {
		if block := k(); len(blocks)+len(block) <= 121 {
			blocks = append(blocks, block...)
		}
	}
	b := append([]byte{version, byte(len(blocks)), byte(m.between(2, 4)), 0}, blocks...)
	sum := byte(0)
	for _, v := range b {
		sum -= v
	}
	return sealed(append([]byte{tagDisplayID}, append(b, sum)...))
}

func idBlock(tag, revision byte, p ...byte) []byte {
	return append([]byte{tag, revision, byte(len(p))}, p...)
}

func (m *maker) idProduct(tag byte) []byte {
	p := m.bytes(12)
	copy(p, []byte{'Z', 'Z', 'Q'})
	p[9] = byte(m.IntN(55))
	name := "unit 7"
	p[11] = byte(len(name))
	return idBlock(tag, 0, append(p, name...)...)
}

func (m *maker) idParameters(tag byte) []byte {
	if tag == 0x20 {
		p := m.bytes(29)
		p[27] &= 0x37
		return idBlock(0x21, byte(m.IntN(2))<<7, p...)
	}
	return idBlock(0x01, 0, m.bytes(12)...)
}

// displayIDDetailed makes the 20 bytes of a type I or VII timing.
func (m *maker) displayIDDetailed(preferred bool) []byte {
	put := func(v int) []byte { return []byte{byte(v - 1), byte((v - 1) >> 8)} }
	options := byte(m.IntN(9))
	if preferred {
		options |= 0x80
	}
	clock := m.between(5000, 300000)
	b := []byte{byte(clock), byte(clock >> 8), byte(clock >> 16), options}
	hFront, hSync, vFront, vSync := m.between(8, 200), m.between(8, 200), m.between(1, 40), m.between(1, 20)
	b = append(b, put(m.between(640, 8000))...)
	b = append(b, put(hFront+hSync+m.between(8, 300))...)
	b = append(b, put(hFront|m.IntN(2)<<15)...)
	b = append(b, put(hSync)...)
	b = append(b, put(m.between(480, 5000))...)
	b = append(b, put(vFront+vSync+m.between(1, 100))...)
	b = append(b, put(vFront|m.IntN(2)<<15)...)
	return append(b, put(vSync)...)
}

func (m *maker) idTypeI() []byte   { return idBlock(0x03, 1, m.displayIDDetailed(m.chance(50))...) }
func (m *maker) idTypeVII() []byte { return idBlock(0x22, 1, m.displayIDDetailed(m.chance(50))...) }

func (m *maker) idTypeII() []byte {
	p := m.bytes(11)
	p[2] &= 1
	p[3] &= 0x8F
	p[4] |= 0x40
	p[5] |= 0x80
	p[7], p[8] = m.byte()|0x80, 1
	p[9] |= 0x40
	return idBlock(0x04, 0, p...)
}

func (m *maker) idTypeIII() []byte {
	return idBlock(0x05, 1, byte(m.IntN(2))<<7|byte(m.IntN(2))<<4|byte(m.between(1, 5)), byte(m.between(150, 255)), byte(m.between(49, 84)))
}

func (m *maker) idTypeIV() []byte {
	return idBlock(0x06, byte(m.IntN(3))<<6, byte(m.between(1, 4)), byte(m.between(1, 4)))
}

func (m *maker) idTypeVIII() []byte {
	return idBlock(0x23, 0x40, byte(m.between(1, 127)), byte(m.between(1, 127)))
}

func (m *maker) idBits() []byte {
	if m.chance(50) {
		return idBlock(0x07, 0, m.bytes(10)...)
	}
	return idBlock(0x08, 0, m.bytes(8)...)
}

// formulaSize makes width and height less one, low byte first.
func (m *maker) formulaSize() []byte {
	w, h := m.between(100, 500)*8-1, m.between(680, 2200)-1
	return []byte{byte(w), byte(w >> 8), byte(h), byte(h >> 8)}
}

func (m *maker) idTypeV() []byte {
	p := append([]byte{byte(m.IntN(2)) << 7, 0}, m.formulaSize()...)
	return idBlock(0x11, 0, append(p, byte(m.between(23, 143)))...)
}

func (m *maker) idTypeVI() []byte {
	p := m.bytes(14)
	p[1] |= 0x80
	p[2] &= 0x83
	p[4], p[6] = p[4]&0x80|5, p[6]&0x80|3
	p[9] &= 0x0F
	p[7], p[8], p[9], p[10] = 200, 40, 0, 30
	p[11], p[12], p[13] = 60, 4, 5
	return idBlock(0x13, 0, p...)
}

func (m *maker) idTypeIX() []byte {
	p := append([]byte{byte(m.IntN(3))}, m.formulaSize()...)
	return idBlock(0x24, 0, append(p, byte(m.between(23, 143)))...)
}

func (m *maker) idTypeX() []byte {
	p := append([]byte{byte(m.IntN(3))}, m.formulaSize()...)
	return idBlock(0x32, 0x10, append(p, byte(m.between(23, 143)), 0)...)
}

func (m *maker) idTiled() []byte {
	p := m.bytes(22)
	p[0] &= 0x87
	p[8] = 0
	return idBlock(0x12, 0, p...)
}

func (m *maker) idText() []byte { return idBlock(0x0B, 0, m.text()...) }

func (m *maker) idCTA() []byte {
	var p []byte
	for _, block := range [][]byte{m.videoCapability(), m.colorimetryBlock(), m.video()} {
		if m.allowed(block) {
			p = append(p, block...)
		}
	}
	return idBlock(0x81, 0, p...)
}
