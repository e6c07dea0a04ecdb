package reading

import (
	"strings"

	"faultbook/diagnose/measure/edid"
)

// Words for the sources that the remarks on an EDID rest on.
const (
	srcKernelEDID = "read: Linux kernel, drivers/gpu/drm/drm_edid.c"
	srcTool       = "ran: edid-decode 0.1~git20220315"
	srcToolRead   = "read: edid-decode, parse-cta-block.cpp"
	srcPractice   = "common practice, no source"
	srcHDMI       = "from memory (HDMI 1.4b §8.3.2)"
)

// edidRemarks says what the figures mean in a room.
func edidRemarks(r *Reading, d *edid.Display) {
	edidBlockRemarks(r, d)
	edidSoundRemarks(r, d)
	edidPictureRemarks(r, d)
	edidLinkRemarks(r, d)
}

func edidBlockRemarks(r *Reading, d *edid.Display) {
	if r.Fact(EDIDHeader) == "damaged" {
		r.remark("E-002", srcKernelEDID, "damaged header: many sources refuse such an EDID and fall back to a small default picture")
	}
	for _, b := range d.Blocks {
		if b.ChecksumOK {
			continue
		}
		effect := "a source may ignore this EDID and show a small default picture"
		if b.Number > 0 {
			effect = "a source may ignore this block and send DVI without sound"
		}
		r.remark("E-003", srcKernelEDID, "block %d fails its checksum (%02X, should be %02X): %s; read again, then look at the DDC wires or reload the stored EDID",
			b.Number, b.Checksum, b.Expected, effect)
	}
	if d.MissingExtensions > 0 {
		r.remark("E-069", srcTool, "%d extension block(s) announced and not found: typical of a splitter or extender that stores one block; the source then sees no HDMI and no sound",
			d.MissingExtensions)
	}
	if d.SurplusExtensions > 0 {
		r.remark("E-018", srcKernelEDID, "%d block(s) more than announced: sources do not read them", d.SurplusExtensions)
	}
	if d.ExtensionOverride != nil {
		r.remark("E-070", "from memory (HDMI 2.1)", "the override block says %d extension blocks while the old count says %d: old sources and stores read only the old count",
			*d.ExtensionOverride, d.AnnouncedExtensions)
	}
}

func edidSoundRemarks(r *Reading, d *edid.Display) {
	displayPort := d.Input.Interface == "DisplayPort" || len(d.DisplayID) > 0
	takesSound := d.BasicAudio || len(d.Audio) > 0
	switch {
	case !d.Input.Digital:
		r.remark("E-010", srcKernelEDID, "analogue input: no sound on this cable")
	case !d.HDMI && !displayPort:
		r.remark("E-067", srcKernelEDID, "picture without sound: the EDID says DVI (no HDMI block), so a source sends no sound, no YCbCr and no InfoFrames")
	case !takesSound:
		r.remark("E-068", srcKernelEDID, "picture without sound: no basic audio and no audio block, so a computer offers no sound device for this display")
	}
	if r.Fact(EDIDAudio) == "multichannel" || r.Fact(EDIDCompressed) == true {
		r.remark("A-022", srcPractice, "takes more than stereo LPCM: a de-embedder behind it may stay silent; let the EDID offer stereo LPCM only")
	}
	h := d.HDMIBlock
	if h != nil && h.VideoLatencyMS != nil && h.AudioLatencyMS != nil && *h.VideoLatencyMS >= 0 && *h.AudioLatencyMS >= 0 {
		if early := *h.VideoLatencyMS - *h.AudioLatencyMS; early > 0 {
			r.remark("A-029", srcPractice, "sound that leaves the chain before the display is %d ms early against its picture (display states %d ms picture, %d ms sound)",
				early, *h.VideoLatencyMS, *h.AudioLatencyMS)
		}
	}
}

func edidPictureRemarks(r *Reading, d *edid.Display) {
	if t := d.Preferred; t != nil && t.Interlaced {
		r.remark("E-076", srcPractice, "prefers the interlaced format %s: many scalers and most computers do not send it", t.Label())
	}
	if d.Preferred == nil {
		r.remark("E-013", srcKernelEDID, "names no preferred format: a source picks one by itself")
	}
	if len(d.VICs420Only) > 0 {
		r.remark("E-053", srcToolRead, "%s: usable in 4:2:0 only; a source or switcher without 4:2:0 stays below",
			strings.Join(vicLabels(d.VICs420Only), ", "))
	}
	if v := d.VideoCapability; d.HDMI && (v == nil || !v.RGBRangeSelectable) {
		r.remark("E-064", srcToolRead, "the source cannot select the RGB range: crushed or washed-out blacks if it picks the wrong one (TV formats default to limited, check value E-065)")
	}
	if d.ImageWidthCM == 0 && d.LandscapeAspect == nil {
		r.remark("E-011", srcKernelEDID, "no picture size stated, as a projector or a switcher input does")
	}
}

// vicLabels names formats by their figures where they are known.
func vicLabels(vics []int) []string {
	var out []string
	for _, vic := range vics {
		out = append(out, edid.VICLabel(vic))
	}
	return out
}

func edidLinkRemarks(r *Reading, d *edid.Display) {
	if !d.HDMI {
		return
	}
	limit := d.TMDSLimitMHz()
	frl := d.FRL != nil && *d.FRL > 0
	if r.Fact(EDIDLimitStated) == false {
		r.remark("E-047", srcHDMI, "states no highest TMDS clock: 165 MHz counts, enough for 1080p60 at 8 bit and no more")
	}
	if t, ok := highest(d); ok && !frl && t.Chroma420 != "only" && t.PixelClockMHz > float64(limit) {
		r.remark("H-001", "read: Linux kernel, drm_hdmi_helper.c", "%s needs %g MHz in 8-bit RGB, the display carries %d MHz: not reachable without 4:2:0 or a lower rate",
			t.Label(), t.PixelClockMHz, limit)
	}
	if limit > 340 {
		r.remark("H-011", srcPractice, "above 340 MHz the link is set up over SCDC: with a DDC fault such a picture never starts though 1080p works")
	}
	if d.Version != "1.3" {
		r.remark("E-066", srcToolRead, "EDID %s with an HDMI block: HDMI asks for 1.3, but many displays do this; not a cause by itself", d.Version)
	}
	if d.PhysicalAddress != nil && (*d.PhysicalAddress == "0.0.0.0" || *d.PhysicalAddress == "f.f.f.f") {
		r.remark("C-030", "read: Linux kernel, include/uapi/linux/cec.h", "physical address %s is not that of an input: CEC control through this path is not possible", *d.PhysicalAddress)
	}
}
