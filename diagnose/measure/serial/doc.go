// Package serial does the sums of control lines: character times, tolerance of
// line rates, what a port with the wrong setting reads, cable capacitance, and
// message times on the CEC wire.
//
// # Words
//
//	frame   data bits, parity and stop bits as written: 8N1, 7E1
//	mark    the idle state, 1; space is 0 and begins each character
//	framing error  the stop bit was read as space
//
// # Example
//
// 7E1 read as 8N1: the parity bit lands in bit 7. "C" (43) has three ones, its
// even parity is 1, so C3 is read.
//
// # Limits
//
// Characters follow one another without a gap, as from a program; edges are
// sharp. The reader samples each bit once, in its middle.
package serial
