package edid

import (
	"math/rand/v2"
)

// maker makes EDIDs from a seed: well formed, with every data block that the
// package decodes, and figures within what each field may hold.
type maker struct {
	*rand.Rand
	minor int
	hdmi  bool
	// done are the tags of data blocks that may stand only once in an EDID.
	done map[byte]bool
}

func newMaker(seed uint64) *maker {
	return &maker{Rand: rand.New(rand.NewPCG(seed, 20220315)), done: map[byte]bool{}}
}

func (m *maker) chance(percent int) bool { return m.IntN(100) < percent }
func (m *maker) byte() byte              { return byte(m.IntN(256)) }
func (m *maker) between(a, b int) int    { return a + m.IntN(b-a+1) }

func (m *maker) bytes(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = m.byte()
	}
	return b
}

// edid makes a base block with up to three extensions.
func (m *maker) edid() []byte {
	m.minor = []int{0, 1, 2, 3, 3, 3, 3, 4, 4, 4, 4, 4}[m.IntN(12)]
	var extensions [][]byte
	if m.minor >= 3 {
		for _, e := range []struct {
			percent int
			make    func() []byte
		}{{80, m.cta}, {20, m.displayID}, {15, m.cta}, {8, m.videoTiming}, {4, m.otherBlock}} {
			if m.chance(e.percent) {
				extensions = append(extensions, e.make())
			}
		}
	}
	if len(extensions) > 1 && m.chance(30) {
		extensions = append([][]byte{blockMapOf(extensions)}, extensions...)
	}
	data := m.base(len(extensions))
	for _, e := range extensions {
		data = append(data, e...)
	}
	if m.chance(3) { // a wrong checksum
		data[m.IntN(len(data)/128)*128+127] ^= 0x10
	}
	return data
}

func sealed(b []byte) []byte {
	full := make([]byte, 128)
	copy(full, b)
	full[127] = 0
	for _, v := range full[:127] {
		full[127] -= v
	}
	return full
}

func blockMapOf(extensions [][]byte) []byte {
	b := []byte{tagBlockMap}
	for _, e := range extensions {
		b = append(b, e[0])
	}
	return sealed(b)
}

func (m *maker) otherBlock() []byte { return sealed(append([]byte{0x5A}, m.bytes(20)...)) }

func (m *maker) base(extensions int) []byte {
	b := make([]byte, 0x36, 128)
	copy(b, header[:])
	code := m.IntN(26)<<10 | m.IntN(26)<<5 | m.IntN(26) + 0x421
	b[8], b[9] = byte(code>>8), byte(code)
	copy(b[10:], m.bytes(6))
	if m.chance(30) {
		copy(b[12:16], []byte{0, 0, 0, 0})
	}
	b[16], b[17] = byte(m.IntN(54)), byte(m.between(0, 36))
	if m.minor >= 4 && m.chance(30) {
		b[16] = 0xFF
	}
	b[18], b[19] = 1, byte(m.minor)
	b[0x14] = m.inputByte()
	b[0x15], b[0x16] = m.byte(), m.byte()
	if m.chance(20) {
		b[0x15+m.IntN(2)] = 0
	}
	b[0x17] = m.byte()
	b[0x18] = m.byte()
	copy(b[0x19:], m.bytes(10))
	for i := 0x23; i < 0x26; i++ {
		some, others := m.byte(), m.byte()
		b[i] = some & others // few of the formats
	}
	b[0x25] &= 0x80
	for i := 0x26; i < 0x36; i += 2 {
		copy(b[i:], m.standard())
	}
	b = append(b, m.descriptors()...)
	b = append(b, byte(extensions))
	return sealed(b)
}

func (m *maker) inputByte() byte {
	if m.chance(15) {
		return m.byte() & 0x7F
	}
	switch {
	case m.minor >= 4:
		return 0x80 | byte(m.IntN(7))<<4 | byte(m.IntN(6))
	case m.minor >= 2:
		return 0x80 | byte(m.IntN(2))
	}
	return 0x80
}

// standard makes a standard timing: unused, one that DMT lists, or one to be
// computed (of enough lines for CVT 1.1 and 1.2 to agree).
func (m *maker) standard() []byte {
	switch {
	case m.chance(40):
		return []byte{1, 1}
	case m.chance(50):
		codes := []int{0x3140, 0x4540, 0x6140, 0x8180, 0x8100, 0x9500, 0xA940, 0xB300, 0xD100, 0xD1C0, 0xE1C0, 0x714F}
		c := codes[m.IntN(len(codes))]
		return []byte{byte(c >> 8), byte(c)}
	}
	return []byte{byte(m.between(0x80, 0xFF)), m.byte()}
}

// descriptors makes the four descriptors, timings first.
func (m *maker) descriptors() []byte {
	var out []byte
	timings := m.between(1, 2)
	for range timings {
		out = append(out, m.detailed()...)
	}
	kinds := []func() []byte{m.name, m.rangeLimits, m.serial, m.freeText, m.freeText}
	if m.minor >= 4 {
		kinds = append(kinds, m.establishedIII, m.cvtCodes)
	}
	kinds = append(kinds, m.moreStandard, m.colorPoints, m.colorManagement, dummy)
	m.Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
	for _, k := range kinds[:4-timings] {
		out = append(out, k()...)
	}
	return out
}

func descriptor(tag byte, rest ...byte) []byte {
	b := make([]byte, 18)
	b[3] = tag
	copy(b[5:], rest)
	return b
}

func dummy() []byte { return descriptor(0x10) }

// text makes a text of 1 to 13 letters, ended and padded as it should be.
func (m *maker) text() []byte {
	const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-./()+"
	n := m.between(1, 13)
	b := make([]byte, 0, 13)
	for range n {
		b = append(b, letters[m.IntN(len(letters))])
	}
	if n > 4 && m.chance(40) {
		b[n-2] = ' '
	}
	if n > 2 && m.chance(10) {
		b[n-1] = ' '
	}
	if n < 13 {
		b = append(b, '\n')
	}
	for len(b) < 13 {
		b = append(b, ' ')
	}
	return b
}

func (m *maker) name() []byte     { return descriptor(0xFC, m.text()...) }
func (m *maker) serial() []byte   { return descriptor(0xFF, m.text()...) }
func (m *maker) freeText() []byte { return descriptor(0xFE, m.text()...) }

func (m *maker) moreStandard() []byte {
	var b []byte
	for range 6 {
		b = append(b, m.standard()...)
	}
	return descriptor(0xFA, append(b, 0x0A)...)
}

func (m *maker) colorPoints() []byte {
	b := m.bytes(10)
	b[0] = 1
	b[5] = byte(m.IntN(3))
	return descriptor(0xFB, b...)
}

func (m *maker) colorManagement() []byte { return descriptor(0xF9, m.bytes(13)...) }

func (m *maker) establishedIII() []byte {
	b := append([]byte{0x0A}, m.bytes(6)...)
	b[6] &= 0xF0
	return descriptor(0xF7, b...)
}

func (m *maker) cvtCodes() []byte {
	b := []byte{1}
	for range 4 {
		lines := m.between(340, 1200) // half the height, less one
		b = append(b, byte(lines), byte(lines>>8)<<4|byte(m.IntN(4))<<2, byte(m.between(1, 31))|0x08|0x20)
	}
	return descriptor(0xF8, b...)
}

func (m *maker) rangeLimits() []byte {
	b := descriptor(0xFD)
	if m.minor >= 4 && m.chance(20) {
		b[4] = byte(m.IntN(16))
	}
	b[5], b[6] = byte(m.between(1, 60)), byte(m.between(60, 255))
	b[7], b[8] = byte(m.between(1, 60)), byte(m.between(60, 255))
	b[9] = m.byte()
	kinds := []byte{0, 2}
	if m.minor >= 4 {
		kinds = []byte{0, 1, 2, 4, 4}
	}
	b[10] = kinds[m.IntN(len(kinds))]
	switch b[10] {
	case 2:
		copy(b[12:], m.bytes(6))
		b[12] |= 1
	case 4:
		copy(b[11:], []byte{0x11, m.byte(), m.byte(), m.byte() & 0xF8, byte(m.IntN(5))<<5 | m.byte()&0x18, m.byte() & 0xF0, m.byte()})
		if b[9] == 0 {
			b[9] = 1
		}
		b[12] &= 0x9F // no more than the stated clock is taken off
		if b[9] < 3 {
			b[12] &= 3
		}
	default:
		copy(b[11:], "\n      ")
	}
	return b
}

// detailed makes a detailed timing: a listed format or free figures.
func (m *maker) detailed() []byte {
	r := raster{
		clockKHz: m.between(1000, 65535) * 10,
		h:        span{active: m.between(200, 4095), front: m.between(1, 300), sync: m.between(1, 300), back: m.between(1, 1000)},
		v:        span{active: m.between(200, 4095), front: m.between(1, 60), sync: m.between(1, 60), back: m.between(1, 500)},
	}
	if m.chance(50) {
		// 97 and below fit twelve bits of width; 39 cannot be told by its 18 bytes.
		vic := m.between(1, 97)
		if vic == 39 {
			vic = 16
		}
		f, _ := vicFormat(vic)
		r = f.raster()
		if r.interlaced {
			r.v.active /= 2
		}
	} else if m.chance(10) {
		r.h.border, r.v.border = m.between(0, 20), m.between(0, 20)
	}
	flags := m.byte() & 0x7F
	if m.chance(70) {
		flags = 0x18 | m.byte()&0x06
	}
	if r.interlaced || r.v.border == 0 && m.chance(10) {
		flags |= 0x80
	}
	return packed(r, m.between(0, 1500), m.between(0, 1000), flags)
}

// packed writes 18 bytes (check values E-020 to E-026). v.active is a field's.
func packed(r raster, width, height int, flags byte) []byte {
	hBlank, vBlank := r.h.blank(), r.v.blank()
	b := make([]byte, 18)
	b[0], b[1] = byte(r.clockKHz/10), byte(r.clockKHz/10>>8)
	b[2], b[3], b[4] = byte(r.h.active), byte(hBlank), byte(r.h.active>>8)<<4|byte(hBlank>>8)&0x0F
	b[5], b[6], b[7] = byte(r.v.active), byte(vBlank), byte(r.v.active>>8)<<4|byte(vBlank>>8)&0x0F
	b[8], b[9] = byte(r.h.front), byte(r.h.sync)
	b[10] = byte(r.v.front)<<4 | byte(r.v.sync)&0x0F
	b[11] = byte(r.h.front>>8)<<6 | byte(r.h.sync>>8)&3<<4 | byte(r.v.front>>4)&3<<2 | byte(r.v.sync>>4)&3
	b[12], b[13], b[14] = byte(width), byte(height), byte(width>>8)<<4|byte(height>>8)&0x0F
	b[15], b[16], b[17] = byte(r.h.border), byte(r.v.border), flags
	return b
}

func (m *maker) videoTiming() []byte {
	b := []byte{tagVideoTiming, 1, byte(m.between(0, 2)), byte(m.between(0, 3)), byte(m.between(0, 6))}
	for range b[2] {
		b = append(b, m.detailed()...)
	}
	for range b[3] {
		b = append(b, m.cvtCodes()[6:9]...)
	}
	for range b[4] {
		b = append(b, m.standard()...)
	}
	return sealed(b)
}
