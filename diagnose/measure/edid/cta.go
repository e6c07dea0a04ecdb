package edid

import (
	"encoding/hex"
	"fmt"
)

// The data block tags of CTA-861 (check values E-042 and E-043). Extended tags
// are counted from extendedTag up.
const (
	tagAudio       = 1
	tagVideo       = 2
	tagVendor      = 3
	tagSpeakers    = 4
	tagTransfer    = 5
	tagVideoFormat = 6
	extendedTag    = 7 << 8

	tagVideoCapability = extendedTag + 0x00
	tagVendorVideo     = extendedTag + 0x01
	tagColorimetry     = extendedTag + 0x05
	tagHDRStatic       = extendedTag + 0x06
	tagHDRDynamic      = extendedTag + 0x07
	tagNativeFormat    = extendedTag + 0x08
	tagPreference      = extendedTag + 0x0D
	tag420Video        = extendedTag + 0x0E
	tag420Map          = extendedTag + 0x0F
	tagVendorAudio     = extendedTag + 0x11
	tagHDMIAudio       = extendedTag + 0x12
	tagRoom            = extendedTag + 0x13
	tagSpeakerPlaces   = extendedTag + 0x14
	tagInfoFrames      = extendedTag + 0x20
	tagTypeVII         = extendedTag + 0x22
	tagTypeVIII        = extendedTag + 0x23
	tagTypeX           = extendedTag + 0x2A
	tagOverride        = extendedTag + 0x78
	tagSinkCapability  = extendedTag + 0x79
)

// The vendor numbers (OUI) that this package decodes.
const (
	ouiHDMI  = "00-0C-03"
	ouiForum = "C4-5D-D8"
)

var dataBlockNames = map[int]string{
	tagAudio: "audio", tagVideo: "video", tagVendor: "vendor", tagSpeakers: "speaker allocation",
	tagTransfer: "transfer characteristic", tagVideoFormat: "video format",
	tagVideoCapability: "video capability", tagVendorVideo: "vendor video",
	extendedTag + 0x02: "display device", extendedTag + 0x03: "video timing extension",
	extendedTag + 0x04: "reserved for HDMI video",
	tagColorimetry:     "colorimetry", tagHDRStatic: "HDR static metadata", tagHDRDynamic: "HDR dynamic metadata",
	tagNativeFormat: "native video resolution", tagPreference: "video format preference",
	tag420Video: "4:2:0 video", tag420Map: "4:2:0 capability map",
	extendedTag + 0x10: "reserved for audio", tagVendorAudio: "vendor audio", tagHDMIAudio: "HDMI audio",
	tagRoom: "room configuration", tagSpeakerPlaces: "speaker location", tagInfoFrames: "InfoFrame",
	tagTypeVII: "DisplayID type VII timing", tagTypeVIII: "DisplayID type VIII timing", tagTypeX: "DisplayID type X timing",
	tagOverride: "EDID extension override", tagSinkCapability: "HDMI Forum sink capability",
}

// cta reads a CTA-861 extension (check values E-037 to E-044): revision, the
// offset of the first detailed timing, flags, data blocks (revision 3), then
// detailed timings up to the checksum.
func (d *decoder) cta(b []byte) {
	if d.available < 4 {
		return
	}
	h := CTAHeader{Block: d.block, Revision: int(b[1]), DescriptorsByte: int(b[2])}
	offset := h.DescriptorsByte
	if h.Revision >= 2 {
		h.Underscan, h.BasicAudio = b[3]&0x80 != 0, b[3]&0x40 != 0
		h.YCbCr444, h.YCbCr422 = b[3]&0x20 != 0, b[3]&0x10 != 0
		h.NativeTimings = int(b[3] & 0x0F)
	}
	first := len(d.out.CTA) == 0
	d.out.CTA = append(d.out.CTA, h)
	d.out.BasicAudio = d.out.BasicAudio || h.BasicAudio
	if first {
		d.native = h.NativeTimings
	}
	if offset < 4 {
		if offset != 0 {
			d.problem("block %d: the data block area cannot end at byte %d", d.block, offset)
		}
		return
	}
	end := min(offset, blockSize-1, d.available)
	if offset > blockSize-1 {
		d.problem("block %d: the data block area cannot end at byte %d", d.block, offset)
	}
	if h.Revision >= 3 {
		d.dataBlocks(b[4:min(blockSize-1, d.available)], end-4)
	}
	for i := offset; i+18 <= min(blockSize-1, d.available) && !isZero(b[i:i+18]); i += 18 {
		d.eighteen(b[i : i+18])
	}
}

func isZero(b []byte) bool {
	for _, v := range b {
		if v != 0 {
			return false
		}
	}
	return true
}

// dataBlocks walks the data blocks that begin in the first end bytes of area.
// The last one may run over the end by mistake: what is there of it is read.
func (d *decoder) dataBlocks(area []byte, end int) {
	at := 0
	for at < end && at < len(area) {
		n := int(area[at] & 0x1F)
		stop := at + 1 + n
		if stop > end {
			d.problem("block %d: the %s block runs %d bytes over its area", d.block, blockName(area[at:]), stop-end)
		}
		d.dataBlock(area[at], area[at+1:min(stop, len(area))])
		at = stop
	}
}

// blockName names the data block that begins at b.
func blockName(b []byte) string {
	tag := int(b[0] >> 5)
	if tag == 7 && len(b) > 1 {
		tag = extendedTag + int(b[1])
	}
	if name, ok := dataBlockNames[tag]; ok {
		return name
	}
	return fmt.Sprintf("unknown %X", tag)
}

// dataBlock reads one data block: its head byte and payload.
func (d *decoder) dataBlock(head byte, p []byte) {
	row := DataBlock{Block: d.block, Tag: int(head >> 5), Extended: -1}
	tag := row.Tag
	row.Name = blockName(append([]byte{head}, p...))
	if tag == 7 {
		if len(p) == 0 {
			d.problem("block %d: an extended data block has no tag", d.block)
			return
		}
		row.Extended = int(p[0])
		tag = extendedTag + row.Extended
		p = p[1:]
	}
	if tag == tagVendor || tag == tagVendorVideo || tag == tagVendorAudio {
		row.OUI, p = oui(p)
	}
	row.Payload = hex.EncodeToString(p)
	d.out.DataBlocks = append(d.out.DataBlocks, row)
	d.payload(tag, row.OUI, p)
	d.previous = row.Name + row.OUI
	d.blocksDone++
}

// oui splits the three bytes of a vendor number, stored backwards, from the
// payload. A payload that is too short for one gives "".
func oui(p []byte) (string, []byte) {
	if len(p) < 3 {
		return "", p
	}
	return fmt.Sprintf("%02X-%02X-%02X", p[2], p[1], p[0]), p[3:]
}

func (d *decoder) payload(tag int, vendor string, p []byte) {
	switch tag {
	case tagVendor:
		d.vendor(vendor, p)
	case tagTypeVII, tagTypeVIII, tagTypeX:
		d.carriedTiming(tag, p)
	default:
		if read := payloads[tag]; read != nil {
			read(d, p)
		}
	}
}

// payloads are the readers of the data blocks that need nothing but their
// bytes; a tag without one is listed and not read.
var payloads = map[int]func(*decoder, []byte){
	tagAudio:           (*decoder).audio,
	tagVideo:           (*decoder).video,
	tagSpeakers:        func(d *decoder, p []byte) { d.out.Speakers = append(d.out.Speakers, speakers(p)...) },
	tagTransfer:        (*decoder).transfer,
	tagVideoFormat:     (*decoder).videoFormat,
	tagVideoCapability: (*decoder).videoCapability,
	tagColorimetry:     (*decoder).colorimetry,
	tagHDRStatic:       (*decoder).hdrStatic,
	tagHDRDynamic:      (*decoder).hdrDynamic,
	tagNativeFormat:    (*decoder).nativeFormat,
	tagPreference:      (*decoder).preference,
	tag420Video:        (*decoder).video420,
	tag420Map:          func(d *decoder, p []byte) { d.maps = append(d.maps, p) },
	tagHDMIAudio:       (*decoder).hdmiAudio,
	tagRoom:            (*decoder).room,
	tagSpeakerPlaces:   (*decoder).speakerPlaces,
	tagInfoFrames:      (*decoder).infoFrames,
	tagOverride:        (*decoder).override,
	tagSinkCapability:  (*decoder).sinkCapability,
}

// preference reads the display's own order of formats, the best first.
func (d *decoder) preference(p []byte) {
	for _, v := range p {
		d.out.FormatPreference = append(d.out.FormatPreference, reference(v))
	}
}

func (d *decoder) vendor(vendor string, p []byte) {
	switch vendor {
	case ouiHDMI:
		d.hdmi(p)
	case ouiForum:
		if d.previous != dataBlockNames[tagVendor]+ouiHDMI {
			d.problem("the HDMI Forum block does not follow the HDMI block directly")
		}
		d.forum(p, false)
	case "":
		d.problem("block %d: a vendor block is too short for its vendor number", d.block)
	}
}

// override reads the HDMI Forum's true number of extensions (E-070).
func (d *decoder) override(p []byte) {
	if len(p) == 0 {
		return
	}
	n := int(p[0])
	d.out.ExtensionOverride = &n
	if d.blocksDone > 0 {
		d.problem("the extension override is not the first data block")
	}
}
