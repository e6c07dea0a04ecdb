package room

import "strings"

// index finds ports and cables of a sheet; it is made once, after reading.
type index struct {
	ports   map[string]*portAt
	byFrom  map[string][]*Cable // cables by the port at their source end
	byTo    map[string][]*Cable
	devices map[string]*Device
	title   map[string]string // of places
}

// portAt is a port with its device.
type portAt struct {
	device *Device
	port   *Port
}

func (v *validator) index() {
	s := v.s
	s.index = index{map[string]*portAt{}, map[string][]*Cable{}, map[string][]*Cable{}, map[string]*Device{}, map[string]string{}}
	for _, p := range s.Places {
		s.title[p.ID] = p.Title
	}
	for i := range s.Devices {
		d := &s.Devices[i]
		s.devices[d.ID] = d
		for j := range d.Ports {
			s.ports[d.ID+"/"+d.Ports[j].ID] = &portAt{d, &d.Ports[j]}
		}
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		s.byFrom[c.From] = append(s.byFrom[c.From], c)
		s.byTo[c.To] = append(s.byTo[c.To], c)
	}
}

func (s *Sheet) port(name string) *Port {
	if p := s.ports[name]; p != nil {
		return p.port
	}
	return nil
}

// Name is what people call a device: its title, else its kind and id.
func (d *Device) Name() string {
	if d.Title != "" {
		return d.Title
	}
	return strings.ReplaceAll(d.Kind, "-", " ") + " " + d.ID
}

// named is the device with the words of the port: "the small box, input 2".
func named(d *Device, p *Port) string {
	if p.Title != "" {
		return d.Name() + ", " + p.Title
	}
	return d.Name() + ", " + p.ID
}

// Where says the place of a device, "" where unknown.
func (s *Sheet) Where(d *Device) string {
	if t := s.title[d.Place]; t != "" {
		return t
	}
	return d.Place
}

// count is how many a device stands for.
func (d *Device) count() int { return max(1, d.Copies) }

// carries lists the ports of a device for one kind of signal and way; "both"
// and an unknown way count for either.
func (d *Device) carries(what, way string) []*Port {
	var list []*Port
	for i := range d.Ports {
		p := &d.Ports[i]
		if p.Carries == what && (p.Way == way || p.Way == "both" || p.Way == "") {
			list = append(list, p)
		}
	}
	return list
}

// crosses says whether an input of the device reaches an output.
func (d *Device) crosses(in, out string) bool {
	if len(d.Paths) == 0 {
		return true
	}
	for _, c := range d.Paths {
		if c.From != in {
			continue
		}
		for _, t := range c.To {
			if t == out {
				return true
			}
		}
	}
	return false
}

// complete says whether the sheet's list of a field is whole.
func (s *Sheet) complete(field string) bool {
	for _, f := range s.Complete {
		if f == field {
			return true
		}
	}
	return false
}

// of lists the devices of some kinds.
func (s *Sheet) of(kinds ...string) []*Device {
	var list []*Device
	for i := range s.Devices {
		for _, k := range kinds {
			if s.Devices[i].Kind == k {
				list = append(list, &s.Devices[i])
			}
		}
	}
	return list
}

// End gives the device and the port of a "device/port"; false where there is
// none.
func (s *Sheet) End(name string) (*Device, *Port, bool) {
	p := s.ports[name]
	if p == nil {
		return nil, nil, false
	}
	return p.device, p.port, true
}

// DeviceName is what people call the device with that id.
func (s *Sheet) DeviceName(id string) string {
	if d := s.devices[id]; d != nil {
		return d.Name()
	}
	return id
}
