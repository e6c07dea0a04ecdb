package reading

import (
	"fmt"
	"slices"
	"strings"

	"faultbook/diagnose/measure/edid"
)

// readEDID makes the reading of one EDID.
func readEDID(dump edid.Dump) (*Reading, error) {
	d, err := edid.Decode(dump.Data)
	if err != nil {
		return nil, err
	}
	r := newReading(KindEDID, dump.Label, dump.Line)
	r.Decoded = d
	edidIdentity(r, d)
	edidFormats(r, d)
	edidLink(r, d)
	edidSound(r, d)
	edidRemarks(r, d)
	edidSummary(r, d)
	return r, nil
}

func edidIdentity(r *Reading, d *edid.Display) {
	header, checksum := "right", "right"
	for _, p := range d.Problems {
		if strings.Contains(p, "header bytes are wrong") {
			header = "damaged"
		}
	}
	var bad []string
	for _, b := range d.Blocks {
		if !b.ChecksumOK {
			checksum = "wrong"
			bad = append(bad, fmt.Sprintf("block %d has %02X, should be %02X", b.Number, b.Checksum, b.Expected))
		}
	}
	r.fact(EDIDHeader, header, "", "header %s", header)
	if len(bad) == 0 {
		r.fact(EDIDChecksum, checksum, "", "checksums of %s right", plural(len(d.Blocks), "block"))
	} else {
		r.fact(EDIDChecksum, checksum, "", "checksum wrong: %s", strings.Join(bad, "; "))
	}
	r.fact(EDIDVersion, d.Version, "", "EDID %s", d.Version)
	if d.Name != "" {
		r.fact(EDIDName, d.Name, "", "%s", d.Name)
	}
	input := "analogue"
	if d.Input.Digital {
		input = "digital"
	}
	r.fact(EDIDInput, input, "", "%s input", input)
	found := len(d.Blocks) - 1
	expected := found + d.MissingExtensions - d.SurplusExtensions
	r.fact(EDIDMissing, d.MissingExtensions > 0, "", "%d extension block(s) announced, %d read", expected, found)
	r.fact(EDIDUnannounced, d.SurplusExtensions > 0, "", "%d extension block(s) announced, %d read", expected, found)
	r.fact(EDIDProblems, len(d.Problems), "", "%s found in the EDID", plural(len(d.Problems), "fault"))
}

func edidFormats(r *Reading, d *edid.Display) {
	if t := d.FirstTiming; t != nil {
		r.fact(EDIDFirst, t.Label(), "", "first detailed timing %s at %g MHz", t.Label(), t.PixelClockMHz)
	}
	if t := d.Preferred; t != nil {
		r.fact(EDIDPreferred, t.Label(), "", "prefers %s at %g MHz", t.Label(), t.PixelClockMHz)
		r.fact(EDIDInterlaced, t.Interlaced, "", "prefers %s", t.Label())
	}
	if t, ok := highest(d); ok {
		only := t.Chroma420 == "only"
		how := ""
		if only {
			how = ", in 4:2:0 only"
		}
		r.fact(EDIDHighest, t.Label(), "", "highest format %s at %g MHz%s", t.Label(), t.PixelClockMHz, how)
		r.fact(EDIDHighestClock, t.PixelClockMHz, "MHz", "%s needs %g MHz%s", t.Label(), t.PixelClockMHz, how)
		r.fact(EDIDHighest420, only, "", "%s%s", t.Label(), how)
	}
}

// highest is the format with most pixels a second; of equals, the one that does
// not need 4:2:0.
func highest(d *edid.Display) (edid.Timing, bool) {
	best, most := edid.Timing{}, 0.0
	for _, t := range d.Timings {
		rate := float64(t.Width) * float64(t.Height) * t.RefreshHz
		if t.Interlaced {
			rate /= 2
		}
		if rate > most*(1+1e-9) || rate > most*(1-1e-9) && best.Chroma420 == "only" && t.Chroma420 != "only" {
			best, most = t, rate
		}
	}
	return best, most > 0
}

func edidLink(r *Reading, d *edid.Display) {
	edidHDMI(r, d)
	if d.FRL != nil {
		r.fact(EDIDFRL, *d.FRL, "", "highest FRL code %d", *d.FRL)
	}
	hdr := d.HDR != nil && slices.ContainsFunc(d.HDR.EOTFs, func(curve string) bool { return curve == "pq" || curve == "hlg" })
	r.fact(EDIDHDR, hdr, "", "HDR %s", map[bool]string{true: "announced", false: "not announced"}[hdr])
	if v := d.VideoCapability; v != nil || d.HDMI {
		can := v != nil && v.RGBRangeSelectable
		r.fact(EDIDRange, can, "", "RGB range %s by the source", map[bool]string{true: "can be selected", false: "cannot be selected"}[can])
	}
	if d.PhysicalAddress != nil {
		r.fact(EDIDAddress, *d.PhysicalAddress, "", "physical address %s", *d.PhysicalAddress)
	}
	if h := d.HDMIBlock; h != nil {
		edidLatency(r, EDIDVideoLatency, h.VideoLatencyMS, "picture")
		edidLatency(r, EDIDAudioLatency, h.AudioLatencyMS, "sound")
	}
}

// edidHDMI says what the HDMI blocks promise; without one a source sends DVI.
func edidHDMI(r *Reading, d *edid.Display) {
	if !d.HDMI {
		r.fact(EDIDHDMI, false, "", "no HDMI block: a source sends DVI")
		return
	}
	r.fact(EDIDHDMI, true, "", "HDMI block present")
	stated := d.MaxTMDSForumMHz != nil || d.MaxTMDSMHz != nil && *d.MaxTMDSMHz > 0
	word := "states"
	if !stated {
		word = "states no figure, so it counts as"
	}
	r.fact(EDIDLimit, d.TMDSLimitMHz(), "MHz", "the display %s %d MHz", word, d.TMDSLimitMHz())
	r.fact(EDIDLimitStated, stated, "", "the display %s %d MHz", word, d.TMDSLimitMHz())
	scdc := d.ForumBlock != nil && d.ForumBlock.SCDC
	r.fact(EDIDSCDC, scdc, "", "SCDC %s", map[bool]string{true: "present", false: "not announced"}[scdc])
}

// edidLatency gives a delay where the display states one.
func edidLatency(r *Reading, name string, ms *int, what string) {
	if ms != nil && *ms >= 0 {
		r.fact(name, *ms, "ms", "%s delayed by %d ms", what, *ms)
	}
}

func edidSound(r *Reading, d *edid.Display) {
	channels, compressed := 0, false
	for _, a := range d.Audio {
		if a.Code == 1 {
			channels = max(channels, a.Channels)
		} else {
			compressed = true
		}
	}
	word := "none"
	switch {
	case channels > 2:
		word = "multichannel"
	case channels > 0:
		word = "stereo"
	case d.BasicAudio || compressed:
		word = "basic"
	}
	text := map[string]string{
		"none":  "takes no sound",
		"basic": "takes basic sound, no LPCM descriptor",
	}[word]
	if channels > 0 {
		text = fmt.Sprintf("takes LPCM of up to %s", plural(channels, "channel"))
	}
	r.fact(EDIDAudio, word, "", "%s", text)
	r.fact(EDIDChannels, channels, "", "%s", text)
	r.fact(EDIDCompressed, compressed, "", "%s compressed sound", map[bool]string{true: "takes", false: "takes no"}[compressed])
}
