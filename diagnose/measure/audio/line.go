package audio

import "math"

// LoadOhm is the impedance of a load of so many watts on a line voltage
// (check values ).
func LoadOhm(lineV, watts float64) float64 { return lineV * lineV / watts }

// TapOnOtherLine is the power that a tap takes on another line than the one
// that it is marked for, W.
func TapOnOtherLine(watts, markedV, lineV float64) float64 {
	return watts * (lineV / markedV) * (lineV / markedV)
}

// LineLossDB is what a loop resistance costs ahead of a load, dB.
func LineLossDB(loadOhm, loopOhm float64) float64 {
	return 20 * math.Log10(loadOhm/(loadOhm+loopOhm))
}

// LoadingAdvice is the part of an amplifier's power that taps should add up to
// at most, % (A-035, common practice, no source).
const LoadingAdvice = 80.0

// CableAdvice is the loop resistance of a low-impedance run against its load,
// % (A-037, common practice, no source).
const CableAdvice = 10.0
