package edid

import (
	"regexp"
	"strings"
)

// normalise puts the tool's sections into the vocabulary of expected, taking
// the named differences into account.
func normalise(in sections) sections {
	out := sections{}
	for name, lines := range in {
		flags := in[name+"/flags"]
		switch {
		case strings.HasSuffix(name, "/flags"), strings.HasSuffix(name, "/porches"):
			if base := strings.SplitN(name, "/", 2)[0]; base == "Detailed Timing Descriptors" {
				out[name] = lines
			} else if isDetailedType(base) && strings.HasSuffix(name, "/porches") {
				out["DisplayID/porches"] = append(out["DisplayID/porches"], lines...)
			}
		case dropped(name):
		default:
			normaliseSection(out, name, lines, flags)
		}
	}
	return out
}

// isDetailedType: type II has no polarity to compare, see the differences.
func isDetailedType(section string) bool {
	return strings.HasPrefix(section, "Video Timing Modes Type") && !strings.Contains(section, "Type 2 ") ||
		strings.HasPrefix(section, "DisplayID Type VII ")
}

// dropped lists sections that are not compared: fillers and blocks whose
// content this package keeps as bytes or leaves out.
func dropped(name string) bool {
	for _, prefix := range []string{
		"preferred otherwise", "descriptor Dummy", "descriptor Empty", "descriptor Manufacturer", "descriptor Unknown",
		"Unknown CTA-861", "Unknown EDID", "Localized String", "Color Characteristics Data Block",
		"ContainerID", "Display Interface", "Display Transfer", "Display Information", "Display Capabi", "Digital Interface",
		"Display Device", "Display Usage", "Video Timing Extension", "Video Timing Range", "Dynamic Video", "Adaptive Sync", "Transfer Char",
	} {
		if strings.HasPrefix(name, prefix) {
			return true
		}
	}
	return false
}

func normaliseSection(out sections, name string, lines, flags []string) {
	switch name {
	case "Established Timings I & II", "descriptor Established timings III":
		for _, line := range lines {
			if !strings.HasPrefix(line, "DMT") {
				line = "formula" + line[strings.Index(line, " "):]
			}
			out.add("established", line)
		}
	case "Standard Timings", "descriptor Standard Timing Identifications":
		normaliseStandard(out, lines)
	case "descriptor CVT 3 Byte Timing Codes", "Coordinated Video Timings":
		out["cvt codes"] = append(out["cvt codes"], lines...)
	case "descriptor Alphanumeric Data String", "GP ASCII String Data Block":
		out["texts"] = append(out["texts"], texts(lines)...)
	case "descriptor Display Product Name":
		out[name] = append(out[name], texts(lines)...)
	case "descriptor Display Product Serial Number", "Product Serial Number Data Block":
		const serial = "descriptor Display Product Serial Number"
		out[serial] = append(out[serial], texts(lines)...)
	case "Detailed Timing Descriptors":
		for _, line := range lines {
			if !hexLine.MatchString(line) {
				out.add(name, strings.Replace(line, "DTD 0 ", "DTD ", 1))
			}
		}
	case "Video Data Block", "YCbCr 4:2:0 Video Data Block", "YCbCr 4:2:0 Capability Map Data Block":
		normaliseVideo(out, name, lines)
	case "Speaker Allocation Data Block", "Room Configuration Data Block", "Speaker Location Data Block":
		normaliseSpeakers(out, name, lines)
	case "Audio Data Block", "HDMI Audio Data Block":
		normaliseAudio(out, name, lines)
	case "Basic Display Parameters & Features":
		for _, line := range lines {
			if strings.HasPrefix(line, "Aspect ratio") {
				line, _, _ = strings.Cut(line, " (")
			}
			out.add(name, line)
		}
	case "Colorimetry Data Block":
		for _, line := range lines {
			if !strings.HasPrefix(line, "Reserved") {
				out.add(name, line)
			}
		}
	case "HDR Static Metadata Data Block":
		for _, line := range lines {
			out.add(name, rawLuminance.ReplaceAllString(line, ": $1"))
		}
	case "Base EDID", "CTA-861 Extension Block", "DisplayID Extension Block", "Block Map Extension Block":
		normaliseHead(out, name, lines)
	default:
		normaliseRest(out, name, lines, flags)
	}
}

var (
	rawLuminance    = regexp.MustCompile(`: \d+ \((.*)\)$`)
	sliceText       = regexp.MustCompile(`^DSC Max Slices: up to (\d+) .*`)
	vicNumber       = regexp.MustCompile(`^(?:Unknown \()?VIC +(\d+)`)
	ouiText         = regexp.MustCompile(`OUI (..-..-..)$`)
	hexLine         = regexp.MustCompile(`^(?:Detailed mode: *)?[0-9a-f]{2} [0-9a-f]{2} `)
	unknownStandard = regexp.MustCompile(`^Unknown : +(\d+)x(\d+) +(\S+) Hz`)
)

// texts drops empty texts and spaces at the end of one.
func texts(lines []string) []string {
	var out []string
	for _, line := range lines {
		line = strings.TrimPrefix(line, "Text: ")
		if s := strings.TrimSpace(strings.Trim(line, "'")); s != "" {
			out = append(out, "'"+s+"'")
		}
	}
	return out
}

// normaliseStandard names all formulas alike.
func normaliseStandard(out sections, lines []string) {
	for _, line := range lines {
		switch {
		case strings.HasPrefix(line, "DMT"):
			out.add("standard", line)
		case strings.HasPrefix(line, "Unknown"):
			m := unknownStandard.FindStringSubmatch(line)
			out.add("standard", "formula "+m[1]+" "+m[2]+"p "+m[3]+" 0.000 0.000")
		default:
			out.add("standard", "formula"+line[strings.Index(line, " "):])
		}
	}
}

func normaliseVideo(out sections, name string, lines []string) {
	for _, line := range lines {
		if line == "All VDB SVDs" {
			out.add(name, "all")
		}
		if m := vicNumber.FindStringSubmatch(line); m != nil {
			out.add(name, m[1])
			if !strings.HasPrefix(line, "Unknown") && !strings.Contains(name, "Map") {
				out.add("VIC figures", line)
			}
		}
	}
}

func normaliseSpeakers(out sections, name string, lines []string) {
	for _, line := range lines {
		if strings.HasSuffix(line, " dm") {
			continue
		}
		line, _, _ = strings.Cut(line, " - ")
		out.add(name, line)
	}
}

// normaliseAudio drops what depends on one format and names makers' formats
// alike.
func normaliseAudio(out sections, name string, lines []string) {
	known := map[string]bool{}
	for _, format := range toolAudio {
		known[format] = true
	}
	for code, format := range audioExtended {
		if code != 14 {
			known[strings.Replace(format, "LPCM", "L-PCM", 1)] = true
		}
	}
	for _, line := range lines {
		switch {
		case strings.HasPrefix(line, "Max channels"), strings.HasPrefix(line, "Maximum bit"),
			strings.HasPrefix(line, "Supported sample"), strings.Contains(line, ", max channels"):
			out.add(name, line)
		case strings.HasPrefix(line, "Speaker Allocation"):
			return
		case strings.HasSuffix(line, ":") && !known[strings.TrimSuffix(line, ":")] &&
			!strings.HasPrefix(line, "AAC audio frame"):
			out.add(name, "maker's name:")
		case known[strings.TrimSuffix(line, ":")]:
			out.add(name, line)
		}
	}
}

func normaliseHead(out sections, name string, lines []string) {
	for _, line := range lines {
		switch {
		case strings.HasSuffix(line, ": none"), strings.HasPrefix(line, "Display Product"):
		case strings.HasPrefix(line, "Checksum: "):
			out.add("DisplayID checksum", map[bool]string{true: "bad", false: "good"}[strings.Contains(line, "should be")])
		case strings.HasPrefix(line, "Block "):
			out.add("block map", strings.TrimSpace(strings.TrimPrefix(strings.SplitN(line, ":", 2)[0], "Block")))
		default:
			out.add(name, line)
		}
	}
}

func normaliseRest(out sections, name string, lines, flags []string) {
	switch {
	case strings.HasPrefix(name, "Vendor-Specific") && !strings.Contains(name, "(HDMI"):
		if m := ouiText.FindStringSubmatch(name); m != nil {
			hex := ""
			for _, line := range lines {
				line, _, _ = strings.Cut(line, "'")
				hex += strings.ReplaceAll(line, " ", "")
			}
			out.add("vendor "+m[1], hex)
		}
	case strings.Contains(name, "(HDMI)"):
		normaliseHDMI(out, name, lines)
	case strings.Contains(name, "Forum"):
		for _, line := range lines {
			out.add(name, sliceText.ReplaceAllString(line, "DSC Max Slices: $1"))
		}
	case strings.HasSuffix(name, "Preference Data Block"), strings.HasPrefix(name, "Native Video"):
		for _, line := range lines {
			if m := vicNumber.FindStringSubmatch(line); m != nil {
				line = "VIC " + m[1]
			}
			out.add(name, strings.ReplaceAll(strings.Join(strings.Fields(line), " "), ".0x", "x"))
		}
	case strings.HasPrefix(name, "HDR Dynamic"):
		for _, line := range lines {
			if !strings.HasPrefix(line, "Supports SL") {
				out.add(name, line)
			}
		}
	case strings.HasPrefix(name, "InfoFrame"):
		out[name] = append(out[name], lines[1:]...)
	case strings.Contains(name, "Timing Modes Type"), strings.HasPrefix(name, "DisplayID Type"):
		normaliseDisplayIDTimings(out, lines, flags)
	case strings.HasPrefix(name, "Product Identification"):
		for _, line := range lines {
			out.add("DisplayID product", strings.TrimRight(line, " "))
		}
	case strings.HasPrefix(name, "Display Parameters"), strings.HasPrefix(name, "Display Device"),
		strings.HasPrefix(name, "Tiled Display"):
		normaliseDisplayIDParameters(out, lines)
	default:
		out[name] = append(out[name], lines...)
	}
}

// normaliseHDMI keeps formats of the 3D part by number only.
func normaliseHDMI(out sections, name string, lines []string) {
	for _, line := range lines {
		switch {
		case strings.HasPrefix(line, "VIC "):
			out.add(name, "3D VIC "+vicNumber.FindStringSubmatch(line)[1])
		case strings.Contains(line, "3D"), strings.HasPrefix(line, "Extended HDMI"), strings.HasPrefix(line, "HDMI VICs:"),
			strings.HasPrefix(line, "Base EDID image"), strings.HasPrefix(line, "Recalculated"):
		default:
			out.add(name, line)
		}
	}
}

func normaliseDisplayIDTimings(out sections, lines, flags []string) {
	for _, line := range lines {
		if strings.HasPrefix(line, "VTDB ") { // a type VII timing in a CTA-861 block
			line = "DTD" + line[len("VTDB n"):]
		}
		out.add("DisplayID timings", line)
	}
	for _, f := range flags {
		if strings.Contains(f, "preferred") {
			out.add("DisplayID preferred", "yes")
		}
	}
}

var (
	imageText = regexp.MustCompile(`^Image size: ([\d.]+) mm x ([\d.]+) mm$`)
	tilesText = regexp.MustCompile(`^Num horizontal tiles: (\d+) Num vertical tiles: (\d+)$`)
)

func normaliseDisplayIDParameters(out sections, lines []string) {
	tile := ""
	for _, line := range lines {
		if m := imageText.FindStringSubmatch(line); m != nil {
			out.add("DisplayID image", strings.TrimSuffix(m[1], ".0")+" x "+strings.TrimSuffix(m[2], ".0"))
		}
		if m := tilesText.FindStringSubmatch(line); m != nil {
			tile = m[1] + " " + m[2]
		}
		if v, ok := strings.CutPrefix(line, "Tile location: "); ok {
			tile += " at " + v
		}
		if v, ok := strings.CutPrefix(line, "Tile resolution: "); ok && !strings.Contains(tile, " of ") {
			tile += " of " + v
		}
		if v, ok := strings.CutPrefix(line, "Display native pixel format: "); ok && v != "0x0" {
			out.add("DisplayID native", v)
		}
	}
	if tile != "" {
		out.add("DisplayID tile", tile)
	}
}
