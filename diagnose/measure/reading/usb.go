package reading

import (
	"regexp"
	"strconv"
	"strings"
)

// USB is what lsusb says, its descriptor listing (-v) and its tree (-t) put
// together by bus and device number.
type USB struct {
	Devices []USBDevice `json:"devices"`
	// HasTree and HasDescriptors say which of the two listings were there.
	HasTree        bool `json:"has_tree"`
	HasDescriptors bool `json:"has_descriptors"`
}

// USBDevice is one device of a bus.
type USBDevice struct {
	Bus     int    `json:"bus"`
	Device  int    `json:"device"`
	ID      string `json:"id"` // "1d6b:0002", "" if not listed
	RootHub bool   `json:"root_hub"`
	Hub     bool   `json:"hub"`
	// Classes are the words of its interfaces: "video", "audio", "hid", "hub",
	// "storage", "network", "vendor" and others as lsusb writes them.
	Classes []string `json:"classes"`
	// From the descriptors; nil where they were not listed.
	USBVersion  string `json:"usb_version"` // "2.00", "" if not listed
	DeclaredMA  *int   `json:"declared_current_ma"`
	SelfPowered *bool  `json:"self_powered"`
	SerialText  string `json:"serial_text"`
	Ports       int    `json:"ports"` // of a hub, 0 if not known
	// From the tree; 0 where it was not listed. Tier 1 is the root hub.
	SpeedMbps float64 `json:"speed_mbps"`
	Tier      int     `json:"tier"`
	Hubs      int     `json:"hubs_before"`   // between it and the root hub
	Parent    int     `json:"parent_device"` // number of the hub it is on, 0 for a root hub
	Port      int     `json:"port"`
	line      int
}

var (
	busLine    = regexp.MustCompile(`^Bus (\d+) Device (\d+): ID ([0-9a-fA-F]{4}:[0-9a-fA-F]{4})`)
	treeRoot   = regexp.MustCompile(`^/:\s+Bus (\d+)\.Port (\d+): Dev (\d+), Class=root_hub, Driver=[^,]*?(?:/(\d+)p)?, ([\d.]+)([MG])`)
	treeDevice = regexp.MustCompile(`\|__ Port (\d+): Dev (\d+), If \d+, Class=([^,]*), Driver=[^,]*?(?:/(\d+)p)?, ([\d.]+)([MG])`)
	fieldLine  = regexp.MustCompile(`^\s*([A-Za-z]\w*)\s+(.*)$`)
	negotiated = regexp.MustCompile(`^\s*Negotiated speed:.*\((\d+)Mbps\)`)
)

// readUSB reads both listings; nil if there is neither.
func readUSB(t *text) *Reading {
	p := &usbParser{devices: map[[2]int]*USBDevice{}}
	for i, line := range t.lines {
		p.line(i+1, line)
	}
	if len(p.order) == 0 || !p.hasTree && !p.hasDescriptors {
		return nil
	}
	u := USB{Devices: []USBDevice{}, HasTree: p.hasTree, HasDescriptors: p.hasDescriptors}
	for _, key := range p.order {
		u.Devices = append(u.Devices, *p.devices[key])
	}
	r := newReading(KindUSB, "", p.first)
	r.Decoded = u
	usbFacts(r, u)
	usbSummary(r, u)
	return r
}

// usbParser reads lines of either listing.
type usbParser struct {
	devices                 map[[2]int]*USBDevice
	order                   [][2]int
	first                   int
	hasTree, hasDescriptors bool

	current     *USBDevice // of the descriptor listing
	inInterface bool
	inStatus    bool
	bus         int            // of the tree
	stack       []usbTreePlace // hubs above the present line of the tree
}

type usbTreePlace struct{ indent, device int }

func (p *usbParser) device(bus, dev, line int) *USBDevice {
	key := [2]int{bus, dev}
	d := p.devices[key]
	if d == nil {
		d = &USBDevice{Bus: bus, Device: dev, Classes: []string{}, line: line}
		p.devices[key] = d
		p.order = append(p.order, key)
		if p.first == 0 {
			p.first = line
		}
	}
	return d
}

func (p *usbParser) line(n int, line string) {
	if m := busLine.FindStringSubmatch(line); m != nil {
		p.current = p.device(number(m[1]), number(m[2]), n)
		p.current.ID = strings.ToLower(m[3])
		p.inInterface, p.inStatus = false, false
		return
	}
	if m := treeRoot.FindStringSubmatch(line); m != nil {
		p.root(n, m)
		return
	}
	if m := treeDevice.FindStringSubmatch(line); m != nil && p.bus > 0 {
		p.branch(n, strings.Index(line, "|__"), m)
		return
	}
	if p.current != nil {
		p.descriptor(line)
	}
}

func (p *usbParser) root(n int, m []string) {
	p.hasTree, p.current = true, nil
	p.bus = number(m[1])
	d := p.device(p.bus, number(m[3]), n)
	d.RootHub, d.Hub, d.Tier = true, true, 1
	d.Ports, d.SpeedMbps = number(m[4]), speed(m[5], m[6])
	p.stack = []usbTreePlace{{indent: -1, device: d.Device}}
}

// branch reads a device of the tree: how far it is indented says which hub it
// is on.
func (p *usbParser) branch(n, indent int, m []string) {
	for len(p.stack) > 1 && p.stack[len(p.stack)-1].indent >= indent {
		p.stack = p.stack[:len(p.stack)-1]
	}
	d := p.device(p.bus, number(m[2]), n)
	if d.Tier == 0 {
		d.Tier, d.Hubs = len(p.stack)+1, len(p.stack)-1
		d.Parent, d.Port = p.stack[len(p.stack)-1].device, number(m[1])
		d.SpeedMbps = speed(m[5], m[6])
	}
	d.addClass(m[3])
	if d.Hub {
		d.Ports = max(d.Ports, number(m[4]))
	}
	p.stack = append(p.stack, usbTreePlace{indent: indent, device: d.Device})
}

// speed reads "480" with "M", "10" with "G", in Mbit/s.
func speed(digits, unit string) float64 {
	v, _ := decimal(digits)
	if unit == "G" {
		v *= 1000
	}
	return v
}

// descriptor reads a line of the descriptor listing that belongs to the device
// named last.
func (p *usbParser) descriptor(line string) {
	d := p.current
	trimmed := strings.TrimSpace(line)
	switch {
	case trimmed == "Device Descriptor:":
		p.hasDescriptors = true
		return
	case strings.HasPrefix(trimmed, "Interface Descriptor:"):
		p.inInterface = true
		return
	case strings.HasSuffix(trimmed, "Descriptor:"):
		p.inInterface = false
		return
	case strings.HasPrefix(trimmed, "Device Status:"):
		p.inStatus = true
		return
	case p.inStatus && trimmed == "Self Powered":
		d.setSelf(true)
		return
	}
	if m := negotiated.FindStringSubmatch(line); m != nil {
		d.SpeedMbps, _ = decimal(m[1])
		return
	}
	if m := fieldLine.FindStringSubmatch(line); m != nil {
		p.field(m[1], strings.TrimSpace(m[2]))
	}
}

func (p *usbParser) field(name, value string) {
	d := p.current
	switch name {
	case "bcdUSB":
		d.USBVersion, _, _ = strings.Cut(value, " ")
	case "bDeviceClass":
		if number(value) == 9 {
			d.addClass("Hub")
			d.RootHub = d.RootHub || strings.HasPrefix(d.ID, "1d6b:")
		}
	case "bInterfaceClass":
		if p.inInterface {
			_, word, _ := strings.Cut(value, " ")
			d.addClass(strings.TrimSpace(word))
		}
	case "bmAttributes":
		if v, err := strconv.ParseUint(strings.TrimPrefix(value, "0x"), 16, 8); err == nil && len(value) <= 4 && v&0x80 != 0 && d.SelfPowered == nil {
			d.setSelf(v&0x40 != 0)
		}
	case "MaxPower":
		if strings.HasSuffix(value, "mA") && number(value) <= 5000 {
			mA := number(value)
			if d.DeclaredMA == nil || *d.DeclaredMA < mA {
				d.DeclaredMA = &mA
			}
		}
	case "nNbrPorts":
		d.Ports = number(value)
	case "iSerial":
		if _, s, ok := strings.Cut(value, " "); ok {
			d.SerialText = strings.TrimSpace(s)
		}
	}
}

func (d *USBDevice) setSelf(self bool) { d.SelfPowered = &self }

// usbClasses are the common class words of the tree and of the descriptors.
var usbClasses = map[string]string{
	"video": "video", "audio": "audio", "human interface device": "hid", "hid": "hid", "hub": "hub",
	"mass storage": "storage", "communications": "network", "cdc data": "network", "vendor specific class": "vendor",
	"wireless": "wireless", "printer": "printer",
}

// addClass notes the class of an interface once.
func (d *USBDevice) addClass(word string) {
	word = strings.ToLower(strings.TrimSpace(word))
	if short, ok := usbClasses[word]; ok {
		word = short
	}
	if word == "" || word == "[unknown]" {
		return
	}
	if word == "hub" {
		d.Hub = true
	}
	for _, have := range d.Classes {
		if have == word {
			return
		}
	}
	d.Classes = append(d.Classes, word)
}

func (d USBDevice) has(class string) bool {
	for _, have := range d.Classes {
		if have == class {
			return true
		}
	}
	return false
}
