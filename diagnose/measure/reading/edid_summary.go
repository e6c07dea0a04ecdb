package reading

import (
	"fmt"
	"sort"
	"strings"

	"faultbook/diagnose/measure/edid"
)

// shownFormats is how many formats a summary lists by name.
const shownFormats = 12

// edidSummary is what a person wants to see first.
func edidSummary(r *Reading, d *edid.Display) {
	r.row("display", "%s", strings.Join(nonEmpty(d.Name, fmt.Sprintf("maker %s product %d", d.Maker, d.Product), serial(d)), ", "))
	r.row("made", "%s", made(d))
	r.row("EDID", "version %s, %s", d.Version, blocksText(d))
	r.row("input", "%s", inputText(d))
	r.row("size", "%s", sizeText(d))
	if d.Preferred != nil {
		r.row("prefers", "%s, pixel clock %g MHz", d.Preferred.Label(), d.Preferred.PixelClockMHz)
	} else if d.FirstTiming != nil {
		r.row("first", "%s, pixel clock %g MHz (not marked as preferred)", d.FirstTiming.Label(), d.FirstTiming.PixelClockMHz)
	}
	r.rows("formats", formatLines(d))
	if d.Range != nil {
		r.row("range", "%s", rangeText(d.Range))
	}
	r.row("link", "%s", linkText(d))
	if colour := colourText(d); colour != "" {
		r.row("colour", "%s", colour)
	}
	r.rows("sound", soundLines(d))
	if d.PhysicalAddress != nil {
		r.row("CEC", "physical address %s", *d.PhysicalAddress)
	}
	r.rows("faults", d.Problems)
}

func nonEmpty(parts ...string) []string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return out
}

func serial(d *edid.Display) string {
	switch {
	case d.SerialText != "":
		return "serial " + d.SerialText
	case d.SerialNumber != nil:
		return fmt.Sprintf("serial %d", *d.SerialNumber)
	}
	return ""
}

func made(d *edid.Display) string {
	switch {
	case d.YearIsModel:
		return fmt.Sprintf("model year %d", d.MadeYear)
	case d.MadeWeek > 0:
		return fmt.Sprintf("week %d of %d", d.MadeWeek, d.MadeYear)
	}
	return fmt.Sprint(d.MadeYear)
}

func blocksText(d *edid.Display) string {
	var parts []string
	for _, b := range d.Blocks {
		state := "checksum right"
		if !b.ChecksumOK {
			state = fmt.Sprintf("checksum %02X, should be %02X", b.Checksum, b.Expected)
		}
		parts = append(parts, fmt.Sprintf("block %d %s (%s)", b.Number, b.Kind, state))
	}
	text := strings.Join(parts, ", ")
	if d.MissingExtensions > 0 {
		text += fmt.Sprintf(", %d missing", d.MissingExtensions)
	}
	return text
}

func inputText(d *edid.Display) string {
	if !d.Input.Digital {
		return "analogue, " + d.Input.Level + " V"
	}
	parts := []string{"digital"}
	if d.Input.Interface != "" {
		parts = append(parts, d.Input.Interface)
	}
	if d.Input.BitDepth > 0 {
		parts = append(parts, fmt.Sprintf("%d bits a colour", d.Input.BitDepth))
	}
	return strings.Join(parts, ", ")
}

func sizeText(d *edid.Display) string {
	switch {
	case d.ImageWidthCM > 0:
		return fmt.Sprintf("%d x %d cm", d.ImageWidthCM, d.ImageHeightCM)
	case d.LandscapeAspect != nil:
		return fmt.Sprintf("not stated, aspect %.2f", *d.LandscapeAspect)
	}
	return "not stated"
}

// formatLines lists the formats, most pixels a second first.
func formatLines(d *edid.Display) []string {
	all := append([]edid.Timing{}, d.Timings...)
	rate := func(t edid.Timing) float64 {
		v := float64(t.Width) * float64(t.Height) * t.RefreshHz
		if t.Interlaced {
			v /= 2
		}
		return v
	}
	sort.SliceStable(all, func(i, j int) bool { return rate(all[i]) > rate(all[j]) })
	var out []string
	seen := map[string]bool{}
	for _, t := range all {
		name := t.Label()
		switch t.Chroma420 {
		case "only":
			name += " (4:2:0 only)"
		case "also":
			name += " (4:2:0 too)"
		}
		if !seen[name] {
			seen[name] = true
			out = append(out, name)
		}
	}
	rest := len(out) - shownFormats
	if rest > 0 {
		out = append(out[:shownFormats], fmt.Sprintf("and %d more", rest))
	}
	var lines []string
	for len(out) > 0 {
		n := min(4, len(out))
		lines = append(lines, strings.Join(out[:n], ", "))
		out = out[n:]
	}
	return lines
}

func rangeText(r *edid.Range) string {
	text := fmt.Sprintf("%d to %d Hz, %d to %d kHz", r.MinVHz, r.MaxVHz, r.MinHKHz, r.MaxHKHz)
	if r.MaxClockMHz != nil {
		text += fmt.Sprintf(", up to %g MHz", *r.MaxClockMHz)
	}
	return text
}

func linkText(d *edid.Display) string {
	if !d.HDMI {
		if d.Input.Interface == "DisplayPort" || len(d.DisplayID) > 0 {
			return "no HDMI block (DisplayPort needs none)"
		}
		return "no HDMI block: a source sends DVI"
	}
	text := "HDMI"
	if d.MaxTMDSMHz != nil && *d.MaxTMDSMHz > 0 {
		text += fmt.Sprintf(", %d MHz", *d.MaxTMDSMHz)
	}
	if d.MaxTMDSForumMHz != nil {
		text += fmt.Sprintf(", HDMI Forum block %d MHz", *d.MaxTMDSForumMHz)
	}
	if d.MaxTMDSForumMHz == nil && (d.MaxTMDSMHz == nil || *d.MaxTMDSMHz == 0) {
		text += ", no clock stated (165 MHz counts)"
	}
	if d.ForumBlock != nil && d.ForumBlock.SCDC {
		text += ", SCDC"
	}
	if d.FRL != nil && *d.FRL > 0 {
		text += fmt.Sprintf(", FRL %d", *d.FRL)
	}
	return text
}

func colourText(d *edid.Display) string {
	parts := append([]string{}, d.Colorimetry...)
	if h := d.HDMIBlock; h != nil && len(h.DeepColorBits) > 0 {
		parts = append(parts, fmt.Sprintf("deep colour %v bits", h.DeepColorBits))
	}
	if d.HDR != nil {
		parts = append(parts, "curves "+strings.Join(d.HDR.EOTFs, " "))
		if d.HDR.MaxNits != nil {
			parts = append(parts, fmt.Sprintf("up to %.0f cd/m²", *d.HDR.MaxNits))
		}
	}
	return strings.Join(parts, ", ")
}

func soundLines(d *edid.Display) []string {
	var out []string
	for _, a := range d.Audio {
		line := a.Format
		if a.Channels > 0 {
			line += ", " + plural(a.Channels, "channel")
		}
		line += ", " + strings.Trim(fmt.Sprint(a.RatesKHz), "[]") + " kHz"
		if len(a.Bits) > 0 {
			line += ", " + strings.Trim(fmt.Sprint(a.Bits), "[]") + " bit"
		}
		if a.MaxKbps > 0 {
			line += fmt.Sprintf(", up to %d kbit/s", a.MaxKbps)
		}
		out = append(out, line)
	}
	switch {
	case len(out) == 0 && d.BasicAudio:
		out = []string{"basic audio"}
	case len(out) == 0:
		out = []string{"none announced"}
	}
	if len(d.Speakers) > 0 {
		out = append(out, "speakers "+strings.Join(d.Speakers, " "))
	}
	return out
}
