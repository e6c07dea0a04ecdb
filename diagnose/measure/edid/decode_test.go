package edid

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"
)

// TestTruncated reads every vector cut off after every byte: it must not panic,
// and every length from the first descriptor on gives a decode that says so.
func TestTruncated(t *testing.T) {
	for _, v := range vectors {
		data := vector(t, v.name)
		for n := range data {
			d, err := Decode(data[:n])
			if n < shortestBase {
				if !errors.Is(err, ErrNoEDID) {
					t.Fatalf("vector %s, %d bytes: error %v", v.name, n, err)
				}
				continue
			}
			if err != nil {
				t.Fatalf("vector %s, %d bytes: %v", v.name, n, err)
			}
			if len(d.Problems) == 0 {
				t.Errorf("vector %s, %d of %d bytes: no problem named", v.name, n, len(data))
			}
		}
	}
}

func TestNotAnEDID(t *testing.T) {
	for name, data := range map[string][]byte{
		"nothing": {}, "zeros": make([]byte, 128), "text": bytes.Repeat([]byte("hello "), 50),
		"five header bytes": append([]byte{0, 0xFF, 0xFF, 0xFF, 0xFF, 1, 2, 3}, make([]byte, 120)...),
	} {
		if _, err := Decode(data); !errors.Is(err, ErrNoEDID) {
			t.Errorf("%s: error %v, want %v", name, err, ErrNoEDID)
		}
	}
}

// base128 is vector D with a change and a right checksum.
func base128(t *testing.T, change func(b []byte)) []byte {
	b := bytes.Clone(vector(t, "D"))
	change(b)
	return sealed(b)
}

func TestQuirks(t *testing.T) {
	cases := []struct {
		name   string
		data   []byte
		get    func(d *Display) any
		want   any
		hidden string // a problem that must be named
	}{
		{"1.3 without the preferred bit", base128(t, func(b []byte) { b[0x18] &^= 2 }),
			func(d *Display) any { return d.Preferred == nil && d.FirstTiming != nil }, true, "mark its first detailed timing"},
		{"1.4 without the native bit", base128(t, func(b []byte) { b[0x13] = 4; b[0x18] &^= 2 }),
			func(d *Display) any { return d.Preferred.Label() }, "1920x1200p59.95", ""},
		{"pixel clock of 0.1 MHz", base128(t, func(b []byte) { b[0x36], b[0x37] = 10, 0 }),
			func(d *Display) any { return d.FirstTiming == nil }, true, "not a timing"},
		{"zero lines", base128(t, func(b []byte) { b[0x36+5], b[0x36+7] = 0, 0 }),
			func(d *Display) any { return d.FirstTiming.Height }, 0, "figures of 0"},
		{"no line feed behind a full name", base128(t, func(b []byte) { copy(b[0x5F:], "THIRTEENCHARS") }),
			func(d *Display) any { return d.Name }, "THIRTEENCHARS", ""},
		{"name filled with zeros", base128(t, func(b []byte) { copy(b[0x5F:], "AB\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00") }),
			func(d *Display) any { return d.Name }, "AB", ""},
		{"name filled with spaces", base128(t, func(b []byte) { copy(b[0x5F:], "AB           ") }),
			func(d *Display) any { return d.Name }, "AB", ""},
		{"maker not letters", base128(t, func(b []byte) { b[8], b[9] = 0, 0 }),
			func(d *Display) any { return d.Maker }, "@@@", "not three letters"},
		{"version 2", base128(t, func(b []byte) { b[0x12] = 2 }),
			func(d *Display) any { return d.Version }, "2.3", "version 2.3 is unknown"},
		{"filling behind", append(bytes.Clone(vector(t, "D")), make([]byte, 128)...),
			func(d *Display) any { return len(d.Blocks) }, 1, "filling after the last"},
		{"stray bytes behind", append(bytes.Clone(vector(t, "D")), 1, 2, 3),
			func(d *Display) any { return len(d.Blocks) }, 1, "3 stray bytes"},
		{"unannounced block", append(bytes.Clone(vector(t, "D")), vector(t, "A")[128:]...),
			func(d *Display) any { return []any{d.HDMI, d.SurplusExtensions, d.Blocks[1].Announced} }, []any{true, 1, false}, "a source does not read the rest"},
		{"override counts", withOverride(t), func(d *Display) any { return *d.ExtensionOverride + 10*d.MissingExtensions }, 12, "2 extension block(s) announced, 1 found"},
	}
	for _, c := range cases {
		d, err := Decode(c.data)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got, _ := json.Marshal(c.get(d))
		want, _ := json.Marshal(c.want)
		if !bytes.Equal(got, want) {
			t.Errorf("%s: %s, want %s", c.name, got, want)
		}
		if all := strings.Join(d.Problems, "\n"); !strings.Contains(all, c.hidden) {
			t.Errorf("%s: problems %q, want %q", c.name, all, c.hidden)
		}
	}
}

// withOverride is a base block that announces one extension, which says that
// there are two (check value E-070).
func withOverride(t *testing.T) []byte {
	base := base128(t, func(b []byte) { b[0x7E] = 1 })
	block := append([]byte{tagCTA, 3, 0, 0}, data(tagOverride, 2)...)
	block[2] = byte(len(block))
	return append(base, sealed(block)...)
}

// TestShortVideo is check value E-044.
func TestShortVideo(t *testing.T) {
	for v, want := range map[byte]struct {
		vic    int
		native bool
	}{
		0: {0, false}, 1: {1, false}, 64: {64, false}, 65: {65, false}, 127: {127, false}, 128: {0, false},
		0x90: {16, true}, 129: {1, true}, 192: {64, true}, 193: {193, false}, 0xDB: {219, false}, 253: {253, false},
		254: {0, false}, 255: {0, false},
	} {
		if vic, native := shortVideo(v); vic != want.vic || native != want.native {
			t.Errorf("%d is VIC %d native %v, want %d %v", v, vic, native, want.vic, want.native)
		}
	}
}

// TestVideoFormats is worked by hand from the descriptor layout (from memory,
// CTA-861.6): the reference tool stops at this block.
func TestVideoFormats(t *testing.T) {
	for _, c := range []struct {
		name string
		p    []byte
		want string
	}{
		{"one byte: 30 and 60", []byte{0, 11}, "3840x2160 [30 60]"},
		{"one byte, 24 and 25 family", []byte{0, 0xC0 | 11}, "3840x2160 [24 25 30 50 60]"},
		{"two bytes: factors 1 to 8", []byte{1, 0x80 | 4, 0x80 | 0x0F}, "1920x1080 [25 30 50 60 100 120 200 240]"},
		{"two bytes: 144 only", []byte{1, 8, 0x40}, "2560x1440 [144]"},
		{"three bytes: 48", []byte{2, 11, 0, 1}, "3840x2160 [48]"},
	} {
		d := &decoder{out: emptyDisplay(), seen: map[timingKey]int{}}
		d.videoFormat(c.p)
		if len(d.out.VideoFormats) != 1 {
			t.Errorf("%s: %+v", c.name, d.out.VideoFormats)
			continue
		}
		f := d.out.VideoFormats[0]
		text, _ := json.Marshal(f.RatesHz)
		got := strings.ReplaceAll(string(text), ",", " ")
		if got = size2(Timing{Width: f.Width, Height: f.Height}) + " " + got; got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// TestListsNeverNull: lists of the JSON form are [] where empty.
func TestListsNeverNull(t *testing.T) {
	for seed := range uint64(300) {
		d, err := Decode(newMaker(seed).edid())
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(d)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		var back map[string]any
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatal(err)
		}
		for _, key := range []string{"texts", "blocks", "block_map", "timings", "vics", "vics_native", "vics_420_only", "vics_420_also",
			"hdmi_vics", "cta", "data_blocks", "audio", "speakers", "colorimetry", "problems", "displayid", "video_formats"} {
			if back[key] == nil {
				t.Fatalf("seed %d: %s is null", seed, key)
			}
		}
		if bytes.Contains(text, []byte(`_types":null`)) || bytes.Contains(text, []byte(`rates_khz":null`)) {
			t.Fatalf("seed %d: a list is null", seed)
		}
	}
}

// FuzzDecode: no panic, nothing read behind the data, and a decode that can be
// written as JSON.
func FuzzDecode(f *testing.F) {
	for _, v := range vectors {
		f.Add(vector(f, v.name))
	}
	for seed := range uint64(40) {
		f.Add(newMaker(seed).edid())
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		// A slice without spare room: a read behind the end panics.
		d, err := Decode(bytes.Clone(data)[:len(data):len(data)])
		if err != nil {
			return
		}
		if _, err := json.Marshal(d); err != nil {
			t.Fatal(err)
		}
	})
}

// FuzzFromText: no panic, and what is found decodes or is refused.
func FuzzFromText(f *testing.F) {
	data := vector(f, "A")
	for _, l := range layouts {
		f.Add([]byte(l.write(data)))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		for _, dump := range Find(text) {
			if dump.Line < 1 {
				t.Fatalf("line %d", dump.Line)
			}
			Decode(dump.Data)
		}
	})
}

// BenchmarkTwoThousand reads 2,000 EDIDs; the bound is 2 s in one process.
func BenchmarkTwoThousand(b *testing.B) {
	var all [][]byte
	for seed := range uint64(2000) {
		all = append(all, newMaker(seed).edid())
	}
	for b.Loop() {
		for _, data := range all {
			if _, err := Decode(data); err != nil {
				b.Fatal(err)
			}
		}
	}
}
