// Package measure holds what every sum of faultbook shares: figures with
// units, verdicts, sources, and the shape of a sum and of its result.
//
// # Words
//
//	figure    a number with its unit as a technician writes it: "500mA", "15 m"
//	quantity  a named figure or word that went into a sum or came out of it
//	input     what a sum must or may be told, with its unit and its range
//	verdict   pass, tight, fail or unknown, with one plain sentence
//	source    where a rule comes from: a check value and the words of its source
//	fact      a name and a value that a call can use as an answer
//	part      one member of a chain with what it carries and what is needed
//
// # How it hangs together
//
// The arithmetic lives in sub-packages of pure functions with typed
// arguments (timing, link, usb, ether, power, audio, serial, optics, hdcp).
// Package sums names each sum, reads its inputs, calls the arithmetic and
// fills a Result. This package imports none of them, so that a package which
// only needs the names (a checker of entries) stays small.
//
// # Example
//
//	v, err := measure.Parse("500mA", "A") // 0.5
//	ok := measure.Within(340.0, 340)      // true: at the limit passes
//
// # Rounding and limits
//
// Sums are worked in binary floating point without rounding. A value at its
// limit passes; Within allows a part in 10^9 above it, which is the noise of
// the arithmetic and far below any figure that is measured. Only what is shown
// is rounded, and each result says to how many places.
//
// # Limits
//
// A figure without its unit is refused unless the input says otherwise: 500
// may be meant as milliamperes or as a typing error, and the sums exist to
// catch that. The decimal sign is the point; the comma separates items.
package measure
