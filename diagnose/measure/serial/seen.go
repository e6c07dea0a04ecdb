package serial

import "math/bits"

// Seen is one character as the reader takes it.
type Seen struct {
	Byte         byte
	FramingError bool
	ParityError  bool
}

// Setting is a frame at a line rate in baud.
type Setting struct {
	Frame Frame
	Baud  float64
}

// wire puts bytes on the line: one bool a bit time, true is mark. A character
// time of idle line goes before and after.
func wire(data []byte, f Frame) []bool {
	idle := make([]bool, f.Bits())
	for i := range idle {
		idle[i] = true
	}
	line := append([]bool{}, idle...)
	for _, b := range data {
		line = append(line, false)
		b &= byte(1<<f.Data - 1)
		for i := range f.Data {
			line = append(line, b>>i&1 == 1)
		}
		if f.Parity != 'N' {
			line = append(line, parityBit(b, f.Parity))
		}
		for range f.Stop {
			line = append(line, true)
		}
	}
	return append(append(line, idle...), idle...)
}

// parityBit makes the number of ones even (E) or odd (O), or is fixed (M, S).
func parityBit(b byte, parity byte) bool {
	odd := bits.OnesCount8(b)%2 == 1
	switch parity {
	case 'E':
		return odd
	case 'O':
		return !odd
	}
	return parity == 'M'
}

// ReadAs sends bytes with one setting and reads them with another, bit by bit.
// The reader waits for a start edge, samples the middle of each of its bits,
// and looks for the next edge from the middle of its first stop bit.
func ReadAs(data []byte, sent, read Setting) []Seen {
	line := wire(data, sent.Frame)
	step := sent.Baud / read.Baud // the reader's bit in bits of the sender
	at := func(t float64) bool {
		if t < 0 || int(t) >= len(line) {
			return true
		}
		return line[int(t)]
	}
	var out []Seen
	for i := 1; i < len(line); i++ {
		if line[i] || !line[i-1] {
			continue // not a start edge
		}
		seen, end := readCharacter(float64(i), step, at, read.Frame)
		out = append(out, seen)
		i = max(i, int(end))
		if !at(end) { // a space instead of the stop bit: wait for mark
			for i < len(line) && !line[i] {
				i++
			}
		}
	}
	return out
}

// readCharacter samples one character from its start edge on; end is the
// middle of the first stop bit.
func readCharacter(edge, step float64, at func(float64) bool, f Frame) (seen Seen, end float64) {
	sample := func(bit int) bool { return at(edge + (float64(bit)+0.5)*step) }
	for i := range f.Data {
		if sample(1 + i) {
			seen.Byte |= 1 << i
		}
	}
	next := 1 + f.Data
	if f.Parity != 'N' {
		seen.ParityError = sample(next) != parityBit(seen.Byte, f.Parity)
		next++
	}
	end = edge + (float64(next)+0.5)*step
	seen.FramingError = !at(end)
	return seen, end
}
