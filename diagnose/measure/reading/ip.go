package reading

import (
	"fmt"
	"net/netip"
	"regexp"
	"strings"
)

// IPInterface is one network interface of ip addr or ip -s link.
type IPInterface struct {
	Name  string   `json:"name"`
	Flags []string `json:"flags"`
	State string   `json:"state"` // "UP", "DOWN", "UNKNOWN", "" not listed
	// Carrier is nil where the flags do not tell.
	Carrier   *bool     `json:"carrier"`
	MTU       int       `json:"mtu_bytes"`
	MAC       string    `json:"mac"`
	Addresses []IPAddr  `json:"addresses"`
	Received  *IPCounts `json:"received"`
	Sent      *IPCounts `json:"sent"`
	line      int
}

// IPAddr is one address with its prefix length.
type IPAddr struct {
	Address string `json:"address"`
	Prefix  int    `json:"prefix"`
	Kind    string `json:"kind"`    // as fact address-kind, for IPv6 too
	Dynamic bool   `json:"dynamic"` // leased
}

// IPCounts are the packet counters of one direction.
type IPCounts struct {
	Bytes      uint64 `json:"bytes"`
	Packets    uint64 `json:"packets"`
	Errors     uint64 `json:"errors"`
	Dropped    uint64 `json:"dropped"`
	Collisions uint64 `json:"collisions"`
	CRC        uint64 `json:"crc_errors"`
}

var (
	ipHead = regexp.MustCompile(`^\d+: ([^:@\s]+)(?:@\S+)?: <([^>]*)> mtu (\d+)(.*)$`)
	ipMAC  = regexp.MustCompile(`^\s+link/\S+ ((?:[0-9a-f]{2}:){5}[0-9a-f]{2})`)
	ipInet = regexp.MustCompile(`^\s+inet6? ([0-9a-fA-F.:]+)(?:/(\d+))?(.*)$`)
	ipStat = regexp.MustCompile(`^\s+(RX|TX)(?: errors)?:\s+(.*)$`)
	state  = regexp.MustCompile(` state (\S+)`)
)

// readIP reads all interfaces; the facts are those of the one that matters:
// with a carrier, not the loopback, not a virtual one.
func readIP(t *text) *Reading {
	faces := parseIP(t)
	if len(faces) == 0 {
		return nil
	}
	main := mainInterface(faces)
	r := newReading(KindIP, main.Name, faces[0].line)
	r.Decoded = struct {
		Interfaces []IPInterface `json:"interfaces"`
	}{faces}
	ipFacts(r, main, hasAddressLines(t))
	for _, f := range faces {
		ipSummary(r, f)
	}
	return r
}

func hasAddressLines(t *text) bool {
	for _, line := range t.lines {
		if ipInet.MatchString(line) {
			return true
		}
	}
	return false
}

func parseIP(t *text) []IPInterface {
	var faces []IPInterface
	var f *IPInterface
	var columns []string
	var counts *IPCounts
	for i, line := range t.lines {
		if m := ipHead.FindStringSubmatch(line); m != nil {
			faces = append(faces, newInterface(m, i+1))
			f, columns = &faces[len(faces)-1], nil
			continue
		}
		if f == nil || line == "" || indent(line) == 0 {
			if line != "" {
				f = nil
			}
			continue
		}
		if columns != nil {
			counts.fill(columns, strings.Fields(line))
			columns = nil
			continue
		}
		if m := ipStat.FindStringSubmatch(line); m != nil {
			columns, counts = strings.Fields(m[2]), f.direction(m[1])
			continue
		}
		f.detail(line)
	}
	return faces
}

func newInterface(m []string, line int) IPInterface {
	f := IPInterface{Name: m[1], Flags: []string{}, MTU: number(m[3]), Addresses: []IPAddr{}, line: line}
	if m[2] != "" {
		f.Flags = strings.Split(m[2], ",")
	}
	if s := state.FindStringSubmatch(m[4]); s != nil {
		f.State = s[1]
	}
	for _, flag := range f.Flags {
		if flag == "LOWER_UP" || flag == "NO-CARRIER" {
			up := flag == "LOWER_UP"
			f.Carrier = &up
		}
	}
	return f
}

func (f *IPInterface) direction(word string) *IPCounts {
	c := &f.Received
	if word == "TX" {
		c = &f.Sent
	}
	if *c == nil {
		*c = &IPCounts{}
	}
	return *c
}

// fill reads a line of figures under the names of its columns.
func (c *IPCounts) fill(columns, figures []string) {
	for i, name := range columns {
		if i >= len(figures) {
			return
		}
		v, ok := count(figures[i])
		if !ok {
			continue
		}
		switch name {
		case "bytes":
			c.Bytes = v
		case "packets":
			c.Packets = v
		case "errors":
			c.Errors = v
		case "dropped":
			c.Dropped = v
		case "collsns":
			c.Collisions = v
		case "crc":
			c.CRC = v
		}
	}
}

func (f *IPInterface) detail(line string) {
	if m := ipMAC.FindStringSubmatch(line); m != nil {
		f.MAC = m[1]
	}
	m := ipInet.FindStringSubmatch(line)
	if m == nil {
		return
	}
	a, err := netip.ParseAddr(m[1])
	if err != nil {
		return
	}
	addr := IPAddr{Address: a.String(), Prefix: a.BitLen(), Kind: addressKind(a), Dynamic: strings.Contains(m[3], " dynamic")}
	if m[2] != "" {
		addr.Prefix = number(m[2])
	}
	f.Addresses = append(f.Addresses, addr)
}

// addressKind sorts an address (check values N-029 and N-030; 100.64/10 from
// memory, RFC 6598).
func addressKind(a netip.Addr) string {
	shared := netip.MustParsePrefix("100.64.0.0/10")
	switch {
	case a.IsLoopback():
		return "loopback"
	case a.IsLinkLocalUnicast():
		return "link-local"
	case a.IsPrivate():
		return "private"
	case a.Is4() && shared.Contains(a):
		return "shared"
	}
	return "public"
}

// virtual says whether an interface is made by software, by the usual names.
func (f *IPInterface) virtual() bool {
	for _, prefix := range []string{"lo", "docker", "veth", "br-", "virbr", "tun", "tap", "wg", "dummy", "vnet", "ifb"} {
		if strings.HasPrefix(f.Name, prefix) {
			return true
		}
	}
	return false
}

func mainInterface(faces []IPInterface) *IPInterface {
	best, score := &faces[0], -1
	for i := range faces {
		f, s := &faces[i], 0
		if !f.virtual() {
			s += 4
		}
		if f.Carrier != nil && *f.Carrier {
			s += 2
		}
		if f.ipv4() != nil {
			s++
		}
		if s > score {
			best, score = f, s
		}
	}
	return best
}

func (f *IPInterface) ipv4() *IPAddr {
	for i, a := range f.Addresses {
		if !strings.Contains(a.Address, ":") {
			return &f.Addresses[i]
		}
	}
	return nil
}

func ipFacts(r *Reading, f *IPInterface, listed bool) {
	if f.Carrier != nil {
		r.fact(LinkUp, *f.Carrier, "", "%s: %s", f.Name, map[bool]string{true: "link up", false: "no carrier"}[*f.Carrier])
		if !*f.Carrier {
			r.remark("N-001", "from memory (IEEE 802.3 cl. 25, 40)", "%s has no carrier: cable, wall socket, patching or the other end's port", f.Name)
		}
	}
	r.fact(LinkMTU, f.MTU, "bytes", "%s: MTU %d bytes", f.Name, f.MTU)
	if f.MTU > 1500 {
		r.remark("N-010", "from memory (IEEE 802.3 §3.2)", "MTU %d bytes: larger frames must be allowed on every hop", f.MTU)
	}
	if listed {
		ipAddressFacts(r, f)
	}
	ipCounterFacts(r, f)
}

func ipAddressFacts(r *Reading, f *IPInterface) {
	a := f.ipv4()
	if a == nil {
		r.fact(AddressKind, "none", "", "%s has no IPv4 address", f.Name)
		return
	}
	text := fmt.Sprintf("%s/%d", a.Address, a.Prefix)
	r.fact(Address, text, "", "%s has %s", f.Name, text)
	r.fact(AddressKind, a.Kind, "", "%s is a %s address", text, a.Kind)
	if a.Kind == "link-local" {
		r.remark("N-030", "read: U-Boot net/link_local.c (parameters of RFC 3927)", "%s: no DHCP answer came, the device chose an address itself; it reaches only devices that did the same", text)
	}
}

func ipCounterFacts(r *Reading, f *IPInterface) {
	if f.Received == nil && f.Sent == nil {
		return
	}
	var errs, dropped, crc, collisions uint64
	for _, c := range []*IPCounts{f.Received, f.Sent} {
		if c != nil {
			errs, dropped, crc, collisions = errs+c.Errors, dropped+c.Dropped, crc+c.CRC, collisions+c.Collisions
		}
	}
	r.fact(LinkErrors, errs, "", "%s: %d frames with errors", f.Name, errs)
	r.fact(LinkDropped, dropped, "", "%s: %d frames dropped", f.Name, dropped)
	if crc > 0 {
		r.fact(LinkCRC, crc, "", "%s: %d frames with a wrong check sequence", f.Name, crc)
	}
	if errs > 0 || collisions > 0 {
		r.remark("N-008", "read: encyclopaedia article on duplex mismatch (secondary)", "%s counts %d errors and %d collisions: duplex mismatch or a bad cable; look whether they rise", f.Name, errs, collisions)
	}
}

func ipSummary(r *Reading, f IPInterface) {
	parts := []string{}
	if f.State != "" {
		parts = append(parts, "state "+strings.ToLower(f.State))
	}
	if f.Carrier != nil && !*f.Carrier {
		parts = append(parts, "no carrier")
	}
	for _, a := range f.Addresses {
		parts = append(parts, fmt.Sprintf("%s/%d (%s)", a.Address, a.Prefix, a.Kind))
	}
	parts = append(parts, fmt.Sprintf("MTU %d bytes", f.MTU))
	for _, c := range []struct {
		word string
		c    *IPCounts
	}{{"received", f.Received}, {"sent", f.Sent}} {
		if c.c != nil {
			parts = append(parts, fmt.Sprintf("%s %d packets, %d errors, %d dropped", c.word, c.c.Packets, c.c.Errors, c.c.Dropped))
		}
	}
	r.row(f.Name, "%s", strings.Join(parts, ", "))
}
