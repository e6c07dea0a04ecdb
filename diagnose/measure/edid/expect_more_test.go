package edid

import (
	"fmt"
	"strings"
)

// frlText says the tool's words for an FRL code.
func frlText(code int) string {
	return []string{
		"Not Supported", "3 Gbps per lane on 3 lanes", "3 and 6 Gbps per lane on 3 lanes",
		"3 and 6 Gbps per lane on 3 lanes, 6 Gbps on 4 lanes",
		"3 and 6 Gbps per lane on 3 lanes, 6 and 8 Gbps on 4 lanes",
		"3 and 6 Gbps per lane on 3 lanes, 6, 8 and 10 Gbps on 4 lanes",
		"3 and 6 Gbps per lane on 3 lanes, 6, 8, 10 and 12 Gbps on 4 lanes",
	}[code]
}

func expectForum(s sections, f *Forum) {
	name := "Vendor-Specific Data Block (HDMI Forum), OUI C4-5D-D8"
	if f.SinkCapability {
		name = "HDMI Forum Sink Capability Data Block"
	}
	flag := func(on bool, line string) {
		if on {
			s.add(name, line)
		}
	}
	s.add(name, fmt.Sprintf("Version: %d", f.Version))
	if f.MaxTMDSMHz != nil {
		s.add(name, fmt.Sprintf("Maximum TMDS Character Rate: %d MHz", *f.MaxTMDSMHz))
	}
	flag(f.SCDC, "SCDC Present")
	flag(f.ReadRequest, "SCDC Read Request Capable")
	flag(f.CableStatus, "Supports Cable Status")
	flag(f.BitsIndication, "Supports Color Content Bits Per Component Indication")
	flag(f.ScrambleBelow, "Supports scrambling for <= 340 Mcsc")
	flag(f.IndependentView, "Supports 3D Independent View signaling")
	flag(f.DualView, "Supports 3D Dual View signaling")
	flag(f.OSDDisparity, "Supports 3D OSD Disparity signaling")
	if f.FRL > 0 {
		s.add(name, "Max Fixed Rate Link: "+frlText(f.FRL))
	}
	flag(f.UHDVIC, "Supports UHD VIC")
	for i := len(f.Deep420Bits) - 1; i >= 0; i-- {
		s.add(name, fmt.Sprintf("Supports %d-bits/component Deep Color 4:2:0 Pixel Encoding", f.Deep420Bits[i]))
	}
	flag(f.MDelta, "Supports Mdelta")
	flag(f.CinemaVRR, "Supports media rates below VRRmin (CinemaVRR)")
	flag(f.NegativeMVRR, "Supports negative Mvrr values")
	flag(f.FastVActive, "Supports Fast Vactive")
	flag(f.LowLatency, "Supports Auto Low-Latency Mode")
	flag(f.FAPAInBlanking, "Supports a FAPA in blanking after first active video line")
	if f.VRRMinHz > 0 {
		s.add(name, fmt.Sprintf("VRRmin: %d Hz", f.VRRMinHz))
	}
	if f.VRRMaxHz > 0 {
		s.add(name, fmt.Sprintf("VRRmax: %d Hz", f.VRRMaxHz))
	}
	expectCompression(func(line string) { s.add(name, line) }, f)
}

func expectCompression(add func(string), f *Forum) {
	if f.DSC {
		add("Supports VESA DSC 1.2a compression")
	}
	if f.DSC420 {
		add("Supports Compressed Video Transport for 4:2:0 Pixel Encoding")
	}
	if f.DSCAllBPP {
		add("Supports Compressed Video Transport at any valid 1/16th bit bpp")
	}
	for i := len(f.DSCBits) - 1; i >= 0; i-- {
		add(fmt.Sprintf("Supports %d bpc Compressed Video Transport", f.DSCBits[i]))
	}
	if f.DSCSlices > 0 {
		add(fmt.Sprintf("DSC Max Slices: %d", []int{0, 1, 2, 4, 8, 8, 12, 16}[f.DSCSlices]))
	}
	if f.DSCFRL > 0 {
		add("DSC Max Fixed Rate Link: " + frlText(f.DSCFRL))
	}
	if f.DSCChunkBytes > 0 {
		add(fmt.Sprintf("Maximum number of bytes in a line of chunks: %d", f.DSCChunkBytes))
	}
}

func expectColorBlocks(s sections, o *Display) {
	if v := o.VideoCapability; v != nil {
		const name = "Video Capability Data Block"
		selectable := func(on bool, how string) string {
			if on {
				return "Selectable (via AVI " + how + ")"
			}
			return "No Data"
		}
		scan := map[string]string{"no-data": "No Data", "overscan": "Always Overscanned", "underscan": "Always Underscanned",
			"both": "Supports both over- and underscan"}
		word := func(kind, value string) string {
			if value == "unsupported" {
				return kind + " video formats not supported"
			}
			return scan[value]
		}
		s.add(name, "YCbCr quantization: "+selectable(v.YCCRangeSelectable, "YQ"))
		s.add(name, "RGB quantization: "+selectable(v.RGBRangeSelectable, "Q"))
		s.add(name, "PT scan behavior: "+scan[v.PreferredScan])
		s.add(name, "IT scan behavior: "+word("IT", v.ITScan))
		s.add(name, "CE scan behavior: "+word("CE", v.CEScan))
	}
	for _, name := range o.Colorimetry {
		s.add("Colorimetry Data Block", strings.Replace(name, "default", "Default", 1))
	}
	if o.HDR != nil {
		expectHDR(func(line string) { s.add("HDR Static Metadata Data Block", line) }, o.HDR)
	}
	for _, e := range o.HDRDynamic {
		s.add("HDR Dynamic Metadata Data Block", fmt.Sprintf("HDR Dynamic Metadata Type %d", e.Type))
		if e.Version >= 0 {
			s.add("HDR Dynamic Metadata Data Block", fmt.Sprintf("Version: %d", e.Version))
		}
	}
	for _, f := range o.InfoFrames {
		line := fmt.Sprintf("InfoFrame Type Code %d", f.Type)
		if f.OUI != "" {
			line += ", OUI " + f.OUI
		}
		s.add("InfoFrame Data Block", line)
	}
	for _, c := range o.TransferCurves {
		line := strings.ToUpper(c.Channel[:1]) + c.Channel[1:] + " transfer characteristics:"
		for _, v := range c.Steps {
			line += fmt.Sprint(" ", v)
		}
		s.add("VESA Display Transfer Characteristics Data Block", line+" 1023")
	}
	if o.ExtensionOverride != nil {
		s.add("HDMI Forum EDID Extension Override Data Block", fmt.Sprintf("EDID Extension Block Count: %d", *o.ExtensionOverride))
	}
}

func expectHDR(add func(string), h *HDR) {
	add("Electro optical transfer functions:")
	for _, name := range h.EOTFs {
		add(map[string]string{"sdr": "Traditional gamma - SDR luminance range", "hdr-gamma": "Traditional gamma - HDR luminance range",
			"pq": "SMPTE ST2084", "hlg": "Hybrid Log-Gamma"}[name])
	}
	add("Supported static metadata descriptors:")
	for _, n := range h.MetadataTypes {
		add(fmt.Sprintf("Static metadata type %d", n))
	}
	for _, l := range []struct {
		what  string
		value *float64
	}{{"max", h.MaxNits}, {"max frame-average", h.MaxFrameNits}, {"min", h.MinNits}} {
		if l.value != nil {
			add(fmt.Sprintf("Desired content %s luminance: %.3f cd/m^2", l.what, *l.value))
		}
	}
}

func expectRoom(s sections, o *Display) {
	const name = "Room Configuration Data Block"
	if r := o.Room; r != nil {
		if r.SpeakerCount > 0 {
			s.add(name, fmt.Sprintf("Speaker count: %d", r.SpeakerCount))
		}
		s.add(name, "Speaker Presence Mask:")
		for _, speaker := range r.Speakers {
			s.add(name, speaker)
		}
		for i, v := range r.DisplayPlace {
			s.add(name, fmt.Sprintf("Display%c: %.3f * %cmax", 'X'+i, v, 'X'+i))
		}
	}
	const places = "Speaker Location Data Block"
	for _, p := range o.SpeakerPositions {
		active := "not active"
		if p.Active {
			active = "active"
		}
		s.add(places, fmt.Sprintf("Channel: %d (%s)", p.Channel, active))
		if p.Speaker != "" {
			s.add(places, "Speaker: "+p.Speaker)
		}
		for i, v := range p.Position {
			s.add(places, fmt.Sprintf("%c: %.3f * %cmax", 'X'+i, v, 'X'+i))
		}
	}
}

func expectDisplayID(s sections, d *decoder) {
	for _, h := range d.out.DisplayID {
		const name = "DisplayID Extension Block"
		s.add(name, "Version: "+h.Version)
		s.add(name, fmt.Sprintf("Extension Count: %d", h.Extensions))
		if h.ProductCode > 0 || h.MadeYear > 0 {
			expectProduct(func(line string) { s.add("DisplayID product", line) }, h)
		}
		if h.NativeWidth > 0 {
			s.add("DisplayID native", fmt.Sprintf("%dx%d", h.NativeWidth, h.NativeHeight))
		}
		if h.ImageWidthMM > 0 {
			s.add("DisplayID image", fmt.Sprintf("%g x %g", h.ImageWidthMM, h.ImageHeightMM))
		}
		if t := h.Tile; t != nil {
			s.add("DisplayID tile", fmt.Sprintf("%d %d at %d, %d of %dx%d", t.Columns, t.Rows, t.Column, t.Row, t.Width, t.Height))
		}
	}
	for _, t := range d.statements {
		if t.Origin == OriginDisplayID {
			s.add("DisplayID timings", shown(displayIDKind(t), t))
			if t.Code == "type I" || t.Code == "type VI" || t.Code == "type VII" {
				expectDetail(s, "DisplayID", t)
			}
			if t.Preferred {
				s.add("DisplayID preferred", t.Label())
			}
		}
	}
}

func expectProduct(add func(string), h DisplayIDHeader) {
	add(fmt.Sprintf("Product Code: %d", h.ProductCode))
	if h.SerialNumber > 0 {
		add(fmt.Sprintf("Serial Number: %d", h.SerialNumber))
	}
	line := fmt.Sprintf("Year of Manufacture: %d", h.MadeYear)
	if h.MadeWeek > 0 {
		line += fmt.Sprintf(", Week %d", h.MadeWeek)
	}
	add(line)
	if h.ProductID != "" {
		add("Product ID: " + h.ProductID)
	}
}

// displayIDKind is the tool's word for a type of timing.
func displayIDKind(t Timing) string {
	switch t.Code {
	case "type I", "type II", "type VI", "type VII":
		return "DTD"
	case "type III", "type V", "type IX", "type X":
		return "CVT"
	}
	return t.Code
}
