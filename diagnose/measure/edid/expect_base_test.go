package edid

import (
	"fmt"
	"strings"
)

// expected writes a decode as the sections of the reference tool.
func expected(d *decoder) sections {
	s := sections{}
	o := d.out
	for _, b := range o.Blocks {
		s.add("blocks", fmt.Sprint(b.Number))
		line := fmt.Sprintf("%02x ", b.Checksum)
		if !b.ChecksumOK {
			line += fmt.Sprintf("%02x", b.Expected)
		}
		s.add("checksum", line)
	}
	expectIdentity(s, d)
	expectFeatures(s, d)
	expectTimings(s, d)
	if t := o.Preferred; t != nil && o.Features.FirstIsPreferred {
		s.add("preferred by block 0", shown("DTD 1", *t))
	}
	expectDescriptors(s, d)
	expectCTA(s, d)
	expectDisplayID(s, d)
	return s
}

func expectIdentity(s sections, d *decoder) {
	o := d.out
	s.add("Base EDID", "EDID Structure Version & Revision: "+o.Version)
	const name = "Vendor & Product Identification"
	s.add(name, "Manufacturer: "+o.Maker)
	s.add(name, fmt.Sprintf("Model: %d", o.Product))
	if o.SerialNumber != nil {
		s.add(name, fmt.Sprintf("Serial Number: %d", *o.SerialNumber))
	}
	switch {
	case o.YearIsModel:
		s.add(name, fmt.Sprintf("Model year: %d", o.MadeYear))
	case o.MadeWeek > 0:
		s.add(name, fmt.Sprintf("Made in: week %d of %d", o.MadeWeek, o.MadeYear))
	default:
		s.add(name, fmt.Sprintf("Made in: %d", o.MadeYear))
	}
	if o.AnnouncedExtensions > 0 {
		s.add("Base EDID", fmt.Sprintf("Extension blocks: %d", o.AnnouncedExtensions))
	}
}

func expectFeatures(s sections, d *decoder) {
	o := d.out
	const name = "Basic Display Parameters & Features"
	expectInput(func(line string) { s.add(name, line) }, d)
	switch {
	case o.ImageWidthCM > 0:
		s.add(name, fmt.Sprintf("Maximum image size: %d cm x %d cm", o.ImageWidthCM, o.ImageHeightCM))
	case o.LandscapeAspect != nil:
		s.add(name, fmt.Sprintf("Aspect ratio: %.2f", *o.LandscapeAspect))
	default:
		s.add(name, "Image size is variable")
	}
	if o.Gamma == nil {
		s.add(name, "Gamma is defined in an extension block")
	} else {
		s.add(name, fmt.Sprintf("Gamma: %.2f", *o.Gamma))
	}
	f := o.Features
	if f.Standby || f.Suspend || f.ActiveOff {
		line := "DPMS levels:"
		for _, level := range []struct {
			on   bool
			name string
		}{{f.Standby, " Standby"}, {f.Suspend, " Suspend"}, {f.ActiveOff, " Off"}} {
			if level.on {
				line += level.name
			}
		}
		s.add(name, line)
	}
	expectColor(func(line string) { s.add(name, line) }, d)
	point := func(color string, p Point) {
		s.add("Color Characteristics", fmt.Sprintf("%s: 0.%04d, 0.%04d", color, int(p.X*10000+1e-6), int(p.Y*10000+1e-6)))
	}
	point("Red  ", o.Chromaticity.Red)
	point("Green", o.Chromaticity.Green)
	point("Blue ", o.Chromaticity.Blue)
	point("White", o.Chromaticity.White)
}

func expectInput(add func(string), d *decoder) {
	in := d.out.Input
	if !in.Digital {
		add("Analog display")
		add("Signal Level Standard: " + in.Level + " V p-p")
		if in.Setup {
			add("Blank-to-black setup/pedestal")
		} else {
			add("Blank level equals black level")
		}
		if len(in.Syncs) > 0 {
			line := "Sync:"
			for i := len(in.Syncs) - 1; i >= 0; i-- {
				line += " " + map[string]string{"separate": "Separate", "composite": "Composite",
					"on green": "SyncOnGreen", "serration": "Serration"}[in.Syncs[i]]
			}
			add(line)
		}
		return
	}
	add("Digital display")
	if d.minor < 4 {
		if in.Interface == "DFP 1.x" {
			add("DFP 1.x compatible TMDS")
		}
		return
	}
	if in.BitDepth > 0 {
		add(fmt.Sprintf("Bits per primary color channel: %d", in.BitDepth))
	} else {
		add("Color depth is undefined")
	}
	if in.Interface == "" {
		add("Digital interface is not defined")
	} else {
		add(in.Interface + " interface")
	}
}

func expectColor(add func(string), d *decoder) {
	f := d.out.Features
	switch f.Color {
	case "monochrome":
		add("Monochrome or grayscale display")
	case "rgb":
		add("RGB color display")
	case "other":
		add("Non-RGB color display")
	case "undefined":
		add("Undefined display color type")
	default:
		line := "Supported color formats: RGB 4:4:4"
		if f.YCbCr444 {
			line += ", YCrCb 4:4:4"
		}
		if f.YCbCr422 {
			line += ", YCrCb 4:2:2"
		}
		add(line)
	}
	if f.SRGB {
		add("Default (sRGB) color space is primary color space")
	}
	switch {
	case d.minor >= 4 && f.FirstIsPreferred:
		add("First detailed timing includes the native pixel format and preferred refresh rate")
	case d.minor >= 4:
		add("First detailed timing does not include the native pixel format and preferred refresh rate")
	case f.FirstIsPreferred:
		add("First detailed timing is the preferred timing")
	}
	if f.Continuous {
		add("Display is continuous frequency")
	}
	if f.GTF {
		add("Supports GTF timings within operating range")
	}
}

// expectTimings files every statement of a format under the tool's section.
func expectTimings(s sections, d *decoder) {
	for _, t := range d.statements {
		section, kind := "", t.Code
		switch t.Origin {
		case OriginEstablished:
			section = "established"
		case OriginStandard:
			section = "standard"
		case OriginCVTCode:
			section, kind = "cvt codes", "CVT"
		case OriginVideoTiming:
			section, kind = "Detailed Timing Descriptors", "DTD"
		case OriginDetailed:
			section, kind = "Detailed Timing Descriptors", strings.Replace(t.Code, "detailed", "DTD", 1)
		default:
			continue
		}
		s.add(section, shown(kind, t))
		if section == "Detailed Timing Descriptors" {
			expectDetail(s, section, t)
		}
	}
}

// shown writes a timing in the common form. Codes that are not tables of the
// tool (formulas, older established formats) lose their name.
func shown(kind string, t Timing) string {
	if kind == "established" || len(kind) == 5 && kind[2] == ' ' {
		kind = "formula"
	}
	if strings.HasPrefix(kind, "DMT 0x") {
		kind = "DMT 0x" + strings.ToLower(kind[6:])
	}
	khz := 0.0
	if t.HTotal > 0 { // from the figures themselves: LineKHz is rounded already
		khz = round(t.PixelClockMHz*1000, 0) / float64(t.HTotal)
	}
	return timingText(kind, t.Width, t.Height, t.Interlaced, t.RefreshHz, khz, t.PixelClockMHz)
}

func expectDetail(s sections, section string, t Timing) {
	sign := func(positive bool) string {
		if positive {
			return "P"
		}
		return "N"
	}
	hBorder := (t.HTotal - t.Width - t.HFront - t.HSync - t.HBack) / 2
	h := fmt.Sprintf("Hfront %d Hsync %d Hback %d Hpol %s", t.HFront, t.HSync, t.HBack, sign(t.HPositive))
	if hBorder > 0 {
		h += fmt.Sprintf(" Hborder %d", hBorder)
	}
	v := fmt.Sprintf("Vfront %d Vsync %d Vback %d", t.VFront, t.VSync, t.VBack)
	if !strings.HasPrefix(t.Sync, "digital") {
		v += " Vpol " + sign(t.VPositive)
	}
	if vBorder := (int(t.VTotal) - t.Height - t.VFront - t.VSync - t.VBack) / 2; !t.Interlaced && vBorder > 0 {
		v += fmt.Sprintf(" Vborder %d", vBorder)
	}
	s.add(section+"/porches", h)
	s.add(section+"/porches", v)
	if flags := detailFlags(t); flags != "" {
		s.add(section+"/flags", flags)
	}
}

func detailFlags(t Timing) string {
	var parts []string
	if t.Sync != "" {
		parts = append(parts, map[string]string{
			"analogue composite":                             "analog composite",
			"analogue composite, on green":                   "analog composite, sync-on-green",
			"analogue composite, serrated":                   "analog composite, serrate",
			"analogue composite, serrated, on green":         "analog composite, serrate, sync-on-green",
			"bipolar analogue composite":                     "bipolar analog composite",
			"bipolar analogue composite, on green":           "bipolar analog composite, sync-on-green",
			"bipolar analogue composite, serrated":           "bipolar analog composite, serrate",
			"bipolar analogue composite, serrated, on green": "bipolar analog composite, serrate, sync-on-green",
			"digital composite":                              "digital composite",
			"digital composite, serrated":                    "digital composite, serrate",
		}[t.Sync])
	}
	if t.Stereo != "" {
		parts = append(parts, map[string]string{
			"field sequential, left first":     "field sequential L/R",
			"field sequential, right first":    "field sequential R/L",
			"interleaved, right on even lines": "interleaved right even",
			"interleaved, left on even lines":  "interleaved left even",
			"four-way interleaved":             "four way interleaved",
			"side by side":                     "side by side interleaved",
		}[t.Stereo])
	}
	if t.ImageWidthMM > 0 || t.ImageHeightMM > 0 {
		parts = append(parts, fmt.Sprintf("%d mm x %d mm", t.ImageWidthMM, t.ImageHeightMM))
	}
	return strings.Join(parts, ", ")
}

func expectDescriptors(s sections, d *decoder) {
	o := d.out
	if d.hasName && o.Name != "" {
		s.add("descriptor Display Product Name", "'"+o.Name+"'")
	}
	if o.SerialText != "" {
		s.add("descriptor Display Product Serial Number", "'"+o.SerialText+"'")
	}
	for _, text := range o.Texts {
		s.add("texts", "'"+text+"'")
	}
	for _, w := range o.WhitePoints {
		line := fmt.Sprintf("Index: %d White: 0.%04d, 0.%04d Gamma", w.Index, int(w.White.X*10000+1e-6), int(w.White.Y*10000+1e-6))
		if w.Gamma == nil {
			line += ": is defined in an extension block"
		} else {
			line += fmt.Sprintf(": %.2f", *w.Gamma)
		}
		s.add("descriptor Color Point Data", line)
	}
	if c := o.ColorManagement; c != nil {
		const name = "descriptor Display Color Management Data"
		s.add(name, fmt.Sprintf("Version : %d", c.Version))
		for i, label := range []string{"Red a3  ", "Red a2  ", "Green a3", "Green a2", "Blue a3 ", "Blue a2 "} {
			s.add(name, fmt.Sprintf("%s: %.2f", label, c.Coefficients[i]))
		}
	}
	if o.Range != nil {
		expectRange(func(line string) { s.add("descriptor Display Range Limits", line) }, o.Range)
	}
}

func expectRange(add func(string), r *Range) {
	kind := map[string]string{formulaGTF: "GTF", formulaLimits: "Bare Limits", formulaSecondaryGTF: "Secondary GTF", formulaCVT: "CVT"}[r.Formula]
	line := fmt.Sprintf("Monitor ranges (%s): %d-%d Hz V, %d-%d kHz H", kind, r.MinVHz, r.MaxVHz, r.MinHKHz, r.MaxHKHz)
	if r.statedClockMHz > 0 {
		line += fmt.Sprintf(", max dotclock %d MHz", r.statedClockMHz)
	}
	add(line)
	if r.Formula == formulaSecondaryGTF {
		add("GTF Secondary Curve Block:")
		add(fmt.Sprintf("Start frequency: %d kHz", r.GTFStartKHz))
		add(fmt.Sprintf("C: %.1f%%", r.GTFC))
		add(fmt.Sprintf("M: %d%%/kHz", r.GTFM))
		add(fmt.Sprintf("K: %d", r.GTFK))
		add(fmt.Sprintf("J: %.1f%%", r.GTFJ))
	}
	if r.Formula != formulaCVT {
		return
	}
	add("CVT version " + r.CVTVersion)
	if r.MaxClockMHz != nil && *r.MaxClockMHz != float64(r.statedClockMHz) {
		add(fmt.Sprintf("Real max dotclock: %.2f MHz", *r.MaxClockMHz))
	}
	if r.MaxPixels > 0 {
		add(fmt.Sprintf("Max active pixels per line: %d", r.MaxPixels))
	}
	add(strings.TrimSpace("Supported aspect ratios: " + strings.Join(r.Aspects, " ")))
	add("Preferred aspect ratio: " + r.PreferAspect)
	if r.CVTStandard {
		add("Supports CVT standard blanking")
	}
	if r.CVTReduced {
		add("Supports CVT reduced blanking")
	}
	if len(r.Scaling) > 0 {
		add("Supported display scaling:")
	}
	for _, name := range r.Scaling {
		add(strings.ToUpper(name[:1]) + name[1:])
	}
	if r.PreferRateHz > 0 {
		add(fmt.Sprintf("Preferred vertical refresh: %d Hz", r.PreferRateHz))
	}
}
