package audio

import "math"

// ReferenceDBu is 0 dBu in V, the square root of 0.6: 1 mW in 600 Ω (check
// value A-001, computed; from memory IEC 60268-2).
const ReferenceDBu = 0.7745966692414834

// DBuToVolts converts a level in dBu to V.
func DBuToVolts(dBu float64) float64 { return ReferenceDBu * math.Pow(10, dBu/20) }

// VoltsToDBu converts V (above 0) to dBu.
func VoltsToDBu(volts float64) float64 { return 20 * math.Log10(volts/ReferenceDBu) }

// DBVToDBu converts dBV to dBu.
func DBVToDBu(dBV float64) float64 { return dBV + 20*math.Log10(1/ReferenceDBu) }

// DBuToDBV converts dBu to dBV.
func DBuToDBV(dBu float64) float64 { return dBu - 20*math.Log10(1/ReferenceDBu) }

// Digital full scale in dBu (A-008, from memory: EBU R68, SMPTE RP 155).
const (
	FullScaleEBU   = 18.0
	FullScaleSMPTE = 24.0
)

// Mix is how two or more signals belong together.
type Mix string

// Mixes: the same signal, unrelated ones, or the same with one turned over.
const (
	Same      Mix = "same"
	Unrelated Mix = "unrelated"
	Opposite  Mix = "opposite"
)

// Mixes lists the kinds.
func Mixes() []string { return []string{string(Same), string(Unrelated), string(Opposite)} }

// Add sums levels in dB, all in the same unit. For Opposite every
// second one is turned over. -Inf means that nothing is left.
func Add(levels []float64, mix Mix) float64 {
	sum := 0.0
	for i, l := range levels {
		switch {
		case mix == Unrelated:
			sum += math.Pow(10, l/10)
		case mix == Opposite && i%2 == 1:
			sum -= math.Pow(10, l/20)
		default:
			sum += math.Pow(10, l/20)
		}
	}
	if mix == Unrelated {
		return 10 * math.Log10(sum)
	}
	if math.Abs(sum) < 1e-9*math.Pow(10, levels[0]/20) {
		return math.Inf(-1)
	}
	return 20 * math.Log10(math.Abs(sum))
}

// PassiveSumLoss is what each of n sources loses in a passive sum of equal
// resistors, dB.
func PassiveSumLoss(n int) float64 { return -20 * math.Log10(float64(n)) }

// OneLegLoss is what is lost when one of the two legs of a symmetric
// balanced output or input is open, dB.
func OneLegLoss() float64 { return 20 * math.Log10(0.5) }

// LPCMMbit is the rate of uncompressed sound, Mbit/s: channels × sample
// rate in kHz × bits.
func LPCMMbit(channels int, kHz float64, bits int) float64 {
	return float64(channels) * kHz * float64(bits) / 1000
}
