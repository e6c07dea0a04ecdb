package ether

import (
	"encoding/binary"
	"fmt"
	"net/netip"
	"strconv"
	"strings"
)

// Subnet describes the network of one host.
type Subnet struct {
	Host      netip.Addr
	Bits      int
	Mask      netip.Addr
	Network   netip.Addr
	Broadcast netip.Addr
	First     netip.Addr // usable
	Last      netip.Addr // usable
	Addresses uint64
	Usable    uint64
}

// ParseHost reads "192.168.10.37/26", "192.168.10.37/255.255.255.192" and
// "192.168.10.37 255.255.255.192". IPv4 only; a missing mask is an error, since
// the mask is what decides.
func ParseHost(text string) (Subnet, error) {
	text = strings.TrimSpace(text)
	address, mask, found := strings.Cut(strings.Join(strings.Fields(text), "/"), "/")
	host, err := netip.ParseAddr(address)
	if err != nil {
		return Subnet{}, fmt.Errorf("%q is not an address; write one such as 192.168.10.37/26", text)
	}
	if !host.Is4() {
		return Subnet{}, fmt.Errorf("%q is not an IPv4 address; only those are worked out here", text)
	}
	if !found {
		return Subnet{}, fmt.Errorf("%q has no mask; add one such as %s/24", text, address)
	}
	bits, err := parseMask(mask)
	if err != nil {
		return Subnet{}, err
	}
	return makeSubnet(host, bits), nil
}

// parseMask reads "26" and "255.255.255.192".
func parseMask(text string) (int, error) {
	if n, err := strconv.Atoi(text); err == nil {
		if n < 0 || n > 32 || strings.HasPrefix(text, "+") {
			return 0, fmt.Errorf("a mask of /%s does not exist; /0 to /32 can be used", text)
		}
		return n, nil
	}
	mask, err := netip.ParseAddr(text)
	if err != nil || !mask.Is4() {
		return 0, fmt.Errorf("%q is not a mask; write /24 or 255.255.255.0", text)
	}
	value := number(mask)
	for bits := 0; bits <= 32; bits++ {
		if maskOf(bits) == value {
			return bits, nil
		}
	}
	return 0, fmt.Errorf("the mask %s has gaps; a mask is ones and then zeros", text)
}

func makeSubnet(host netip.Addr, bits int) Subnet {
	mask := maskOf(bits)
	network := number(host) & mask
	s := Subnet{Host: host, Bits: bits, Mask: addr(mask), Network: addr(network), Broadcast: addr(network | ^mask)}
	s.Addresses = 1 << (32 - bits)
	if bits >= 31 { // point to point (RFC 3021, from memory) and a single host
		s.First, s.Last, s.Usable = s.Network, s.Broadcast, s.Addresses
		return s
	}
	s.First, s.Last, s.Usable = addr(network+1), addr(network|^mask-1), s.Addresses-2
	return s
}

func maskOf(bits int) uint32 { return uint32(uint64(0xFFFFFFFF) << (32 - bits)) }

func number(a netip.Addr) uint32 { b := a.As4(); return binary.BigEndian.Uint32(b[:]) }

func addr(n uint32) netip.Addr {
	var b [4]byte
	binary.BigEndian.PutUint32(b[:], n)
	return netip.AddrFrom4(b)
}

// Prefix writes "192.168.10.0/26".
func (s Subnet) Prefix() string { return fmt.Sprintf("%s/%d", s.Network, s.Bits) }

// Holds says whether an address is in the subnet.
func (s Subnet) Holds(a netip.Addr) bool {
	return a.Is4() && number(a)&maskOf(s.Bits) == number(s.Network)
}

// HostFault says why the host's own address cannot be used, or "".
func (s Subnet) HostFault() string {
	switch {
	case s.Host.IsMulticast():
		return fmt.Sprintf("%s is a multicast group, not a host", s.Host)
	case s.Host.IsLoopback() || s.Host.IsUnspecified():
		return fmt.Sprintf("%s is not an address that another host can reach", s.Host)
	case s.Bits < 31 && s.Host == s.Network:
		return fmt.Sprintf("%s is the address of the network itself", s.Host)
	case s.Bits < 31 && s.Host == s.Broadcast:
		return fmt.Sprintf("%s is the broadcast address of %s", s.Host, s.Prefix())
	}
	return ""
}

// LinkLocal says whether the host gave itself an address: no DHCP answer
// (check value N-030).
func (s Subnet) LinkLocal() bool { return s.Host.IsLinkLocalUnicast() }

// LinkLocalUsable is the number of addresses in 169.254/16 that a host may
// give itself: all but the first and last 256 (N-030).
func LinkLocalUsable() int { return 1<<16 - 2*256 }

// Private says whether the host's address is from the private ranges (N-029,
// from memory RFC 1918).
func (s Subnet) Private() bool { return s.Host.IsPrivate() }
