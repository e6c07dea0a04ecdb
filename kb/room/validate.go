package room

import (
	"errors"
	"fmt"
	"io/fs"
	"net/netip"
	"path"
	"slices"
	"strings"

	"faultbook/diagnose/measure/edid"
	"faultbook/diagnose/measure/ether"
	"faultbook/diagnose/measure/hdcp"
	"faultbook/diagnose/measure/link"
	"faultbook/diagnose/measure/reading"
	"faultbook/diagnose/measure/usb"
	"faultbook/kb"
)

// Bounds of a sheet, far above any room.
const (
	mostDevices = 400
	mostCables  = 800
	mostPorts   = 64
)

// validator finds what is wrong with a sheet by itself.
type validator struct {
	s        *Sheet
	files    fs.FS
	findings []kb.Finding
}

func (v *validator) add(section, id, code, text string, keys ...string) {
	v.findings = append(v.findings, v.s.finding(section, id, code, text, keys...))
}

// word checks that a value is one of a list; "" is unknown and fine.
func (v *validator) word(section, id, key, value string, known []string) {
	if value != "" && !slices.Contains(known, value) {
		v.add(section, id, "unknown-word", fmt.Sprintf("%s %q is not known%s; write one of %s", key, value, kb.Nearest(value, known), strings.Join(known, ", ")), key)
	}
}

func (v *validator) head() {
	s := v.s
	if s.Kind != "room" {
		v.add("kind", "", "no-kind", `a room sheet begins with "kind: room"`)
	}
	if !kb.ValidID(s.ID) {
		v.add("id", "", "bad-id", fmt.Sprintf("%q is no id: letters, digits and single hyphens, at most 60", s.ID))
	}
	if s.Title == "" {
		v.add("title", "", "no-title", `write "title:" with the room's name as on its door`)
	}
	for _, f := range s.Complete {
		v.word("complete", f, "complete", f, Fields())
	}
	for _, l := range s.Leads {
		v.word("leads", l, "leads", l, []string{"hdmi-cable", "usb-c-cable", "adapter", "dock", "wireless"})
	}
	v.word("divider", "", "divider", s.Divider, []string{"no-wall", "closed", "open"})
	v.word("protected", "", "protected", s.Protected, hdcp.Contents())
	if s.Viewing != nil {
		v.word("viewing", "", "task", s.Viewing.Task, tasks())
	}
	if len(s.Devices) > mostDevices || len(s.Cables) > mostCables {
		v.add("devices", "", "too-many", fmt.Sprintf("more than %d devices or %d cables: split the sheet", mostDevices, mostCables))
	}
	for i, w := range s.Works {
		if w.Day.IsZero() {
			v.add("works", "", "no-day", fmt.Sprintf("work %d has no day: write day: 2026-03-12", i+1))
		}
		v.word("works", "", "kind", w.Kind, workKinds())
		for _, id := range w.Devices {
			v.deviceRef("works", "", id)
		}
	}
}

func tasks() []string { return []string{"detail", "reading", "viewing"} }

func workKinds() []string {
	return []string{"cleaning", "moved", "power-cut", "update", "new-device", "repair", "building", "survey"}
}

func (v *validator) places() {
	seen := map[string]bool{}
	for _, p := range v.s.Places {
		if !kb.ValidID(p.ID) || seen[p.ID] {
			v.add("places", p.ID, "bad-id", fmt.Sprintf("place %q: each place needs an id of its own, letters, digits and hyphens", p.ID))
		}
		seen[p.ID] = true
		v.word("places", p.ID, "is", p.Is, kb.Places())
	}
	for _, w := range v.s.Walks {
		for _, id := range []string{w.From, w.To} {
			if !seen[id] {
				v.add("walks", "", "no-such-place", fmt.Sprintf("walk to or from %q: there is no such place%s", id, kb.Nearest(id, keysOf(seen))))
			}
		}
		if w.Minutes > 120 {
			v.add("walks", "", "bad-figure", "a walk of more than 120 minutes: write minutes, as 3")
		}
	}
	for _, d := range v.s.Devices {
		if d.Place != "" && !seen[d.Place] {
			v.add("devices", d.ID, "no-such-place", fmt.Sprintf("place %q is not listed under places%s", d.Place, kb.Nearest(d.Place, keysOf(seen))), "place")
		}
	}
}

func keysOf(set map[string]bool) []string {
	var list []string
	for k := range set {
		list = append(list, k)
	}
	slices.Sort(list)
	return list
}

func (v *validator) devices() {
	seen := map[string]bool{}
	for i := range v.s.Devices {
		d := &v.s.Devices[i]
		if !kb.ValidID(d.ID) || seen[d.ID] {
			v.add("devices", d.ID, "bad-id", fmt.Sprintf("device %q: each device needs an id of its own, letters, digits and hyphens", d.ID))
		}
		seen[d.ID] = true
		if d.Kind == "" {
			v.add("devices", d.ID, "no-kind", "no kind: write one of "+strings.Join(DeviceKinds(), ", "))
		}
		v.device(d)
	}
}

func (v *validator) device(d *Device) {
	v.word("devices", d.ID, "kind", d.Kind, DeviceKinds())
	v.word("devices", d.ID, "hub", d.Hub, []string{string(usb.BusPowered), string(usb.SelfPower)})
	v.family("devices", d.ID, d.HDCP)
	if d.Power != nil {
		v.word("devices", d.ID, "from", d.Power.From, []string{"mains", "poe", "adapter", "usb", "passive-poe"})
		v.class(d.ID, d.Power.Class)
	}
	if c := d.Control; c != nil {
		v.word("devices", d.ID, "by", c.By, []string{"serial", "network", "infrared", "cec", "contact"})
		if c.From != "" {
			v.deviceRef("devices", d.ID, c.From)
		}
	}
	if d.VLAN > 4094 {
		v.add("devices", d.ID, "bad-figure", "a VLAN id is from 1 to 4094", "vlan")
	}
	v.address(d)
	for _, l := range d.Lamps {
		v.word("devices", d.ID, "rhythm", l.Rhythm, []string{"off", "steady", "slow-blink", "fast-blink"})
		if l.Colour == "" || l.Means == "" {
			v.add("devices", d.ID, "lamp", "a lamp needs colour and means", "lamps")
		}
	}
	if _, _, err := aspect(d.Aspect); err != nil {
		v.add("devices", d.ID, "bad-figure", err.Error(), "aspect")
	}
	if len(d.Ports) > mostPorts {
		v.add("devices", d.ID, "too-many", fmt.Sprintf("more than %d ports", mostPorts), "ports")
	}
	seen := map[string]bool{}
	for i := range d.Ports {
		v.port(d, &d.Ports[i], seen)
	}
	for _, c := range d.Paths {
		for _, id := range append([]string{c.From}, c.To...) {
			if !seen[id] {
				v.add("devices", d.ID, "no-such-port", fmt.Sprintf("paths name port %q, which %s does not have%s", id, d.ID, kb.Nearest(id, keysOf(seen))), "paths")
			}
		}
	}
}

func (v *validator) port(d *Device, p *Port, seen map[string]bool) {
	if !kb.ValidID(p.ID) || seen[p.ID] {
		v.add("devices", d.ID, "bad-id", fmt.Sprintf("port %q: each port of a device needs an id of its own", p.ID), "ports", p.ID)
	}
	seen[p.ID] = true
	bad := func(code, text string, key string) { v.add("devices", d.ID, code, text, "ports", p.ID, key) }
	carries := []string{"video", "usb", "network", "audio", "speaker", "control", "power"}
	if !slices.Contains(carries, p.Carries) {
		bad("unknown-word", fmt.Sprintf("carries %q%s: write one of %s", p.Carries, kb.Nearest(p.Carries, carries), strings.Join(carries, ", ")), "carries")
	}
	if !slices.Contains([]string{"", "in", "out", "both"}, p.Way) {
		bad("unknown-word", fmt.Sprintf("way %q: write in, out or both", p.Way), "way")
	}
	if p.Class != "" && p.Carries == "video" {
		if _, err := link.ParsePart("switcher=" + p.Class); err != nil {
			bad("bad-class", err.Error(), "class")
		}
	}
	if p.Class != "" && p.Carries == "usb" && !slices.Contains(usb.Ports(), p.Class) {
		bad("bad-class", fmt.Sprintf("class %q of a USB port: write one of %s", p.Class, strings.Join(usb.Ports(), ", ")), "class")
	}
	if p.HDCP != "" {
		if _, err := hdcp.ParseDevice("x=" + p.HDCP); err != nil {
			bad("bad-class", "hdcp: "+err.Error(), "hdcp")
		}
	}
	if p.PoE > 8 {
		bad("bad-figure", "a class of network power is from 1 to 8", "poe")
	}
	if p.EDID != "" {
		switch err := v.edid(p); {
		case errors.Is(err, fs.ErrNotExist): // the rest of the sheet is of use all the same
			bad("no-edid", err.Error(), "edid")
			v.findings[len(v.findings)-1].Level = kb.LevelWarning
		case err != nil:
			bad("bad-edid", err.Error(), "edid")
		}
	}
}

// edid reads the display data of a port, from the sheet or beside it.
func (v *validator) edid(p *Port) error {
	data := []byte(p.EDID)
	if !strings.Contains(strings.TrimSpace(p.EDID), "\n") && len(p.EDID) < 256 {
		name := path.Clean(strings.TrimSpace(p.EDID))
		if !fs.ValidPath(name) {
			return fmt.Errorf("edid %q: name a file beside the sheet, or put the dump itself", p.EDID)
		}
		if v.files == nil {
			return nil
		}
		var err error
		if data, err = kb.ReadFile(v.files, name); err != nil {
			return fmt.Errorf("edid: %w; put the file beside the sheet, or leave the key out", err)
		}
	}
	readings, err := reading.Read(data)
	for _, r := range readings {
		if d, ok := r.Decoded.(*edid.Display); ok {
			p.edid = d
			return nil
		}
	}
	if err == nil {
		err = fmt.Errorf("no EDID in it")
	}
	return fmt.Errorf("edid: %w", err)
}

func (v *validator) family(section, id, text string) {
	if text == "" {
		return
	}
	if _, err := hdcp.ParseDevice("x=" + text); err != nil {
		v.add(section, id, "bad-class", "hdcp: "+err.Error(), "hdcp")
	}
}

func (v *validator) class(device string, class int) {
	if class > 8 {
		v.add("devices", device, "bad-figure", "a class of network power is from 1 to 8", "power")
	}
}

func (v *validator) address(d *Device) {
	if d.Address != "" && d.Address != "dhcp" {
		if _, err := ether.ParseHost(d.Address); err != nil {
			v.add("devices", d.ID, "bad-address", err.Error()+`; or write "dhcp"`, "address")
		}
	}
	if d.Gateway != "" {
		if _, err := netip.ParseAddr(d.Gateway); err != nil {
			v.add("devices", d.ID, "bad-address", fmt.Sprintf("gateway %q: write an address as 192.168.10.1", d.Gateway), "gateway")
		}
	}
}

func (v *validator) deviceRef(section, id, name string) {
	for _, d := range v.s.Devices {
		if d.ID == name {
			return
		}
	}
	v.add(section, id, "no-such-device", fmt.Sprintf("device %q is not listed%s", name, kb.Nearest(name, v.s.deviceIDs())))
}

func (s *Sheet) deviceIDs() []string {
	var list []string
	for _, d := range s.Devices {
		list = append(list, d.ID)
	}
	return list
}

// aspect reads "16:9".
func aspect(text string) (across, down float64, err error) {
	if text == "" {
		return 16, 9, nil
	}
	if _, err := fmt.Sscanf(text, "%f:%f", &across, &down); err != nil || across <= 0 || down <= 0 {
		return 0, 0, fmt.Errorf("aspect %q: write it as 16:9", text)
	}
	return across, down, nil
}
