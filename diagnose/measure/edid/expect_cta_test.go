package edid

import (
	"encoding/hex"
	"fmt"
	"strings"
)

func expectCTA(s sections, d *decoder) {
	o := d.out
	for _, h := range o.CTA {
		const name = "CTA-861 Extension Block"
		s.add(name, fmt.Sprintf("Revision: %d", h.Revision))
		if h.Revision < 2 || h.DescriptorsByte < 4 {
			continue // the tool does not look at the flags then
		}
		for _, f := range []struct {
			on   bool
			line string
		}{
			{h.Underscan, "Underscans IT Video Formats by default"}, {h.BasicAudio, "Basic audio support"},
			{h.YCbCr444, "Supports YCbCr 4:4:4"}, {h.YCbCr422, "Supports YCbCr 4:2:2"},
		} {
			if f.on {
				s.add(name, f.line)
			}
		}
		s.add(name, fmt.Sprintf("Native detailed modes: %d", h.NativeTimings))
	}
	expectVideo(s, d)
	for _, a := range o.Audio {
		expectAudio(s, a)
	}
	for _, name := range o.Speakers {
		s.add("Speaker Allocation Data Block", name)
	}
	if o.HDMIBlock != nil {
		expectHDMI(func(line string) { s.add("Vendor-Specific Data Block (HDMI), OUI 00-0C-03", line) }, d)
	}
	if o.ForumBlock != nil {
		expectForum(s, o.ForumBlock)
	}
	expectColorBlocks(s, o)
	expectRoom(s, o)
	for _, b := range o.DataBlocks {
		if (b.Tag == tagVendor || b.Extended == 0x01 || b.Extended == 0x11) && b.OUI != ouiHDMI && b.OUI != ouiForum {
			s.add("vendor "+b.OUI, b.Payload)
		}
	}
}

// expectVideo rebuilds the lists of VICs from the data blocks.
func expectVideo(s sections, d *decoder) {
	o := d.out
	for _, vic := range o.VICs {
		s.add("Video Data Block", fmt.Sprint(vic))
	}
	for _, vic := range o.VICsNative {
		s.add("native VICs", fmt.Sprint(vic))
	}
	for _, vic := range o.VICs420Only {
		s.add("YCbCr 4:2:0 Video Data Block", fmt.Sprint(vic))
	}
	for _, vic := range o.VICs420Also {
		s.add("YCbCr 4:2:0 Capability Map Data Block", fmt.Sprint(vic))
	}
	for _, t := range d.statements {
		if t.Origin == OriginVIC {
			s.add("VIC figures", shown(t.Code, t))
		}
	}
	for _, name := range o.FormatPreference {
		s.add("Video Format Preference Data Block", preferenceName(name))
	}
	if n := o.NativeFormat; n != nil {
		s.add("Native Video Resolution Data Block", preferenceName(n.Format))
		if n.ImageWidthMM > 0 {
			s.add("Native Video Resolution Data Block", fmt.Sprintf("Image Size: %gx%g mm", n.ImageWidthMM, n.ImageHeightMM))
		}
	}
}

// preferenceName turns "detailed 1" into the tool's "DTD 1".
func preferenceName(s string) string { return strings.Replace(s, "detailed ", "DTD ", 1) }

// toolAudio are the tool's names of the audio formats; "" where it uses a
// maker's name.
var toolAudio = map[int]string{
	1: "Linear PCM", 2: "AC-3", 3: "MPEG 1 (Layers 1 & 2)", 4: "MPEG 1 Layer 3 (MP3)", 5: "MPEG2 (multichannel)",
	6: "AAC LC", 7: "DTS", 9: "One Bit Audio", 10: "Enhanced AC-3 (DD+)", 11: "DTS-HD", 12: "MAT (MLP)", 13: "DST",
}

func expectAudio(s sections, a Audio) {
	section := "Audio Data Block"
	rates := "Supported sample rates (kHz):"
	for i := len(a.RatesKHz) - 1; i >= 0; i-- {
		rates += fmt.Sprintf(" %g", a.RatesKHz[i])
	}
	bits := "Supported sample sizes (bits):"
	for i := len(a.Bits) - 1; i >= 0; i-- {
		bits += fmt.Sprintf(" %d", a.Bits[i])
	}
	if strings.HasSuffix(a.Format, "(HDMI audio block)") {
		section = "HDMI Audio Data Block"
		s.add(section, fmt.Sprintf("%s, max channels %d", toolAudio[a.Code], a.Channels))
		s.add(section, rates)
		if a.Code == audioLPCM {
			s.add(section, bits)
		}
		return
	}
	name, ok := toolAudio[a.Code]
	if a.Code == audioExtends {
		name, ok = strings.Replace(a.Format, "LPCM", "L-PCM", 1), true
	}
	if !ok {
		name = "maker's name"
	}
	s.add(section, name+":")
	if a.Channels > 0 && a.Extended != extendedAC4 && a.Extended != 14 || a.Channels > 1 {
		s.add(section, fmt.Sprintf("Max channels: %d", a.Channels))
	} else if a.Channels == 1 {
		s.add(section, "Max channels: 1")
	}
	s.add(section, rates)
	switch {
	case a.Code == audioLPCM || a.Extended == extended3D:
		s.add(section, bits)
	case a.Code <= 8:
		s.add(section, fmt.Sprintf("Maximum bit rate: %d kb/s", a.MaxKbps))
	}
}

func expectHDMI(add func(string), d *decoder) {
	h := d.out.HDMIBlock
	add("Source physical address: " + h.PhysicalAddress)
	flag := func(on bool, line string) {
		if on {
			add(line)
		}
	}
	flag(h.SupportsAI, "Supports_AI")
	for _, bits := range []int{48, 36, 30} {
		for _, have := range h.DeepColorBits {
			flag(have == bits, fmt.Sprintf("DC_%dbit", bits))
		}
	}
	flag(h.DeepColor444, "DC_Y444")
	flag(h.DualLinkDVI, "DVI_Dual")
	if h.MaxTMDSMHz != nil {
		add(fmt.Sprintf("Maximum TMDS clock: %d MHz", *h.MaxTMDSMHz))
	}
	flag(len(h.ContentTypes) > 0, "Supported Content Types:")
	for _, name := range h.ContentTypes {
		add(strings.ToUpper(name[:1]) + name[1:])
	}
	expectLatencies(add, d)
	for _, t := range d.statements {
		if t.Origin == OriginHDMIVIC {
			add(shown(t.Code, t))
		}
	}
	for _, vic := range h.ThreeDVICs {
		add(fmt.Sprintf("3D VIC %d", vic))
	}
	for _, m := range h.ThreeDSingles {
		add(fmt.Sprintf("3D VIC %d", m.VIC))
	}
}

// expectLatencies adds the 3 ms of the documented difference.
func expectLatencies(add func(string), d *decoder) {
	h := d.out.HDMIBlock
	payload := hdmiPayload(d)
	if len(payload) < 5 || payload[4]&0x80 == 0 {
		return
	}
	line := func(what string, raw byte, got *int, video bool) {
		switch {
		case raw == 0 || raw > 251 && raw < 255:
			if got == nil && raw == 0 {
				add(what + " latency: Unknown")
			} else {
				add(fmt.Sprintf("%s latency: %d ms", what, 1+2*int(raw)))
			}
		case got != nil && *got == -1 && video:
			add(what + " latency: Video not supported")
		case got != nil && *got == -1:
			add(what + " latency: Audio not supported")
		default:
			add(fmt.Sprintf("%s latency: %d ms", what, *got+3))
		}
	}
	line("Video", payload[5], h.VideoLatencyMS, true)
	line("Audio", payload[6], h.AudioLatencyMS, false)
	if payload[4]&0x40 != 0 {
		line("Interlaced video", payload[7], h.InterlacedVideoLatencyMS, true)
		line("Interlaced audio", payload[8], h.InterlacedAudioLatencyMS, false)
	}
}

func hdmiPayload(d *decoder) []byte {
	for _, b := range d.out.DataBlocks {
		if b.OUI == ouiHDMI {
			p, _ := hex.DecodeString(b.Payload)
			return p
		}
	}
	return nil
}
