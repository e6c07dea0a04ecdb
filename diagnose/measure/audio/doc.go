// Package audio does the sums of levels, mixing, distance, delay against the
// picture, and loudspeaker lines.
//
// # Words
//
//	dBu    level against 0.7746 V (the square root of 0.6)
//	dBV    level against 1 V; 0 dBV = 2.218 dBu
//	dBFS   level below digital full scale, which stands for a stated dBu
//	offset sound against picture in ms; positive is sound early (ITU-R BT.1359)
//	tap    the power at which a loudspeaker's transformer is set, for a line voltage
//
// # Symbols
//
//	L = 20 log10(U / U0), dB         c = 331.3 √(1 + T/273.15), m/s
//	Z = U²/P, Ω                      loss = 20 log10(R / (R + r)), dB
//
// # Example
//
// +4 dBu is 1.2277 V, -10 dBV is 0.3162 V: 11.78 dB apart, not 14.
//
// # Limits
//
// Steady sine levels; no weighting, no crest factor. Distance is free field.
package audio
