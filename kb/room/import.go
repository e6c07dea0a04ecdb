package room

import (
	"fmt"
	"strings"

	"faultbook/diagnose/measure/edid"
	"faultbook/diagnose/measure/ether"
	"faultbook/diagnose/measure/link"
	"faultbook/diagnose/measure/reading"
	"faultbook/diagnose/measure/sums"
)

// Imported is what a reading taken on site did to a sheet: what it filled, and
// what it says otherwise than the sheet. What was written stays.
type Imported struct {
	Filled      []string `json:"filled"`
	Contradicts []string `json:"contradicts"`
	Notes       []string `json:"notes"`
}

func (m *Imported) filled(format string, args ...any) {
	m.Filled = append(m.Filled, fmt.Sprintf(format, args...))
}

func (m *Imported) contradicts(format string, args ...any) {
	m.Contradicts = append(m.Contradicts, fmt.Sprintf(format, args...))
}

func (m *Imported) note(format string, args ...any) {
	m.Notes = append(m.Notes, fmt.Sprintf(format, args...))
}

// Import takes readings of one file into the sheet. at names the device, or
// device/port, that they were taken at; "" where the sheet leaves no choice.
// Nothing that is written is changed. An error says what to name.
func (s *Sheet) Import(readings []reading.Reading, data []byte, at string) (*Imported, error) {
	m := &Imported{Filled: []string{}, Contradicts: []string{}, Notes: []string{}}
	for _, r := range readings {
		var err error
		switch d := r.Decoded.(type) {
		case *edid.Display:
			err = s.importEDID(m, d, data, at)
		case reading.USB:
			s.importUSB(m, &d)
		case reading.PoE:
			err = s.importPoE(m, &d, at)
		case ethernetPorts:
			importEthernet(m, d.Ports, at)
		case interfaces:
			for _, x := range d.Interfaces {
				if err == nil {
					err = s.importIP(m, x.Addresses, at)
				}
			}
		default:
			m.note("a reading of kind %s says nothing that a sheet holds", r.Kind)
		}
		if err != nil {
			return nil, err
		}
	}
	if len(m.Filled) > 0 {
		s.raise()
	}
	return m, nil
}

// importEDID puts display data to a port.
func (s *Sheet) importEDID(m *Imported, d *edid.Display, data []byte, at string) error {
	name, err := s.edidPort(at)
	if err != nil {
		return err
	}
	p := s.ports[name]
	device, port, _ := strings.Cut(name, "/")
	part, err := link.ParsePart(sums.DisplayPart(d))
	if err != nil {
		return fmt.Errorf("display data: %w", err)
	}
	if p.port.edid != nil && sums.DisplayPart(p.port.edid) != sums.DisplayPart(d) {
		m.contradicts("%s: the display data that were read (%s) are not those of the sheet (%s)", name, d.Name, p.port.edid.Name)
		return nil
	}
	if written, err := link.ParsePart("display=" + p.port.Class); err == nil && written.Capacity.TMDSMHz > 0 && part.Capacity.TMDSMHz > 0 && part.Capacity.TMDSMHz < written.Capacity.TMDSMHz {
		m.contradicts("%s: the sheet says %s, which is %g MHz; the display data allow %g MHz", name, p.port.Class, written.Capacity.TMDSMHz, part.Capacity.TMDSMHz)
	}
	if dumps := edid.Find(data); len(dumps) > 0 && s.set(fmt.Sprintf("% X", dumps[0].Data), "devices", device, "ports", port, "edid") {
		m.filled("%s: display data of %s, %d bytes", name, d.Name, len(dumps[0].Data))
	}
	return nil
}

// edidPort is the port that display data belong to.
func (s *Sheet) edidPort(at string) (string, error) {
	if at != "" && s.ports[at] != nil {
		return at, nil
	}
	var open []string
	for i := range s.Devices {
		d := &s.Devices[i]
		if !d.isEnd() || at != "" && d.ID != at {
			continue
		}
		for _, p := range d.carries("video", "in") {
			open = append(open, d.ID+"/"+p.ID)
		}
	}
	if len(open) == 1 {
		return open[0], nil
	}
	return "", fmt.Errorf("display data: name the port that they were read at with --at, one of %s", strings.Join(open, ", "))
}

// importUSB compares cameras with what the computer says of them.
func (s *Sheet) importUSB(m *Imported, u *reading.USB) {
	var cameras []reading.USBDevice
	for _, d := range u.Devices {
		for _, c := range d.Classes {
			if c == "video" && !d.RootHub {
				cameras = append(cameras, d)
				break
			}
		}
	}
	own := s.of("camera")
	if len(own) != 1 || len(cameras) != 1 {
		m.note("USB: %d cameras were seen and the sheet has %d: only one of each can be matched", len(cameras), len(own))
		return
	}
	d, seen := own[0], cameras[0]
	for _, p := range d.carries("usb", "in") {
		if seen.DeclaredMA != nil {
			if wants, ok := known(p.Wants); ok && wants != float64(*seen.DeclaredMA) {
				m.contradicts("%s/%s: the sheet says %g mA, its descriptor %d mA", d.ID, p.ID, wants, *seen.DeclaredMA)
			} else if !ok && s.set(fmt.Sprintf("%d mA", *seen.DeclaredMA), "devices", d.ID, "ports", p.ID, "wants") {
				m.filled("%s/%s: wants %d mA", d.ID, p.ID, *seen.DeclaredMA)
			}
		}
		if seen.Tier > 0 {
			s.compareHubs(m, d, seen.Hubs)
		}
	}
	if seen.SpeedMbps > 0 {
		m.note("%s runs at %g Mbit/s now", d.Name(), seen.SpeedMbps)
	}
}

// compareHubs compares the hubs in line with those of the sheet.
func (s *Sheet) compareHubs(m *Imported, d *Device, hubs int) {
	c := &checker{s: s, said: map[string]bool{}}
	for i := range s.Devices {
		host := &s.Devices[i]
		if !c.isHost(host) {
			continue
		}
		for _, p := range host.carries("usb", "out") {
			for _, l := range c.leaves(host, p, nil, nil, "", nil) {
				if l.device == d && len(l.hubs) != hubs {
					m.contradicts("%s: the computer counts %d hubs before it, the sheet %d from %s", d.Name(), hubs, len(l.hubs), host.Name())
				}
			}
		}
	}
}

// importPoE takes the budget of a switch and the classes on its ports.
func (s *Sheet) importPoE(m *Imported, t *reading.PoE, at string) error {
	device, _, _ := strings.Cut(at, "/")
	d := s.devices[device]
	if own := s.of("network-switch"); d == nil && len(own) == 1 {
		d = own[0]
	}
	if d == nil {
		return fmt.Errorf("table of network power: name the network switch that it is of with --at")
	}
	if t.BudgetW != nil {
		if budget, ok := known(d.PoEBudget); ok && budget != *t.BudgetW {
			m.contradicts("%s: the sheet says a budget of %g W, the switch %g W", d.ID, budget, *t.BudgetW)
		} else if !ok && s.set(fmt.Sprintf("%g W", *t.BudgetW), "devices", d.ID, "poe_budget") {
			m.filled("%s: budget %g W", d.ID, *t.BudgetW)
		}
	}
	c := &checker{s: s}
	for _, row := range t.Ports {
		for i := range d.Ports {
			p := &d.Ports[i]
			if !strings.EqualFold(p.ID, row.Port) && !strings.EqualFold(p.Title, row.Port) || row.Class == nil || *row.Class == 0 {
				continue
			}
			if to := c.otherEnd(d, p); to != nil {
				s.importClass(m, to, *row.Class)
			}
		}
	}
	return nil
}

func (s *Sheet) importClass(m *Imported, d *Device, class int) {
	if d.Power != nil && d.Power.Class > 0 {
		if d.Power.Class != class {
			m.contradicts("%s: the sheet says class %d of network power, the switch sees class %d", d.ID, d.Power.Class, class)
		}
		return
	}
	if s.set(fmt.Sprint(class), "devices", d.ID, "power", "class") {
		m.filled("%s: class %d of network power", d.ID, class)
	}
	s.set("poe", "devices", d.ID, "power", "from")
}

// ethernetPorts and interfaces are what readings of ethtool and ip hold.
type (
	ethernetPorts = struct {
		Ports []reading.Ethernet `json:"ports"`
	}
	interfaces = struct {
		Interfaces []reading.IPInterface `json:"interfaces"`
	}
)

// importEthernet says what ports run at.
func importEthernet(m *Imported, ports []reading.Ethernet, at string) {
	for _, e := range ports {
		if e.SpeedMbps > 0 {
			m.note("%s: the link runs at %d Mbit/s, %s duplex", orName(at, e.Interface), e.SpeedMbps, e.Duplex)
		}
	}
}

func orName(at, name string) string {
	if at != "" {
		return at
	}
	return name
}

// importIP compares or fills the address of a device.
func (s *Sheet) importIP(m *Imported, list []reading.IPAddr, at string) error {
	device, _, _ := strings.Cut(at, "/")
	d := s.devices[device]
	if d == nil {
		return fmt.Errorf("addresses: name the device that they were read at with --at, one of %s", strings.Join(s.deviceIDs(), ", "))
	}
	for _, a := range list {
		text := fmt.Sprintf("%s/%d", a.Address, a.Prefix)
		if a.Kind == "loopback" {
			continue
		}
		host, err := ether.ParseHost(text)
		if err != nil || host.Host.IsLoopback() {
			continue
		}
		if host.LinkLocal() {
			m.note("%s gave itself %s: no server answered", d.Name(), text)
			continue
		}
		if a.Dynamic {
			text = "dhcp"
		}
		if d.Address == "" && s.set(text, "devices", d.ID, "address") {
			m.filled("%s: address %s", d.ID, text)
			d.Address = text
		} else if d.Address != text {
			m.contradicts("%s: the sheet says %s, the device has %s/%d", d.ID, d.Address, a.Address, a.Prefix)
		}
	}
	return nil
}
