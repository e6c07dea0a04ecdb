package room

import (
	"os"
	"strings"
	"testing"

	"faultbook/diagnose/measure/reading"
	"faultbook/kb"
)

// FuzzImport takes any reading into any sheet: an error says what to name, or
// the sheet that comes of it is read again without a fault, and what was
// written in it still stands.
func FuzzImport(f *testing.F) {
	dump, err := os.ReadFile("testdata/edid-300mhz.txt")
	if err != nil {
		f.Fatal(err)
	}
	ip := "2: eth0: <BROADCAST,MULTICAST,UP,LOWER_UP> mtu 1500 qdisc fq state UP\n    link/ether 02:00:00:00:00:01 brd ff:ff:ff:ff:ff:ff\n    inet 10.0.0.6/24 brd 10.0.0.255 scope global eth0\n"
	poe := "Power budget: 370 W\nPort Class Power\n3 4 30.0\n"
	for _, at := range []string{"", "pc", "wall/hdmi", "wall", "sw/3", "nobody", "/", "pc/"} {
		for _, data := range []string{string(dump), ip, poe, "Bus 001 Device 002: ID 1d6b:0002\n"} {
			f.Add(toFill, data, at)
			f.Add(strings.ReplaceAll(toFill, "\n", "\r\n"), data, at)
			f.Add("\ufeff"+toFill, data, at)
		}
	}
	f.Fuzz(func(t *testing.T, sheet, data, at string) {
		s, findings := Parse([]byte(sheet), "x.yaml", nil)
		if s == nil || kb.CountErrors(findings) > 0 {
			return
		}
		readings, _ := reading.Read([]byte(data))
		m, err := s.Import(readings, []byte(data), at)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("refused without a reason")
			}
			return
		}
		out, err := s.Encode()
		if err != nil {
			t.Fatal(err)
		}
		again, findings := Parse(out, "x.yaml", nil)
		if again == nil || kb.CountErrors(findings) > 0 {
			t.Fatalf("what was written is refused: %v\n%+v\n%s", findings, m, out)
		}
		if len(again.Devices) != len(s.Devices) || len(again.Cables) != len(s.Cables) || again.Title != s.Title || again.ID != s.ID {
			t.Fatalf("something that was written is gone:\n%s", out)
		}
		if len(m.Filled) > 0 && again.Revision != s.Revision+1 {
			t.Fatalf("filled %v, revision %d after %d", m.Filled, again.Revision, s.Revision)
		}
	})
}
