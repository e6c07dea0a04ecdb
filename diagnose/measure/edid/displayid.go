package edid

import (
	"fmt"
	"strings"
)

// DisplayIDHeader is one DisplayID section with what this package reads of it
// beside the timings.
type DisplayIDHeader struct {
	Block      int    `json:"block"`
	Version    string `json:"version"` // "1.3"
	Product    string `json:"product_type"`
	Extensions int    `json:"extensions"`
	ChecksumOK bool   `json:"checksum_ok"`
	// The product identification block.
	Vendor       string `json:"vendor"` // OUI or three letters
	ProductCode  int    `json:"product_code"`
	SerialNumber uint32 `json:"serial_number"`
	MadeYear     int    `json:"made_year"` // 0 not stated
	MadeWeek     int    `json:"made_week"`
	ProductID    string `json:"product_id"`
	// The display parameters block.
	NativeWidth   int      `json:"native_width"`
	NativeHeight  int      `json:"native_height"`
	ImageWidthMM  float64  `json:"image_width_mm"`
	ImageHeightMM float64  `json:"image_height_mm"`
	Tile          *Tile    `json:"tile"`
	Sections      []string `json:"data_blocks"` // tags as met, "03"
}

// Tile says that the display is one part of a larger picture.
type Tile struct {
	Columns    int  `json:"columns"`
	Rows       int  `json:"rows"`
	Column     int  `json:"column"` // from 0
	Row        int  `json:"row"`
	Width      int  `json:"width"` // pixels of this tile
	Height     int  `json:"height"`
	OneHousing bool `json:"one_housing"`
}

// displayID reads a DisplayID section in an extension: version, length of the
// data blocks, product type, number of further sections, data blocks, and a
// checksum of its own.
func (d *decoder) displayID(b []byte) {
	h := DisplayIDHeader{Block: d.block, Version: fmt.Sprintf("%d.%d", b[1]>>4, b[1]&0x0F),
		Extensions: int(b[4]), Sections: []string{}}
	n := int(b[2])
	if n > 121 {
		d.problem("block %d: a DisplayID section of %d bytes does not fit", d.block, n)
		n = 121
	}
	h.Product = productType(b[1], b[3])
	sum := byte(0)
	for _, v := range b[1 : 1+n+5] {
		sum += v
	}
	h.ChecksumOK = sum == 0
	if !h.ChecksumOK {
		d.problem("block %d: the checksum of the DisplayID section is wrong", d.block)
	}
	rest := b[5 : 5+n]
	for len(rest) >= 3 {
		size := int(rest[2])
		if rest[0] == 0 && size == 0 {
			break // filling
		}
		if size+3 > len(rest) {
			d.problem("block %d: a DisplayID data block (tag %02X) runs over its section", d.block, rest[0])
			break
		}
		h.Sections = append(h.Sections, fmt.Sprintf("%02X", rest[0]))
		d.displayIDBlock(&h, rest[0], rest[1], rest[3:3+size])
		rest = rest[3+size:]
	}
	d.out.DisplayID = append(d.out.DisplayID, h)
}

func productType(version, code byte) string {
	names := []string{"extension", "test", "panel", "monitor", "television", "repeater", "direct drive"}
	if version >= 0x20 {
		names = []string{"extension", "test", "generic", "television", "desktop", "desktop gaming",
			"presentation", "virtual reality", "augmented reality"}
	}
	if int(code) < len(names) {
		return names[code]
	}
	return fmt.Sprintf("unknown %d", code)
}

// displayIDBlock reads one data block: tag, revision byte, payload.
func (d *decoder) displayIDBlock(h *DisplayIDHeader, tag, revision byte, p []byte) {
	switch tag {
	case 0x00, 0x20:
		h.identify(tag, p)
	case 0x01, 0x21:
		h.parameters(tag, revision, p)
	case 0x0A:
		d.setText(&d.out.SerialText, p)
	case 0x0B:
		if s := text(p); s != "" {
			d.out.Texts = append(d.out.Texts, s)
		}
	case 0x0C:
		h.device(p)
	case 0x12, 0x28:
		h.tiled(p)
	case 0x81:
		d.inDisplayID = true
		d.dataBlocks(p, len(p))
		d.inDisplayID = false
	default:
		d.displayIDTimings(tag, revision, p)
	}
}

// identify reads product identification, 12 bytes and a text.
func (h *DisplayIDHeader) identify(tag byte, p []byte) {
	if len(p) < 12 {
		return
	}
	if tag == 0x20 {
		h.Vendor = fmt.Sprintf("%02X-%02X-%02X", p[0], p[1], p[2])
	} else {
		h.Vendor = text(p[:3])
	}
	h.ProductCode = le16(p[3:])
	h.SerialNumber = uint32(le16(p[5:])) | uint32(le16(p[7:]))<<16
	h.MadeYear = 2000 + int(p[10])
	if p[9] >= 1 && p[9] <= 54 {
		h.MadeWeek = int(p[9])
	}
	end := min(12+int(p[11]), len(p))
	h.ProductID = strings.ToValidUTF8(strings.TrimRight(string(p[12:end]), "\x00 "), "?")
}

// parameters reads image size and native size. In version 2 the size is in
// tenths of a millimetre unless bit 7 of the revision byte says millimetres.
func (h *DisplayIDHeader) parameters(tag, revision byte, p []byte) {
	if len(p) < 8 {
		return
	}
	scale := 10.0
	if tag == 0x21 && revision&0x80 != 0 {
		scale = 1
	}
	h.ImageWidthMM, h.ImageHeightMM = float64(le16(p))/scale, float64(le16(p[2:]))/scale
	h.NativeWidth, h.NativeHeight = le16(p[4:]), le16(p[6:])
}

// device reads the native size of a display device block of version 1.
func (h *DisplayIDHeader) device(p []byte) {
	if len(p) < 13 {
		return
	}
	if w, v := le16(p[2:]), le16(p[4:]); w > 0 && v > 0 {
		h.NativeWidth, h.NativeHeight = w+1, v+1
	}
}

// tiled reads where this tile stands in a larger picture.
func (h *DisplayIDHeader) tiled(p []byte) {
	if len(p) < 22 {
		return
	}
	h.Tile = &Tile{
		Rows:    (int(p[1]&0x0F) | int(p[3]&0x30)) + 1,
		Columns: (int(p[1]>>4) | int(p[3]>>2&0x30)) + 1,
		Row:     int(p[2]&0x0F) | int(p[3]&0x03)<<4,
		Column:  int(p[2]>>4) | int(p[3]>>2&3)<<4,
		Width:   le16(p[4:]) + 1, Height: le16(p[6:]) + 1,
		OneHousing: p[0]&0x80 != 0,
	}
}
