package edid

import (
	"bufio"
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// The expected values are those written beside the worked vectors in check
// values section 1.8 (verdicts ran: edid-decode with its check option).
var vectors = []struct {
	name      string
	title     string
	first     string
	clock     float64
	vics      []int
	only, too []int
	hdmi      bool
	tmds      int // 0: not stated
	forum     int
	address   string
	basic     bool
	channels  []int
	checksums []int
	good      []bool
	announced int
	problem   string // part of a problem; "" for none at all
}{
	{"A", "TEST-A 1080", "1920x1080p60", 148.5, []int{16, 31, 4, 19, 34, 33, 32, 2, 17, 1}, nil, nil,
		true, 225, 0, "1.0.0.0", true, []int{2}, []int{0xA8, 0x82}, []bool{true, true}, 1, ""},
	{"B", "TEST-B 2160", "3840x2160p60", 594, []int{97, 96, 95, 94, 93, 102, 101, 16, 31, 34, 4, 19, 2, 17, 1}, nil, nil,
		true, 300, 600, "1.0.0.0", true, []int{2, 8, 6}, []int{0x18, 0xD7}, []bool{true, true}, 1, ""},
	{"C", "TEST-C 300M", "3840x2160p30", 297, []int{95, 94, 93, 16, 31, 34, 4, 19, 2, 17, 1}, []int{97, 96}, nil,
		true, 300, 0, "2.0.0.0", true, []int{2}, []int{0x96, 0x67}, []bool{true, true}, 1, ""},
	{"D", "TEST-D DVI", "1920x1200p59.95", 154, nil, nil, nil,
		false, 0, 0, "", false, nil, []int{0x65}, []bool{true}, 0, "193.25 MHz, the range limits end at 170 MHz"},
	{"E", "TEST-A 1080", "1920x1080p60", 148.5, []int{16, 31, 4, 19, 34, 33, 32, 2, 17, 1}, nil, nil,
		true, 225, 0, "1.0.0.0", true, []int{2}, []int{0xA8, 0x83}, []bool{true, false}, 1, "checksum is 83, should be 82"},
	{"F", "TEST-A 1080", "1920x1080p60", 148.5, nil, nil, nil,
		false, 0, 0, "", false, nil, []int{0xA8}, []bool{true}, 1, "1 extension block(s) announced, 0 found"},
	{"G", "TEST-G 1080i", "1920x1080i60", 74.25, []int{5, 20, 4, 19, 2, 17, 1}, nil, nil,
		true, 0, 0, "1.0.0.0", false, nil, []int{0x7E, 0x7A}, []bool{true, true}, 1, "no progressive one is native"},
	{"H", "TEST-H MAP", "3840x2160p60", 594, []int{97, 96, 95, 16, 31, 4, 19, 2, 17, 1}, nil, []int{97, 96},
		true, 300, 590, "3.0.0.0", true, []int{2}, []int{0xDD, 0xD5}, []bool{true, true}, 1, "VIC 97 needs 594 MHz, the link is stated as 590 MHz"},
	{"I", "TEST-D DVI", "1920x1200p59.95", 154, nil, nil, nil,
		false, 0, 0, "", false, nil, []int{0x55}, []bool{true}, 0, "1 of the 8 header bytes are wrong"},
	{"J", "TEST-J 1440", "2560x1440p59.95", 241.5, nil, nil, nil,
		false, 0, 0, "", false, nil, []int{0x19}, []bool{true}, 0, ""},
}

func TestVectors(t *testing.T) {
	for _, v := range vectors {
		d, err := Decode(vector(t, v.name))
		if err != nil {
			t.Errorf("vector %s: %v", v.name, err)
			continue
		}
		check := func(what string, got, want any) {
			t.Helper()
			if !reflect.DeepEqual(got, want) {
				t.Errorf("vector %s: %s is %v, want %v", v.name, what, got, want)
			}
		}
		check("maker", d.Maker, "ZZQ")
		check("product", d.Product, 0x1234)
		check("name", d.Name, v.title)
		check("first timing", d.FirstTiming.Label(), v.first)
		check("clock", d.FirstTiming.PixelClockMHz, v.clock)
		check("preferred", d.Preferred.Label(), v.first)
		check("VICs", d.VICs, orEmpty(v.vics))
		check("4:2:0 only", d.VICs420Only, orEmpty(v.only))
		check("4:2:0 too", d.VICs420Also, orEmpty(v.too))
		check("HDMI", d.HDMI, v.hdmi)
		check("TMDS", orZero(d.MaxTMDSMHz), v.tmds)
		check("Forum TMDS", orZero(d.MaxTMDSForumMHz), v.forum)
		check("address", orNone(d.PhysicalAddress), v.address)
		check("basic audio", d.BasicAudio, v.basic)
		check("announced", d.AnnouncedExtensions, v.announced)
		var channels, sums []int
		var good []bool
		for _, a := range d.Audio {
			channels = append(channels, a.Channels)
		}
		for _, b := range d.Blocks {
			sums, good = append(sums, b.Checksum), append(good, b.ChecksumOK)
		}
		check("channels", channels, v.channels)
		check("checksums", sums, v.checksums)
		check("checksums right", good, v.good)
		found := strings.Join(d.Problems, "\n")
		if v.problem == "" && found != "" || !strings.Contains(found, v.problem) {
			t.Errorf("vector %s: problems %q, want %q", v.name, found, v.problem)
		}
	}
}

func orEmpty(v []int) []int {
	if v == nil {
		return []int{}
	}
	return v
}

func orZero(v *int) int {
	if v == nil {
		return 0
	}
	return *v
}

func orNone(v *string) string {
	if v == nil {
		return ""
	}
	return *v
}

// TestVectorDetails checks the figures that only one vector has.
func TestVectorDetails(t *testing.T) {
	decoded := func(name string) *Display {
		d, err := Decode(vector(t, name))
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	a := decoded("A")
	if *a.HDMIBlock.VideoLatencyMS != 50 || *a.HDMIBlock.AudioLatencyMS != 10 { // raw 26 and 6, check value E-048
		t.Errorf("A: latencies %d and %d ms, want 50 and 10", *a.HDMIBlock.VideoLatencyMS, *a.HDMIBlock.AudioLatencyMS)
	}
	if r := a.Range; r.MinVHz != 24 || r.MaxVHz != 76 || r.MinHKHz != 27 || r.MaxHKHz != 80 || *r.MaxClockMHz != 230 { // E-035
		t.Errorf("A: range %+v", r)
	}
	if got := a.Audio[0]; got.Format != "LPCM" || !slices.Equal(got.RatesKHz, []float64{32, 44.1, 48}) || !slices.Equal(got.Bits, []int{16, 20, 24}) { // E-060
		t.Errorf("A: audio %+v", got)
	}
	b := decoded("B")
	hdr := b.HDR // E-056
	if got := fmt.Sprintf("%v %.3f %.3f %.3f", hdr.EOTFs, *hdr.MaxNits, *hdr.MaxFrameNits, *hdr.MinNits); got != "[sdr pq hlg] 400.000 322.098 0.063" {
		t.Errorf("B: HDR %s", got)
	}
	if got := b.Audio[2]; got.Format != "AC-3" || got.MaxKbps != 640 { // E-059
		t.Errorf("B: audio %+v", got)
	}
	f := b.ForumBlock
	if !f.SCDC || !slices.Equal(f.Deep420Bits, []int{10, 12}) || *b.FRL != 0 || !slices.Equal(b.HDMIBlock.DeepColorBits, []int{30, 36}) {
		t.Errorf("B: HDMI %+v, Forum %+v", b.HDMIBlock, f)
	}
	j := decoded("J")
	if j.Version != "1.4" || j.SerialText != "SN000010" || j.Input.Interface != "DisplayPort" || j.Input.BitDepth != 10 {
		t.Errorf("J: %s %q %+v", j.Version, j.SerialText, j.Input)
	}
	if r := j.Range; *r.MaxClockMHz != 249.5 || r.MaxPixels != 2560 || r.MinVHz != 50 || r.MaxVHz != 76 { // E-036
		t.Errorf("J: range %+v", r)
	}
	var standard []string
	for _, s := range decoded("D").Timings {
		if s.Origin == OriginStandard {
			standard = append(standard, fmt.Sprintf("%s %g", s.Label(), s.PixelClockMHz))
		}
	}
	want := []string{"1920x1200p59.88 193.25", "1680x1050p59.95 146.25", "1440x900p59.89 106.5", "1280x1024p60.02 108",
		"1600x1200p60 162", "1152x864p75 108"}
	if !slices.Equal(standard, want) {
		t.Errorf("D: standard timings %q, want %q", standard, want)
	}
}

// TestFormatTables compares the format tables with check values 1.5 and 1.6.
func TestFormatTables(t *testing.T) {
	file, err := os.Open("testdata/formats.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	lines := map[string]int{}
	for in := bufio.NewScanner(file); in.Scan(); {
		f := strings.Fields(in.Text())
		if len(f) == 0 || f[0] == "#" {
			continue
		}
		lines[f[0]]++
		var id int
		fmt.Sscanf(f[1], "%v", &id)
		switch f[0] {
		case "vic":
			row, ok := vicFormat(id)
			tm := row.raster().timing()
			sign := map[bool]string{true: "+", false: "-"}
			got := fmt.Sprintf("%s %.3f %s %.3f %.3f %d/%d/%d %d/%d/%d %dx%g %s%s", size2(tm), tm.RefreshHz, tm.Aspect, tm.LineKHz, tm.PixelClockMHz,
				tm.HFront, tm.HSync, tm.HBack, tm.VFront, tm.VSync, tm.VBack, tm.HTotal, tm.VTotal, sign[tm.HPositive], sign[tm.VPositive])
			if want := strings.Join(f[2:], " "); !ok || got != want {
				t.Errorf("VIC %d: %s, want %s", id, got, want)
			}
		case "hdmi":
			if fmt.Sprint(hdmiVIC[id]) != f[2] {
				t.Errorf("HDMI format %d is VIC %d, want %s", id, hdmiVIC[id], f[2])
			}
		case "dmt":
			row, ok := dmtFormat(id)
			tm := row.raster().timing()
			got := fmt.Sprintf("%s %.3f %s %.3f %.3f", size2(tm), tm.RefreshHz, tm.Aspect, tm.LineKHz, tm.PixelClockMHz)
			if want := strings.Join(f[2:7], " "); !ok || got != want {
				t.Errorf("DMT 0x%02x: %s, want %s", id, got, want)
			}
			var code uint16
			if _, err := fmt.Sscanf(f[8], "%x", &code); err == nil && dmtByStandardCode[code] != id {
				t.Errorf("standard code %s is DMT 0x%02x, want 0x%02x", f[8], dmtByStandardCode[code], id)
			}
		}
	}
	if lines["vic"] < 43 || lines["dmt"] < 55 || lines["hdmi"] != 4 {
		t.Errorf("too few lines compared: %v", lines)
	}
}

func size2(t Timing) string {
	if t.Interlaced {
		return fmt.Sprintf("%dx%di", t.Width, t.Height)
	}
	return fmt.Sprintf("%dx%d", t.Width, t.Height)
}
