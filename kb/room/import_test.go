package room

import (
	"os"
	"strings"
	"testing"

	"faultbook/diagnose/measure/reading"
	"faultbook/kb"
)

const toFill = `# yaml-language-server: $schema=room.json
kind: room
id: test
title: Test room
revision: 3
# what stands at the front
devices:
  - {id: wall, kind: display, ports: [{id: hdmi, carries: video, way: in, class: HDMI 2.0}]}
  - {id: pc, kind: computer, address: 10.0.0.5/24}
  - {id: dsp, kind: processor}
  - {id: cam, kind: camera, power: {from: poe}, ports: [{id: n, carries: network}]}
  - id: sw
    kind: network-switch
    ports: [{id: "3", carries: network, way: both}]
cables:
  - {id: n1, from: sw/3, to: cam/n} # behind the panel
`

func importText(t *testing.T, s *Sheet, data, at string) *Imported {
	t.Helper()
	readings, err := reading.Read([]byte(data))
	if len(readings) == 0 {
		t.Fatal(err)
	}
	m, err := s.Import(readings, []byte(data), at)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestImportFillsUnknowns, never changes what is written, and keeps comments.
func TestImportFillsUnknowns(t *testing.T) {
	s := read(t, toFill)
	dump, err := os.ReadFile("testdata/edid-300mhz.txt")
	if err != nil {
		t.Fatal(err)
	}
	if m := importText(t, s, string(dump), ""); len(m.Filled) != 1 || len(m.Contradicts) != 1 || !strings.Contains(m.Contradicts[0], "300 MHz") {
		t.Errorf("EDID: %+v", m)
	}
	ip := "2: eth0: <BROADCAST,MULTICAST,UP,LOWER_UP> mtu 1500 qdisc fq state UP\n    link/ether 02:00:00:00:00:01 brd ff:ff:ff:ff:ff:ff\n    inet 10.0.0.6/24 brd 10.0.0.255 scope global eth0\n"
	if m := importText(t, s, ip, "pc"); len(m.Filled) != 0 || len(m.Contradicts) != 1 || !strings.Contains(m.Contradicts[0], "10.0.0.5/24") {
		t.Errorf("address that differs: %+v", m)
	}
	if m := importText(t, s, ip, "dsp"); len(m.Filled) != 1 || len(m.Contradicts) != 0 {
		t.Errorf("address that is unknown: %+v", m)
	}
	data, err := s.Encode()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"# what stands at the front", "# behind the panel", "revision: 4", "address: 10.0.0.6/24", "address: 10.0.0.5/24"} {
		if !strings.Contains(string(data), want) {
			t.Errorf("no %q in\n%s", want, data)
		}
	}
	back, findings := Parse(data, "test.yaml", nil)
	if kb.CountErrors(findings) > 0 || back.ports["wall/hdmi"].port.edid == nil {
		t.Fatalf("not readable any more: %v", findings)
	}
	if m := importText(t, back, string(dump), ""); len(m.Filled) != 0 {
		t.Errorf("imported twice: %+v", m)
	}
}

// TestImportAsksWhere: where several ports or devices could be meant, it says
// which can be named.
func TestImportAsksWhere(t *testing.T) {
	s := read(t, strings.Replace(toFill, "devices:\n", "devices:\n  - {id: side, kind: display, ports: [{id: hdmi, carries: video, way: in}]}\n", 1))
	dump, err := os.ReadFile("testdata/edid-300mhz.txt")
	if err != nil {
		t.Fatal(err)
	}
	readings, _ := reading.Read(dump)
	if _, err := s.Import(readings, dump, ""); err == nil || !strings.Contains(err.Error(), "side/hdmi, wall/hdmi") {
		t.Errorf("%v", err)
	}
}

// TestDraft: the interview makes a sheet that can be read; what is not known is
// not written.
func TestDraft(t *testing.T) {
	answers := map[string]string{"title": "Room Signal", "screens": "1", "screen-kind-1": "projector", "screen-class-1": "HDMI 1.4", "box": "the box",
		"lead": "hdmi-cable", "lead-length": "3 m", "wanted": "1080p60, 2160p60 4:2:0", "farthest": "6 m", "complete": "display, usb", "rack": "the cabinet", "rack-walk": "2.5"}
	d := Draft{ID: "signal", By: "kl"}
	for range 60 {
		var key string
		q := d.Next()
		if q == nil {
			break
		}
		for _, a := range d.questions() {
			if a.text == q.Text {
				key = a.key
			}
		}
		if err := q.Take(answers[key]); err != nil {
			t.Fatalf("%s: %v", q.Text, err)
		}
	}
	data, err := d.YAML()
	if err != nil {
		t.Fatal(err)
	}
	s := read(t, string(data))
	if s.Title != "Room Signal" || len(s.Wanted) != 2 || s.of("projector")[0].Ports[0].Class != "HDMI 1.4" || len(s.of("computer")) != 0 {
		t.Errorf("%s", data)
	}
	if strings.Contains(string(data), "address") || strings.Contains(string(data), "\"\"") {
		t.Errorf("what is not known is written:\n%s", data)
	}
	bad := Draft{ID: "x"}
	bad.Next()
	for range 4 { // title, words, site, type
		bad.Next().Take("")
	}
	if err := bad.Next().Take("many"); err == nil {
		t.Error("a number of screens that is none is taken")
	}
}
