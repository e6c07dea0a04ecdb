package ether

import (
	"fmt"
	"net/netip"
)

// Frame figures in bytes (check values N-010 to N-015).
const (
	overheadBytes = 38   // preamble 8, header 14, check 4, gap 12
	mtuBytes      = 1500 //
	vlanTagBytes  = 4    //
	onWireExtra   = 20   // preamble and gap, beside the frame as it is counted
)

// Payload is the kind of traffic.
type Payload string

// Payloads: the bytes of a full frame that are the user's.
const (
	TCP      Payload = "tcp"       // 1448: IPv4, TCP with time stamps
	TCPPlain Payload = "tcp-plain" // 1460: without time stamps
	UDP      Payload = "udp"       // 1472
)

// Payloads lists the kinds.
func Payloads() []string { return []string{string(TCP), string(TCPPlain), string(UDP)} }

// Bytes of a full frame that are the user's.
func (p Payload) Bytes() int {
	switch p {
	case TCPPlain:
		return 1460
	case UDP:
		return 1472
	}
	return 1448
}

// Efficiency is the share of the line rate that is payload, 0 to 1.
func Efficiency(p Payload, vlanTag bool) float64 {
	wire := mtuBytes + overheadBytes
	if vlanTag {
		wire += vlanTagBytes
	}
	return float64(p.Bytes()) / float64(wire)
}

// FramesPerSecond is how many frames of a size (64 to 1518 bytes, check
// included) a line rate in bit/s carries (N-016).
func FramesPerSecond(bitRate float64, frameBytes int) float64 {
	return bitRate / float64((frameBytes+onWireExtra)*8)
}

// MemberAge is the time in s after which a multicast member that is not heard
// of is dropped: robustness × query interval + response time (N-036).
func MemberAge(robustness int, queryS, responseS float64) float64 {
	return float64(robustness)*queryS + responseS
}

// GroupMAC is the Ethernet address of a multicast group: the low 23 bits behind
// 01:00:5E (N-037, from memory RFC 1112 §6.4).
func GroupMAC(group netip.Addr) (string, error) {
	if !group.Is4() || !group.IsMulticast() {
		return "", fmt.Errorf("%s is not an IPv4 multicast group; they run from 224.0.0.0 to 239.255.255.255", group)
	}
	b := group.As4()
	return fmt.Sprintf("01:00:5E:%02X:%02X:%02X", b[1]&0x7F, b[2], b[3]), nil
}
