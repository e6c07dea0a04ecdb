package serial

import (
	"fmt"
	"strconv"
	"strings"
)

// Frame is the shape of a character: 5 to 8 data bits, parity N E O M S, 1 or 2
// stop bits.
type Frame struct {
	Data   int
	Parity byte
	Stop   int
}

// ParseFrame reads "8N1", "7e2" and the like.
func ParseFrame(text string) (Frame, error) {
	t := strings.ToUpper(strings.TrimSpace(text))
	if len(t) == 3 {
		f := Frame{Data: int(t[0] - '0'), Parity: t[1], Stop: int(t[2] - '0')}
		if f.Data >= 5 && f.Data <= 8 && strings.ContainsRune("NEOMS", rune(f.Parity)) && (f.Stop == 1 || f.Stop == 2) {
			return f, nil
		}
	}
	return Frame{}, fmt.Errorf("%q is not a frame; write data bits, parity and stop bits such as 8N1, 7E1 or 8E2", text)
}

// String writes "8N1".
func (f Frame) String() string { return strconv.Itoa(f.Data) + string(f.Parity) + strconv.Itoa(f.Stop) }

// parityBits is 0 or 1.
func (f Frame) parityBits() int {
	if f.Parity == 'N' {
		return 0
	}
	return 1
}

// Bits of a whole character, start bit included (check value C-009).
func (f Frame) Bits() int { return 1 + f.Data + f.parityBits() + f.Stop }

// CharacterMS is the time of one character at a line rate in baud.
func (f Frame) CharacterMS(baud float64) float64 { return float64(f.Bits()) / baud * 1000 }

// bitsToStop is the number of bit times from the start edge to the middle of
// the (first) stop bit: 9.5 for 8N1.
func (f Frame) bitsToStop() float64 { return 1 + float64(f.Data+f.parityBits()) + 0.5 }

// Tolerance is the difference of rates in % that still reads right: half a bit
// up to the middle of the stop bit; with 16 samples a bit one sixteenth of a
// bit is lost to not knowing the edge (C-010, C-011).
func (f Frame) Tolerance(oversampled bool) float64 {
	half := 0.5
	if oversampled {
		half -= 1.0 / 16
	}
	return half / f.bitsToStop() * 100
}

// AdvisedPerSide is the error of each side in % that the read table advises:
// 2.0 for 8 bits, 1.5 for 8 with parity (C-012); fewer bits take the former.
func (f Frame) AdvisedPerSide() float64 {
	if f.Data+f.parityBits() > 8 {
		return 1.5
	}
	return 2.0
}

// Difference of two rates in % of the first.
func Difference(baud, other float64) float64 {
	d := (other - baud) / baud * 100
	if d < 0 {
		return -d
	}
	return d
}
