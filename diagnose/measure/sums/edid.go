package sums

import (
	"fmt"
	"strings"

	"faultbook/diagnose/measure/edid"
	"faultbook/diagnose/measure/link"
	"faultbook/diagnose/measure/timing"
)

// DisplayPart describes a display as its EDID does, in the words of the link
// sum's part input: "display=named TEST, 300 MHz, 8 bit in 4:4:4, …, only
// 2160p30/…, 4:2:0 only 2160p60". What the EDID leaves open is left open.
func DisplayPart(d *edid.Display) string {
	pieces := []string{"named " + cleanName(d.Name)}
	switch {
	case d.HDMI:
		pieces = append(pieces, hdmiPieces(d)...)
	case d.Input.Digital && d.Input.Interface != "DisplayPort":
		pieces = append(pieces, "DVI", "rgb only", "8 bit")
	}
	return "display=" + strings.Join(append(pieces, formatPieces(d)...), ", ")
}

// cleanName keeps a display's name from being read as several pieces.
func cleanName(name string) string {
	name = strings.TrimSpace(strings.ReplaceAll(name, ",", " "))
	if name == "" {
		return "EDID"
	}
	return name
}

// hdmiPieces gives the limit, chroma and depths of an HDMI sink.
func hdmiPieces(d *edid.Display) []string {
	limit := fmt.Sprintf("%g MHz", link.LimitSingleLink) // where none is stated (H-008)
	if d.MaxTMDSMHz != nil && *d.MaxTMDSMHz > 0 {
		limit = fmt.Sprintf("%d MHz", *d.MaxTMDSMHz)
	}
	if d.MaxTMDSForumMHz != nil && *d.MaxTMDSForumMHz > 0 {
		limit = fmt.Sprintf("%d MHz", *d.MaxTMDSForumMHz)
	}
	if d.FRL != nil && *d.FRL > 0 {
		limit = fmt.Sprintf("FRL %d", *d.FRL)
	}
	deep, deep420 := 8, 8
	if d.HDMIBlock != nil {
		for _, bits := range d.HDMIBlock.DeepColorBits {
			deep = max(deep, bits/3)
		}
	}
	if d.ForumBlock != nil {
		for _, bits := range d.ForumBlock.Deep420Bits {
			deep420 = max(deep420, bits)
		}
	}
	pieces := []string{limit, "4:4:4", fmt.Sprintf("%d bit in 4:4:4", deep)}
	for _, c := range d.CTA {
		if c.YCbCr422 {
			pieces = append(pieces, "4:2:2")
			break
		}
	}
	if len(d.VICs420Only)+len(d.VICs420Also) > 0 {
		pieces = append(pieces, "4:2:0", fmt.Sprintf("%d bit in 4:2:0", deep420))
	}
	return pieces
}

// formatPieces gives the lists of formats. A display that takes any timing in
// its range has no list.
func formatPieces(d *edid.Display) []string {
	if d.Features.Continuous || d.Features.GTF {
		return nil
	}
	var only, only420 []string
	for _, t := range d.Timings {
		only = addFormat(only, timing.Format{Width: t.Width, Height: t.Height, Rate: t.RefreshHz, Interlaced: t.Interlaced})
	}
	for _, code := range d.VICs420Only {
		if t, ok := timing.VIC(code); ok {
			only420 = addFormat(only420, timing.Format{Width: t.Width, Height: t.Height, Rate: t.RateHz(), Interlaced: t.Interlaced})
		}
	}
	var pieces []string
	if len(only) > 0 {
		pieces = append(pieces, "only "+strings.Join(only, "/"))
	}
	if len(only420) > 0 {
		pieces = append(pieces, "4:2:0 only "+strings.Join(only420, "/"))
	}
	return pieces
}

// addFormat adds a format once, if this package can read it back.
func addFormat(list []string, f timing.Format) []string {
	text := fmt.Sprintf("%dx%dp%.2f", f.Width, f.Height, f.Rate)
	if f.Interlaced {
		text = strings.Replace(text, "p", "i", 1)
	}
	back, err := timing.ParseFormat(text)
	if err != nil {
		return list
	}
	if _, err := timing.Resolve(back); err != nil {
		return list
	}
	for _, have := range list {
		if have == text {
			return list
		}
	}
	return append(list, text)
}
