package edid

import "fmt"

// base reads block 0 (check values E-004 to E-018).
func (d *decoder) base(b []byte) {
	o := d.out
	if score := headerScore(b); score < len(header) {
		d.problem("%d of the 8 header bytes are wrong: many sources refuse this EDID", len(header)-score)
	}
	o.Version = fmt.Sprintf("%d.%d", b[0x12], b[0x13])
	if b[0x12] == 1 {
		d.minor = int(b[0x13])
	} else {
		d.problem("EDID version %s is unknown", o.Version)
	}
	d.identity(b)
	d.input(b[0x14])
	d.imageSize(int(b[0x15]), int(b[0x16]))
	if b[0x17] != 0xFF {
		gamma := (float64(b[0x17]) + 100) / 100
		o.Gamma = &gamma
	}
	d.features(b[0x18])
	o.Chromaticity = chromaticity(b[0x19:0x23])

	d.panel = isPanelLayout(b)
	d.preRange(b)
	for i := 0x36; i+18 <= 0x7E && i+18 <= d.available; i += 18 {
		d.descriptor++
		d.baseDescriptor(b, i)
	}
	d.firstInBase = o.FirstTiming != nil
	d.established(b[0x23:0x26])
	for i := 0x26; i < 0x36; i += 2 {
		d.standardTiming(b[i], b[i+1], false)
	}
}

// identity reads maker, product, serial number and date (E-004 to E-008).
func (d *decoder) identity(b []byte) {
	o := d.out
	o.Maker = makerCode(b[8], b[9])
	for _, letter := range o.Maker {
		if letter < 'A' || letter > 'Z' {
			d.problem("the maker code %q is not three letters", o.Maker)
			break
		}
	}
	o.Product = le16(b[0x0A:])
	if serial := uint32(le16(b[0x0C:])) | uint32(le16(b[0x0E:]))<<16; serial != 0 {
		o.SerialNumber = &serial
	}
	o.MadeYear = 1990 + int(b[0x11])
	switch week := int(b[0x10]); {
	case week == 0xFF:
		o.YearIsModel = true
	default:
		o.MadeWeek = week
	}
}

// makerCode unpacks three letters of 5 bits, A = 1 (E-004).
func makerCode(high, low byte) string {
	v := int(high)<<8 | int(low)
	return string([]byte{'@' + byte(v>>10&0x1F), '@' + byte(v>>5&0x1F), '@' + byte(v&0x1F)})
}

// input reads byte 0x14 (E-010).
func (d *decoder) input(v byte) {
	in := &d.out.Input
	in.Digital = v&0x80 != 0
	if !in.Digital {
		in.Level = []string{
			"0.700 : 0.300 : 1.000", "0.714 : 0.286 : 1.000",
			"1.000 : 0.400 : 1.400", "0.700 : 0.000 : 0.700",
		}[v>>5&3]
		in.Setup = v&0x10 != 0
		in.Syncs = bitNames(int(v), []string{"serration", "on green", "composite", "separate"})
		return
	}
	switch {
	case d.minor >= 4:
		if depth := int(v >> 4 & 7); depth >= 1 && depth <= 6 {
			in.BitDepth = 4 + 2*depth
		}
		names := []string{"", "DVI", "HDMI-a", "HDMI-b", "MDDI", "DisplayPort"}
		if i := int(v & 0x0F); i < len(names) {
			in.Interface = names[i]
		} else {
			d.problem("the interface code %d is reserved", i)
		}
	case d.minor >= 2 && v&1 != 0:
		in.Interface = "DFP 1.x"
	}
}

// bitNames lists the names of the bits that are set, from bit 0 up. Bits
// beyond the names are left out.
func bitNames(bits int, names []string) []string {
	out := []string{}
	for i, name := range names {
		if bits>>i&1 != 0 {
			out = append(out, name)
		}
	}
	return out
}

// imageSize reads bytes 0x15 and 0x16 (E-011). In EDID 1.4 one of them 0
// means that the other holds the aspect ratio.
func (d *decoder) imageSize(w, h int) {
	switch {
	case w > 0 && h > 0:
		d.out.ImageWidthCM, d.out.ImageHeightCM = w, h
	case d.minor >= 4 && w > 0:
		aspect := float64(w+99) / 100
		d.out.LandscapeAspect = &aspect
	case d.minor >= 4 && h > 0:
		aspect := 100 / float64(h+99)
		d.out.LandscapeAspect = &aspect
	}
}

// features reads byte 0x18 (E-013).
func (d *decoder) features(v byte) {
	f := &d.out.Features
	f.Standby, f.Suspend, f.ActiveOff = v&0x80 != 0, v&0x40 != 0, v&0x20 != 0
	if d.out.Input.Digital && d.minor >= 4 {
		f.YCbCr444, f.YCbCr422 = v&0x08 != 0, v&0x10 != 0
	} else {
		f.Color = []string{"monochrome", "rgb", "other", "undefined"}[v>>3&3]
	}
	f.SRGB = v&0x04 != 0
	f.FirstIsPreferred = v&0x02 != 0
	f.Continuous = d.minor >= 4 && v&1 != 0
	f.GTF = d.minor < 4 && v&1 != 0
}

// chromaticity unpacks ten bytes of 10-bit coordinates (E-014).
func chromaticity(c []byte) Chromaticity {
	point := func(i int, low byte, shift int) Point {
		return Point{
			X: tenBits(c[i], low>>(shift+2)),
			Y: tenBits(c[i+1], low>>shift),
		}
	}
	return Chromaticity{
		Red: point(2, c[0], 4), Green: point(4, c[0], 0),
		Blue: point(6, c[1], 4), White: point(8, c[1], 0),
	}
}

// tenBits joins eight high and two low bits to a number of 1/1024.
func tenBits(high, low byte) float64 {
	return round(float64(int(high)<<2|int(low&3))/1024, 6)
}

// isPanelLayout recognises a notebook panel that follows the panel standard of
// the SPWG (from memory): two detailed timings, then two text descriptors, the
// last of which holds binary data. The second timing then has a revision number
// in place of its flags.
func isPanelLayout(b []byte) bool {
	isTiming := func(i int) bool { return b[i] != 0 || b[i+1] != 0 }
	isText := func(i int) bool { return !isTiming(i) && b[i+3] == 0xFE }
	return isTiming(0x36) && isTiming(0x48) && isText(0x5A) && isText(0x6C) &&
		(b[0x79] == 1 || b[0x79] == 2) && b[0x7A] <= 1
}
