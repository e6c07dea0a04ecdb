// Package edid decodes the EDID of a display: the 128-byte blocks in which it
// tells a source what it is and which picture and sound formats it takes.
//
// # Words
//
//   - block: 128 bytes whose sum is 0 modulo 256 (check value E-003); block 0
//     is the base block, the others are extensions;
//   - detailed timing: 18 bytes with every figure of one format (E-020 to E-031);
//   - VIC: number of a video format in CTA-861 (check values section 1.5);
//   - DMT: number of a monitor timing of VESA (section 1.6);
//   - data block: a tagged record inside a CTA-861 extension (E-041 to E-043).
//
// # What is decoded
//
// Base block (VESA E-EDID 1.0 to 1.4), CTA-861 extension of revisions 1 to 3
// with its data blocks, the HDMI vendor block (OUI 00-0C-03) and the HDMI
// Forum block (OUI C4-5D-D8 or sink capability block), DisplayID 1.x and 2.x
// sections carried in an extension, the video timing extension and the block
// map. Other extensions are listed with tag and checksum only. Vendor blocks
// whose layout is not published keep their payload as hexadecimal text.
//
// # Worked example
//
//	display, err := edid.Decode(data)      // 256 bytes from a 1080p display
//	display.Maker                          // "ZZQ"
//	display.FirstTiming.RefreshHz          // 60
//	display.HDMI, display.MaxTMDSMHz       // true, 225
//	display.Problems                       // nil: nothing wrong with it
//
// FromText finds EDIDs in hexadecimal dumps of any usual layout.
//
// # Rules
//
// Decode never panics and never reads past the data. It is tolerant: wrong
// checksums, missing or surplus extensions, data blocks that run over their
// area and damaged header bytes are named in Problems, and the rest is decoded
// all the same. It returns an error only where there is no EDID at all.
//
// # Symbols and units
//
// Widths in pixels, heights in lines of the whole frame (1080i has 1080),
// RefreshHz is the frame rate, or the field rate where the format is
// interlaced; pixel clocks in MHz, image sizes in mm or cm as named, latencies
// in ms, luminance in cd/m², audio rates in kHz.
//
// # Limits
//
// The sizes and rates of a CTA-861 video format data block are listed without
// pixel clocks. Localised strings, display information and vendor extensions
// are not decoded.
package edid
