// Package ether does the sums of the room's network: power over Ethernet,
// subnets and who reaches whom, payload rates, ageing of multicast members.
//
// # Words
//
//	class      what a device asks of a supply over the wire, 1 to 8
//	overhead   38 bytes a frame that are no payload: preamble 8, header 14, check 4, gap 12
//	member     a receiver of a multicast group, as a snooping switch remembers it
//
// Powers are in W, rates in Mbit/s unless named otherwise, times in s.
//
// # Example
//
// TCP with time stamps fills 1448 of 1538 bytes: 94.15 Mbit/s of 100.
//
// # Limits
//
// IPv4 only. Reachability is what addresses and masks allow; firewalls, VLANs
// and routes beyond the default gateway are not known here.
package ether
