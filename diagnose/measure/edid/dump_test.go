package edid

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// vector reads one of the worked EDIDs in testdata.
func vector(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name+".hex"))
	if err != nil {
		t.Fatal(err)
	}
	dumps := FromText(text)
	if len(dumps) != 1 {
		t.Fatalf("%s: %d EDIDs found, want 1", name, len(dumps))
	}
	return dumps[0].Data
}

// The layouts below are written by hand after the usual tools (xxd, hexdump,
// od, i2cdump, xrandr, a kernel log, an editor's export).
var layouts = []struct {
	name  string
	write func(data []byte) string
}{
	{"pairs", func(d []byte) string { return rows(d, 16, "%s\n", pairs) }},
	{"capital pairs", func(d []byte) string { return strings.ToUpper(rows(d, 16, "%s\n", pairs)) }},
	{"one line", func(d []byte) string { return hex.EncodeToString(d) }},
	{"one line of pairs", func(d []byte) string { return pairs(d) }},
	{"32 digits, tab in front", func(d []byte) string { return rows(d, 16, "\t\t%s\n", hex.EncodeToString) }},
	{"32 bytes a row, gap", func(d []byte) string {
		return rows(d, 32, "%s\n", func(b []byte) string { return pairs(b[:16]) + "  " + pairs(b[16:]) })
	}},
	{"eight a row", func(d []byte) string { return rows(d, 8, "%s\n", pairs) }},
	{"commas", func(d []byte) string { return rows(d, 16, "%s,\n", joined(", ", "%02X")) }},
	{"0x", func(d []byte) string { return rows(d, 16, "%s\n", joined(" ", "0x%02X")) }},
	{"short 0x", func(d []byte) string { return rows(d, 8, "  %s,\n", joined(", ", "0x%x")) }},
	{"program", func(d []byte) string {
		return "static const unsigned char block[] = {\n" + rows(d, 8, "\t%s, /* row */\n", joined(", ", "0x%02x")) + "};\n"
	}},
	{"program, one line", func(d []byte) string { return "var e = []byte{" + joined(", ", "0x%02x")(d) + "}" }},
	{"escapes", func(d []byte) string { return rows(d, 16, "\"%s\"\n", joined("", "\\x%02x")) }},
	{"h behind", func(d []byte) string { return rows(d, 8, "db %s\n", joined(", ", "%02Xh")) }},
	{"colons", func(d []byte) string { return rows(d, 16, "%s\n", joined(":", "%02x")) }},
	{"dashes", func(d []byte) string { return rows(d, 16, "%s\n", joined("-", "%02X")) }},
	{"offset colon", func(d []byte) string { return offsets(d, "%02x: ", "", pairs) }},
	{"offset bar", func(d []byte) string { return offsets(d, "0x%02X | ", "", pairs) }},
	{"offset in brackets", func(d []byte) string { return offsets(d, "[%04x] ", "", pairs) }},
	{"offset, no sign", func(d []byte) string { return offsets(d, "%04x  ", "", pairs) }},
	{"characters behind", func(d []byte) string { return rows(d, 16, "%s\n", withColumn) }},
	{"i2cdump", func(d []byte) string {
		return "     0  1  2  3  4  5  6  7  8  9  a  b  c  d  e  f    0123456789abcdef\n" + offsets(d, "%02x: ", "    ", pairs)
	}},
	{"xxd", func(d []byte) string { return offsets(d, "%08x: ", "  ", words) }},
	{"hexdump -C", func(d []byte) string { return starred(d, "%08x  ", "|") + fmt.Sprintf("%08x\n", len(d)) }},
	{"hexdump", func(d []byte) string { return offsets(d, "%07x ", "", swapped) + fmt.Sprintf("%07x\n", len(d)) }},
	{"od -An -tx1", func(d []byte) string { return rows(d, 16, " %s\n", pairs) }},
	{"od -tx1", func(d []byte) string { return starred(d, "%07o ", "") + fmt.Sprintf("%07o\n", len(d)) }},
	{"column numbers", func(d []byte) string {
		return "     00 01 02 03 04 05 06 07 08 09 0A 0B 0C 0D 0E 0F\n" + offsets(d, "%02X   ", "", pairs)
	}},
	{"log", func(d []byte) string {
		return rows(d, 16, "[    12.345678] (II) driver(0): \t%s\n", hex.EncodeToString)
	}},
	{"kernel log", func(d []byte) string { return rows(d, 16, "[    4.016111] \t[00] BAD  %s\n", pairs) }},
	{"registry", func(d []byte) string { return "\"EDID\"=hex:" + rows(d, 25, "%s,\\\n  ", joined(",", "%02x")) }},
	{"elements", func(d []byte) string {
		s := "<data>\n"
		for i := 0; i < len(d); i += 128 {
			s += fmt.Sprintf("  <BLOCK%d>%X</BLOCK%d>\n", i/128, d[i:min(i+128, len(d))], i/128)
		}
		return s + "</data>\n"
	}},
	{"headings", func(d []byte) string {
		s := ""
		for i := 0; i < len(d); i += 128 {
			s += fmt.Sprintf("Block %d of the EDID:\n\n", i/128) + rows(d[i:min(i+128, len(d))], 16, "  %s\n", pairs) + "\nchecksum fine\n"
		}
		return s
	}},
	{"decode behind", func(d []byte) string {
		return "some-tool (hex):\n\n" + rows(d, 16, "%s\n", pairs) + "\n----------------\n\nBlock 0, base:\n" +
			"  Unknown descriptor: 00 00 00 0f 00 00 01 02 03 04 05 06 07 08 09 0a 0b 0c '..............'\n  Checksum: 0xa8\n"
	}},
	{"carriage returns", func(d []byte) string { return rows(d, 16, "%s\r\n", pairs) }},
}

func joined(sep, format string) func([]byte) string {
	return func(b []byte) string {
		parts := make([]string, len(b))
		for i, v := range b {
			parts[i] = fmt.Sprintf(format, v)
		}
		return strings.Join(parts, sep)
	}
}

func pairs(b []byte) string { return joined(" ", "%02x")(b) }

func words(b []byte) string {
	s := ""
	for i := 0; i < len(b); i += 2 {
		s += fmt.Sprintf("%02x%02x ", b[i], b[i+1])
	}
	return strings.TrimRight(s, " ")
}

func swapped(b []byte) string {
	s := ""
	for i := 0; i < len(b); i += 2 {
		s += fmt.Sprintf("%02x%02x ", b[i+1], b[i])
	}
	return s
}

func characters(b []byte) string {
	s := ""
	for _, v := range b {
		if v < 0x20 || v > 0x7E {
			v = '.'
		}
		s += string(rune(v))
	}
	return s
}

func withColumn(b []byte) string { return pairs(b) + "   " + characters(b) }

func rows(d []byte, n int, format string, write func([]byte) string) string {
	s := ""
	for i := 0; i < len(d); i += n {
		s += fmt.Sprintf(format, write(d[i:min(i+n, len(d))]))
	}
	return s
}

// offsets writes rows of 16 with an offset; a gap adds the characters behind.
func offsets(d []byte, format, gap string, write func([]byte) string) string {
	s := ""
	for i := 0; i < len(d); i += 16 {
		row := d[i:min(i+16, len(d))]
		s += fmt.Sprintf(format, i) + write(row)
		if gap != "" {
			s += gap + characters(row)
		}
		s += "\n"
	}
	return s
}

// starred writes rows of 16 and a star for repeated ones.
func starred(d []byte, format, bar string) string {
	s, star := "", false
	for i := 0; i < len(d); i += 16 {
		row := d[i:min(i+16, len(d))]
		if i >= 16 && bytes.Equal(row, d[i-16:i]) {
			if !star {
				s += "*\n"
			}
			star = true
			continue
		}
		star = false
		s += fmt.Sprintf(format, i) + pairs(row)
		if bar != "" {
			s += "  |" + characters(row) + "|"
		}
		s += "\n"
	}
	return s
}

func TestLayouts(t *testing.T) {
	for _, v := range []string{"A", "B", "D", "F", "I"} {
		data := vector(t, v)
		for _, l := range layouts {
			text := l.write(data)
			dumps := FromText([]byte(text))
			if len(dumps) != 1 {
				t.Errorf("vector %s as %s: %d EDIDs found, want 1", v, l.name, len(dumps))
				continue
			}
			if !bytes.Equal(dumps[0].Data, data) {
				t.Errorf("vector %s as %s: read\n%x\nwant\n%x", v, l.name, dumps[0].Data, data)
			}
		}
	}
}

// TestSeveral: two EDIDs in one paste of each layout that can hold them.
func TestSeveral(t *testing.T) {
	a, b := vector(t, "A"), vector(t, "D")
	for _, l := range layouts {
		dumps := FromText([]byte(l.write(a) + "\nnext one\n" + l.write(b)))
		if len(dumps) != 2 || !bytes.Equal(dumps[0].Data, a) || !bytes.Equal(dumps[1].Data, b) {
			t.Errorf("%s: %d EDIDs found, or wrong ones", l.name, len(dumps))
		}
	}
}

func TestOutputsListing(t *testing.T) {
	a, d := vector(t, "A"), vector(t, "D")
	text := "Screen 0: minimum 320 x 200, current 1920 x 1080, maximum 16384 x 16384\n" +
		"HDMI-1 connected primary 1920x1080+0+0 (0x4a) normal (normal left) 1210mm x 680mm\n" +
		"\tIdentifier: 0x41\n\tTimestamp:  17240\n\tGamma:      1.0:1.0:1.0\n\tEDID: \n" +
		rows(a, 16, "\t\t%s\n", hex.EncodeToString) +
		"\tBroadcast RGB: Automatic \n\t\tsupported: Automatic, Full\n" +
		"  1920x1080 (0x4a) 148.500MHz +HSync +VSync *current +preferred\n" +
		"DP-2 disconnected (normal left inverted right)\n\tIdentifier: 0x42\n" +
		"DP-3 connected 1920x1200+1920+0\n\tEDID: \n" + rows(d, 16, "\t\t%s\n", hex.EncodeToString)
	dumps := FromText([]byte(text))
	if len(dumps) != 2 {
		t.Fatalf("%d EDIDs found, want 2", len(dumps))
	}
	if dumps[0].Label != "HDMI-1" || dumps[1].Label != "DP-3" || dumps[0].Line != 7 {
		t.Errorf("labels %q %q, line %d", dumps[0].Label, dumps[1].Label, dumps[0].Line)
	}
	if !bytes.Equal(dumps[0].Data, a) || !bytes.Equal(dumps[1].Data, d) {
		t.Error("wrong bytes")
	}
}

func TestNoEDIDInText(t *testing.T) {
	for _, text := range []string{"", "nothing here", "00 FF FF FF", "41 42 43 0D\n44 45 0D\n", "2024-05-06 12:34:56"} {
		if dumps := FromText([]byte(text)); len(dumps) != 0 {
			t.Errorf("%q: found %d EDIDs", text, len(dumps))
		}
	}
}
