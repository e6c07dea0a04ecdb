package edid

import "strings"

// baseDescriptor reads the 18 bytes at offset i of the base block.
func (d *decoder) baseDescriptor(b []byte, i int) {
	x := b[i : i+18]
	if d.panel {
		switch d.descriptor {
		case 2: // flags as in the first timing: these hold a revision number
			x = append(append([]byte{}, x[:17]...), b[i-1])
		case 4:
			return // electrical figures of the panel, not text
		}
	}
	d.eighteen(x)
}

// eighteen reads 18 bytes: a detailed timing, or a display descriptor with a
// tag (check values E-017 and E-032).
func (d *decoder) eighteen(x []byte) {
	if x[0] != 0 || x[1] != 0 {
		d.detailedTiming(x)
		return
	}
	switch x[3] {
	case 0xFF:
		d.setText(&d.out.SerialText, x[5:])
	case 0xFE:
		if s := text(x[5:]); s != "" {
			d.out.Texts = append(d.out.Texts, s)
		}
	case 0xFD:
		d.rangeLimits(x)
	case 0xFC:
		d.setText(&d.out.Name, x[5:])
		d.hasName = true
	case 0xFB:
		d.whitePoints(x)
	case 0xFA:
		for i := 5; i < 17; i += 2 {
			d.standardTiming(x[i], x[i+1], false)
		}
	case 0xF9:
		d.colorManagement(x)
	case 0xF8:
		for i := 6; i < 18; i += 3 {
			if x[i]|x[i+1]|x[i+2] != 0 {
				d.cvtCode(x[i : i+3])
			}
		}
	case 0xF7:
		d.establishedIII(x[6:12])
	}
}

// setText keeps the first text of its kind; a second one is free text.
func (d *decoder) setText(field *string, x []byte) {
	s := text(x)
	switch {
	case s == "":
		d.problem("a text descriptor is empty or begins with bytes that are not text")
	case *field == "":
		*field = s
	default:
		d.out.Texts = append(d.out.Texts, s)
	}
}

// text reads up to 13 bytes that end at a line feed or at the first byte that
// is not printable, without spaces at either end.
func text(x []byte) string {
	n := 0
	for n < len(x) && x[n] >= 0x20 && x[n] < 0x7F {
		n++
	}
	return strings.TrimSpace(string(x[:n]))
}

// whitePoints reads one or two further white points.
func (d *decoder) whitePoints(x []byte) {
	for i := 5; i <= 10; i += 5 {
		if i > 5 && x[i] == 0 {
			return
		}
		p := WhitePoint{Index: int(x[i]), White: Point{
			X: tenBits(x[i+2], x[i+1]>>2), Y: tenBits(x[i+3], x[i+1]),
		}}
		if x[i+4] != 0xFF {
			gamma := (float64(x[i+4]) + 100) / 100
			p.Gamma = &gamma
		}
		d.out.WhitePoints = append(d.out.WhitePoints, p)
	}
}

func (d *decoder) colorManagement(x []byte) {
	c := &ColorManaged{Version: int(x[5])}
	for i := range c.Coefficients {
		c.Coefficients[i] = float64(int16(le16(x[6+2*i:]))) / 100
	}
	d.out.ColorManagement = c
}
