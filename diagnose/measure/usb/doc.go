// Package usb does the sums of USB in a room: current of ports and supplies,
// bandwidth of camera and sound streams, tiers of hubs and lengths of cables.
//
// # Words
//
//	unit load    what a device may take before it is configured: 100 mA (2.0), 150 mA (3.x)
//	bus-powered  a hub that lives on its host's port: one unit load for each of its ports
//	periodic     traffic with booked time (cameras, sound), as against files
//	tier         one level of the tree; host and device each count as one
//
// Currents are in mA, lengths in m, rates in Mbit/s.
//
// # Example
//
// A 1080p30 camera in YUY2 (16 bits a pixel) needs 995.3 Mbit/s; one endpoint
// of high speed carries 196.6: it has to compress or run over 5 Gbit/s.
//
// # Limits
//
// The share of a stream is taken in proportion to its rate; real hosts book
// whole packets and may refuse a little earlier.
package usb
