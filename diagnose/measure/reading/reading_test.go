package reading

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// The files are written by hand after the layouts of lsusb 014 and 017, ethtool
// 6.1, iproute2 6.1 and iputils 20221126 of Debian (run, or from memory where
// the machine has no such device) and after usual switch tables; the figures are
// made up. The facts wanted follow from the check values named.
var cases = []struct {
	file    string
	kind    Kind
	part    string
	facts   map[string]any
	remarks []string // check values whose remarks must be there
	silent  []string // check values whose remarks must not be there
}{
	{"lsusb-v.txt", KindUSB, "", map[string]any{
		USBDevices: 2, USBDeclared: 896, USBPort: 900, USBFits: true, USBTotal: 896, USBHubPower: "self", // U-004
	}, nil, []string{"U-013", "U-006"}},
	{"lsusb-t.txt", KindUSB, "", map[string]any{
		USBDevices: 7, USBTier: 6, USBHubs: 4, USBCameraSpeed: 480.0, USBSpeed: 12.0,
	}, []string{"U-034", "U-021"}, nil},
	{"lsusb-both.txt", KindUSB, "", map[string]any{
		USBTier: 4, USBHubs: 2, USBHubPower: "bus", USBHubChain: true, USBDeclared: 500, USBPort: 100, USBFits: false, // U-006, U-008
	}, []string{"U-006", "U-008"}, nil},
	{"ethtool-100.txt", KindEthtool, "enp2s0", map[string]any{
		LinkUp: true, LinkSpeed: 100, LinkSpeedPossible: 1000, LinkDuplex: "full", LinkAuto: true,
	}, []string{"N-002"}, []string{"N-007"}},
	{"ethtool-half.txt", KindEthtool, "eth0", map[string]any{
		LinkSpeed: 100, LinkDuplex: "half", LinkCRC: uint64(17), LinkLate: uint64(412), LinkSpeedPossible: nil,
	}, []string{"N-007", "N-008"}, []string{"N-002"}},
	{"ip-addr.txt", KindIP, "eth0", map[string]any{
		Address: "169.254.12.7/16", AddressKind: "link-local", LinkUp: true, LinkMTU: 1500, LinkErrors: nil,
	}, []string{"N-030"}, nil},
	{"ip-link.txt", KindIP, "eth0", map[string]any{
		LinkErrors: uint64(21), LinkDropped: uint64(3), LinkCRC: uint64(21), AddressKind: nil,
	}, []string{"N-008"}, nil},
	{"ping-loss.txt", KindPing, "192.0.2.10", map[string]any{
		PingAnswers: true, PingLoss: 25.0, PingAverage: 4.395, PingWorst: 12.4, PingDuplicates: false,
	}, []string{"N-008"}, nil},
	{"ping-twice.txt", KindPing, "192.0.2.20", map[string]any{PingLoss: 0.0, PingDuplicates: true}, []string{"N-033"}, nil},
	{"ping-replies.txt", KindPing, "192.0.2.30", map[string]any{
		PingAnswers: false, PingLoss: 100.0, PingUnreachable: true,
	}, []string{"N-034"}, nil},
	{"ping-times.txt", KindPing, "192.0.2.31", map[string]any{PingAverage: 3.0, PingWorst: 7.0, PingLoss: 0.0}, nil, []string{"N-034"}},
	{"poe.txt", KindPoE, "", map[string]any{
		PoEBudget: 370.0, PoEUsed: 361.6, PoELeft: 8.4, PoEDelivering: 2, PoERefused: 1,
	}, []string{"N-025", "N-019"}, nil},
	{"poe.csv", KindPoE, "", map[string]any{PoEUsed: 16.3, PoEDelivering: 2, PoERefused: 0, PoEBudget: nil}, []string{"N-019"}, nil},
	{"serial-7e1.txt", KindSerial, "", map[string]any{
		SerialBytes: 12, SerialParity: true, SerialSpeed: false, SerialEnding: "cr", SerialEscape: false,
	}, []string{"C-014"}, nil},
	{"serial-talk.txt", KindSerial, "", map[string]any{
		SerialBytes: 16, SerialEscape: true, SerialEnding: "none", SerialPrintable: 100.0, SerialParity: false,
	}, []string{"C-016", "C-015"}, nil},
	{"serial-speed.txt", KindSerial, "", map[string]any{SerialSpeed: true, SerialParity: false}, []string{"C-013"}, nil},
	{"serial-ok.txt", KindSerial, "", map[string]any{SerialEnding: "cr", SerialSpeed: false, SerialParity: false}, nil, []string{"C-013", "C-014", "C-015", "C-016"}},
}

func TestFiles(t *testing.T) {
	for _, c := range cases {
		got, err := Read(file(t, c.file))
		if err != nil {
			t.Errorf("%s: %v", c.file, err)
			continue
		}
		if len(got) != 1 || got[0].Kind != c.kind || got[0].Part != c.part {
			t.Errorf("%s: %d readings, first %s %q", c.file, len(got), got[0].Kind, got[0].Part)
			continue
		}
		r := got[0]
		for name, want := range c.facts {
			if have := r.Fact(name); !reflect.DeepEqual(have, want) {
				t.Errorf("%s: %s is %#v, want %#v", c.file, name, have, want)
			}
		}
		for _, id := range c.remarks {
			if !remarked(r, id) {
				t.Errorf("%s: no remark by %s in %q", c.file, id, r.Remarks)
			}
		}
		for _, id := range c.silent {
			if remarked(r, id) {
				t.Errorf("%s: a remark by %s", c.file, id)
			}
		}
		if len(r.Summary) == 0 {
			t.Errorf("%s: no summary", c.file)
		}
	}
}

func remarked(r Reading, id string) bool {
	for _, m := range r.Remarks {
		if m.CheckValue == id {
			return true
		}
	}
	return false
}

// TestFactText: the text of a fact says both figures.
func TestFactText(t *testing.T) {
	got, err := Read(file(t, "lsusb-both.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range got[0].Facts {
		if f.Name == USBFits && f.Text != "port declares 100 mA, device wants 500 mA" {
			t.Errorf("text %q", f.Text)
		}
	}
}

// TestEDIDVectors: facts and remarks of the worked vectors (check values 1.8).
func TestEDIDVectors(t *testing.T) {
	for _, c := range []struct {
		name    string
		facts   map[string]any
		remarks []string
		silent  []string
	}{
		{"A", map[string]any{
			EDIDHDMI: true, EDIDAudio: "stereo", EDIDChannels: 2, EDIDChecksum: "right", EDIDMissing: false, EDIDPreferred: "1920x1080p60",
			EDIDHighest: "1920x1080p60", EDIDHighestClock: 148.5, EDIDLimit: 225, EDIDLimitStated: true, EDIDAddress: "1.0.0.0",
			EDIDVideoLatency: 50, EDIDAudioLatency: 10, EDIDRange: true, EDIDHDR: false, EDIDName: "TEST-A 1080", EDIDProblems: 0,
		}, []string{"A-029"}, []string{"E-067", "E-068", "E-069", "E-003"}},
		{"B", map[string]any{
			EDIDAudio: "multichannel", EDIDCompressed: true, EDIDHighest: "4096x2160p60", EDIDLimit: 600, EDIDSCDC: true, EDIDHDR: true, EDIDFRL: 0,
		}, []string{"A-022", "H-011"}, []string{"E-067"}},
		{"C", map[string]any{EDIDHighest: "3840x2160p60", EDIDHighest420: true, EDIDLimit: 300}, []string{"E-053"}, []string{"H-001"}},
		{"D", map[string]any{EDIDHDMI: false, EDIDAudio: "none"}, []string{"E-067"}, []string{"E-069"}},
		{"E", map[string]any{EDIDChecksum: "wrong", EDIDHDMI: true}, []string{"E-003"}, nil},
		{"F", map[string]any{EDIDMissing: true, EDIDHDMI: false}, []string{"E-069", "E-067"}, nil},
		{"G", map[string]any{EDIDInterlaced: true, EDIDAudio: "none", EDIDLimit: 165, EDIDLimitStated: false}, []string{"E-068", "E-076", "E-047"}, []string{"E-067"}},
		{"H", map[string]any{EDIDLimit: 590, EDIDAddress: "3.0.0.0"}, []string{"H-001"}, nil},
		{"I", map[string]any{EDIDHeader: "damaged"}, []string{"E-002"}, nil},
		{"J", map[string]any{EDIDVersion: "1.4", EDIDHDMI: false, EDIDInput: "digital"}, nil, []string{"E-067", "E-066"}},
	} {
		data, err := os.ReadFile(filepath.Join("..", "edid", "testdata", c.name+".hex"))
		if err != nil {
			t.Fatal(err)
		}
		got, err := Read(data)
		if err != nil || len(got) != 1 || got[0].Kind != KindEDID {
			t.Errorf("vector %s: %d readings, %v", c.name, len(got), err)
			continue
		}
		for name, want := range c.facts {
			if have := got[0].Fact(name); !reflect.DeepEqual(have, want) {
				t.Errorf("vector %s: %s is %#v, want %#v", c.name, name, have, want)
			}
		}
		for _, id := range c.remarks {
			if !remarked(got[0], id) {
				t.Errorf("vector %s: no remark by %s", c.name, id)
			}
		}
		for _, id := range c.silent {
			if remarked(got[0], id) {
				t.Errorf("vector %s: a remark by %s", c.name, id)
			}
		}
	}
}

// TestMixedPaste: several kinds in one text, in its order.
func TestMixedPaste(t *testing.T) {
	var paste []byte
	for _, name := range []string{"ip-addr.txt", "ethtool-100.txt", "ping-loss.txt", "lsusb-t.txt"} {
		paste = append(paste, file(t, name)...)
		paste = append(paste, '\n')
	}
	got, err := Read(paste)
	if err != nil {
		t.Fatal(err)
	}
	var kinds []Kind
	for _, r := range got {
		kinds = append(kinds, r.Kind)
	}
	if want := []Kind{KindIP, KindEthtool, KindPing, KindUSB}; !reflect.DeepEqual(kinds, want) {
		t.Errorf("kinds %v, want %v", kinds, want)
	}
}

// TestPartlyBad: of two displays in one paste the second is cut short.
func TestPartlyBad(t *testing.T) {
	a, err := os.ReadFile("../edid/testdata/A.hex")
	if err != nil {
		t.Fatal(err)
	}
	got, err := Read(append(a, "\nsecond\n00 FF FF FF FF FF FF 00 6B 51\n"...))
	if len(got) != 1 || err == nil || !strings.Contains(err.Error(), "line 22: no EDID") {
		t.Errorf("%d readings, error %v", len(got), err)
	}
}

func TestNotRecognised(t *testing.T) {
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"empty":         {nil, "the file is empty"},
		"words":         {[]byte("the screen is black\nsince monday\n"), "line 1: not recognised"},
		"binary":        {[]byte{1, 2, 3, 0, 5}, "binary files must begin with an EDID header"},
		"all ones":      {[]byte(strings.Repeat("\xff", 256)), "256 bytes of FF: the read itself failed"},
		"a lone block":  {file(t, "lone-block.hex"), "128 bytes with an EDID checksum but no EDID header"},
		"mostly words":  {[]byte("41 42\nhello there\nwhat now\n"), "line 2: not recognised"},
		"a cut binary":  {[]byte("\x00\xff\xff\xff\xff\xff\xff\x00abc"), "only 11 bytes are here"},
		"a cut dump":    {[]byte("\n00 FF FF FF FF FF FF 00 6B 51\n"), "line 2: no EDID"},
		"only one byte": {[]byte("41\n"), "not recognised"},
	} {
		got, err := Read(c.data)
		if err == nil {
			t.Errorf("%s: read as %s", name, got[0].Kind)
			continue
		}
		if !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %q, want %q", name, err, c.want)
		}
	}
	if _, err := Read([]byte("hello\n")); !errors.Is(err, ErrUnknown) {
		t.Errorf("error %v is not ErrUnknown", err)
	}
}

// TestFactsAreNamed: every fact of every file stands in Names, with its unit.
func TestFactsAreNamed(t *testing.T) {
	units := map[string]string{}
	for _, n := range Names() {
		if _, twice := units[n.Name]; twice {
			t.Errorf("%s is named twice", n.Name)
		}
		units[n.Name] = n.Unit
	}
	seen := map[string]bool{}
	check := func(name string, data []byte) {
		got, err := Read(data)
		if err != nil {
			t.Fatal(name, err)
		}
		for _, r := range got {
			for _, f := range r.Facts {
				seen[f.Name] = true
				if unit, ok := units[f.Name]; !ok || unit != f.Unit {
					t.Errorf("%s: fact %s with unit %q, named %q", name, f.Name, f.Unit, unit)
				}
				if f.Text == "" || strings.Contains(f.Text, "%!") {
					t.Errorf("%s: fact %s has the text %q", name, f.Name, f.Text)
				}
			}
			for _, m := range r.Remarks {
				if m.Text == "" || m.CheckValue == "" || m.Words == "" || strings.Contains(m.Text, "%!") {
					t.Errorf("%s: remark %+v", name, m)
				}
			}
		}
	}
	for _, c := range cases {
		check(c.file, file(t, c.file))
	}
	vectors, _ := filepath.Glob("../edid/testdata/?.hex")
	for _, v := range vectors {
		data, err := os.ReadFile(v)
		if err != nil {
			t.Fatal(err)
		}
		check(v, data)
	}
	for name := range units {
		if !seen[name] {
			t.Errorf("no test file gives the fact %s", name)
		}
	}
}

// TestJSON: the keys of the contract, and lists that are never null.
func TestJSON(t *testing.T) {
	for _, c := range cases {
		got, err := Read(file(t, c.file))
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(got[0])
		if err != nil {
			t.Fatal(err)
		}
		var keys map[string]json.RawMessage
		if err := json.Unmarshal(text, &keys); err != nil {
			t.Fatal(err)
		}
		for _, key := range []string{"kind", "facts", "remarks", "decoded"} {
			if len(keys[key]) == 0 || string(keys[key]) == "null" {
				t.Errorf("%s: %s is %s", c.file, key, keys[key])
			}
		}
	}
}
