package room

import (
	"fmt"
	"maps"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"faultbook/kb"
)

// TestErrorsSayWhatToWrite holds that each mistake is named with its line and
// what to write instead.
func TestErrorsSayWhatToWrite(t *testing.T) {
	for _, c := range []struct {
		name, sheet string
		line        int
		want        string
	}{
		{"unknown key", head + "devises: []\n", 4, "devices"},
		{"no kind", "id: x\ntitle: X\n", 1, "kind: room"},
		{"bad id", "kind: room\nid: x y\ntitle: X\n", 2, "no id"},
		{"unit missing", head + "cables:\n  - {id: c, from: a/b, to: c/d, length: 7}\n", 5, "m"},
		{"kind of device", head + "devices:\n  - id: a\n    kind: swicher\n", 6, `did you mean "switcher"`},
		{"class of a socket", head + "devices:\n  - id: a\n    kind: display\n    ports:\n      - id: h\n        carries: video\n        class: HDMI 2.1\n", 10, "FRL"},
		{"no such port", head + "devices:\n  - {id: a, kind: display, ports: [{id: h, carries: video}]}\ncables:\n  - id: c\n    from: a/h1\n    to: a/h\n", 8, `did you mean "a/h"`},
		{"mixed cable", head + "devices:\n  - {id: a, kind: display, ports: [{id: h, carries: video}, {id: u, carries: usb}]}\ncables:\n  - {id: c, from: a/h, to: a/u}\n", 7, "one kind"},
		{"format", head + "wanted: [2160q60]\n", 4, "2160"},
		{"address", head + "devices:\n  - {id: a, kind: panel, address: 192.168.1.2}\n", 5, "mask"},
		{"day", head + "surveyed: 12.3.2026\n", 4, "2026-03-12"},
		{"place", head + "places: [{id: rack, is: rack}]\ndevices:\n  - {id: a, kind: panel, place: rak}\n", 6, `did you mean "rack"`},
		{"hdcp", head + "devices:\n  - {id: a, kind: display, hdcp: yes please}\n", 5, "2.2 only"},
		{"alias", head + "words: &w [a]\nnotes: *w\n", 4, "aliases are not used"},
		{"poe class", head + "devices:\n  - {id: a, kind: panel, power: {from: poe, class: 9}}\n", 5, "1 to 8"},
		{"edid file", head + "devices:\n  - {id: a, kind: display, ports: [{id: h, carries: video, edid: none.bin}]}\n", 5, "beside the sheet"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, findings := Parse([]byte(c.sheet), "rooms/x.yaml", fstest.MapFS{})
			for _, f := range findings {
				if (f.Level == kb.LevelError || f.Code == "no-edid") && f.Line == c.line && strings.Contains(f.Text, c.want) && f.File == "rooms/x.yaml" {
					return
				}
			}
			t.Fatalf("no error at line %d with %q: %v", c.line, c.want, findings)
		})
	}
}

// TestEDIDOfADisplay: the display says 300 MHz and lists 2160p60 as 4:2:0 only
// (values read back by edid-decode), so 4:4:4 fails and 4:2:0 passes.
func TestEDIDOfADisplay(t *testing.T) {
	dump, err := os.ReadFile("testdata/edid-300mhz.txt")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(chainSheet("2160p60, 2160p60 4:2:0, 1080p60", "class: Premium High Speed, length: 2 m", "class: Premium High Speed, length: 3 m", "HDMI 2.0"),
		`class: "HDMI 2.0"}]}
cables`, `edid: wall.txt}]}
cables`, 1)
	s, findings := Parse([]byte(text), "x.yaml", fstest.MapFS{"wall.txt": {Data: dump}})
	if kb.CountErrors(findings) > 0 {
		t.Fatal(findings)
	}
	cell := Check(s).Matrix[0]
	got := fmt.Sprint(cell.Formats[0].Verdict, cell.Formats[1].Verdict, cell.Formats[2].Verdict)
	if got != "failpasspass" && got != "fail pass pass" {
		t.Fatalf("%s: %+v", got, cell)
	}
	if !strings.Contains(cell.Formats[0].Limit, "4:2:0 only") || !strings.Contains(cell.Formats[0].Limit, "EDID") {
		t.Errorf("limit: %q", cell.Formats[0].Limit)
	}
}

// TestLoadFolder: a broken sheet does not take others with it.
func TestLoadFolder(t *testing.T) {
	sheets, findings := Load(fstest.MapFS{
		"test.yaml":   {Data: []byte(head)},
		"broken.yaml": {Data: []byte("kind: room\nid: broken\n")},
		"other.yaml":  {Data: []byte(head)},
	}, "rooms")
	if len(sheets) != 1 || sheets[0].ID != "test" || kb.CountErrors(findings) != 2 {
		t.Fatalf("%d sheets, %v", len(sheets), findings)
	}
}

// FuzzParse: no input makes the reader or the sums panic or take long.
func FuzzParse(f *testing.F) {
	f.Add(head)
	f.Add(chainSheet("2160p60", "class: High Speed, length: 2 m", "length: 3 m", "HDMI 2.0"))
	f.Add(usbSheet("hub: bus-powered", "500 mA"))
	f.Add(lineSheet("{ohms: 0 ohm}", "{ohms: 0 ohm}"))
	f.Add(head + "a: &a [x,x]\nb: &b [*a,*a]\nc: &c [*b,*b]\nnotes: *c\n")
	f.Add(head + "notes: " + strings.Repeat("[", 9000))
	f.Fuzz(func(t *testing.T, text string) {
		s, findings := Parse([]byte(text), "x.yaml", nil)
		if s != nil && kb.CountErrors(findings) == 0 {
			Check(s)
		}
	})
}

// bigSheet is a room with 40 devices and 60 cables: two matrices, 10 sources,
// 10 displays.
func bigSheet(id string) string {
	var b strings.Builder
	b.WriteString("kind: room\nid: " + id + "\ntitle: Hall " + id + "\nwanted: [2160p60, 1080p60]\nprotected: type0\ndevices:\n")
	ports := func(n int, way string) string {
		var list []string
		for i := range n {
			list = append(list, fmt.Sprintf("{id: %s%d, carries: video, way: %s, class: HDMI 2.0}", way, i, way))
		}
		return strings.Join(list, ", ")
	}
	fmt.Fprintf(&b, "  - {id: mx, kind: switcher, hdcp: \"2.2\", ports: [%s, %s]}\n", ports(20, "in"), ports(20, "out"))
	var cables []string
	for i := range 18 {
		fmt.Fprintf(&b, "  - {id: s%d, kind: computer, hdcp: \"2.2\", ports: [{id: o, carries: video, way: out, class: HDMI 2.0}, {id: u, carries: usb, way: out, class: 3.x}]}\n", i)
		fmt.Fprintf(&b, "  - {id: d%d, kind: display, hdcp: \"2.2\", diagonal: 85 in, ports: [{id: i, carries: video, way: in, class: HDMI 2.0}, {id: u, carries: usb, way: in, wants: 500 mA}]}\n", i)
		cables = append(cables, fmt.Sprintf("  - {id: a%d, from: s%d/o, to: mx/in%d, class: Premium High Speed, length: 3 m}\n", i, i, i),
			fmt.Sprintf("  - {id: b%d, from: mx/out%d, to: d%d/i, class: High Speed, length: 4 m}\n", i, i, i),
			fmt.Sprintf("  - {id: u%d, from: s%d/u, to: d%d/u, class: 5g, length: 2 m}\n", i, i, i))
	}
	b.WriteString("  - {id: amp, kind: amplifier}\n  - {id: sw, kind: network-switch}\n  - {id: panel, kind: panel}\ncables:\n")
	b.WriteString(strings.Join(cables, ""))
	for i := range 6 {
		fmt.Fprintf(&b, "  - {id: x%d, from: s%d/o, to: mx/in%d, class: High Speed, length: 3 m}\n", i, i, 18+i%2)
	}
	return b.String()
}

// BenchmarkCheckBig is the bound of 200 ms for 40 devices and 60 cables.
func BenchmarkCheckBig(b *testing.B) {
	s := read(b, bigSheet("test"))
	b.ReportMetric(float64(len(s.Devices)), "devices")
	b.ReportMetric(float64(len(s.Cables)), "cables")
	for b.Loop() {
		Check(s)
	}
}

// BenchmarkThousandRooms reads and checks 1,000 rooms of that size.
func BenchmarkThousandRooms(b *testing.B) {
	text := bigSheet("test")
	for b.Loop() {
		for range 1000 {
			s, _ := Parse([]byte(text), "x.yaml", nil)
			Check(s)
		}
	}
}

// TestLibrary finds the same rooms as reading every sheet whole does.
func TestLibrary(t *testing.T) {
	files := fstest.MapFS{
		"hall.yaml":   {Data: []byte("kind: room\nid: hall\ntitle: \"Hall Breakwater\"\nsite: South quay\ntype: large\nwords: [breakwater, 'the big hall'] # as callers say\n")},
		"small.yaml":  {Data: []byte("# a comment\nkind: room\nid: small\ntitle: Lantern room\nwords:\n  - lantern\n  - the small one\nsite: south quay\ndevices: []\n")},
		"broken.yaml": {Data: []byte("kind: room\nid: broken\ntitle: Broken\nxyz: 1\n")},
	}
	told := 0
	l := NewLibrary(files, "rooms", func([]kb.Finding) { told++ })
	whole, _ := Load(files, "rooms")
	for _, words := range []string{"no picture in the big hall", "the small one is dark", "Breakwater!", "nothing", "hall or lantern room"} {
		a, b := Heard(whole, words), l.Heard(words)
		if (a == nil) != (b == nil) || a != nil && a.ID != b.ID {
			t.Errorf("%q: %v and %v", words, a, b)
		}
	}
	if s, _ := l.Find("lantern"); s == nil || s.ID != "small" {
		t.Errorf("by word: %v", s)
	}
	if s, near := l.Find("smal"); s != nil || !strings.Contains(near, `"small"`) {
		t.Errorf("misspelt: %v %q", s, near)
	}
	if s, _ := l.Find("broken"); s != nil || told != 1 {
		t.Errorf("a broken sheet: %v, told %d times", s, told)
	}
	sites := map[string]string{}
	for _, x := range l.Labels() {
		sites[x.ID] = x.Site + "/" + x.Type
	}
	if want := map[string]string{"hall": "South quay/large", "small": "south quay/", "broken": "/"}; !maps.Equal(sites, want) {
		t.Errorf("labels: %v", sites)
	}
}
