package serial

// Limits of RS-232 (from memory, TIA-232-F): load in pF (check value C-003) and
// rate in bit/s (C-004).
const (
	LoadPF   = 2500.0
	RatedBit = 20000.0
)

// LengthByCapacitance is the length in m at which a cable of so many pF/m
// reaches the allowed load.
func LengthByCapacitance(pFPerMetre float64) float64 { return LoadPF / pFPerMetre }

// UsualLength is the length in m that the trade finds to work at a line rate
// (C-005, common practice, no source): sure, and commonly seen.
func UsualLength(baud float64) (sure, common float64) {
	switch {
	case baud <= 9600:
		return 15, 45
	case baud <= 19200:
		return 15, 15
	}
	return 3, 3
}

// CEC timing (C-026, read in an open kernel's CEC code): start bit and ten bits
// of 2.4 ms a block, at most 16 blocks.
const (
	cecStartMS    = 4.5
	cecBlockMS    = 24.0
	CECMostBlocks = 16
)

// CECMessageMS is the time of a message of blocks: the address is one, an
// opcode and each operand one more (C-027).
func CECMessageMS(blocks int) float64 { return cecStartMS + cecBlockMS*float64(blocks) }
