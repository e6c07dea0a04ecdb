package power

// Drop is what a pair of wires costs.
type Drop struct {
	LoopOhm float64 // both wires, at temperature
	Lost    float64 // V
	Left    float64 // V at the far end
	Percent float64 // of the supply
}

// VoltageDrop works out the loss over length metres (one way) of a wire at a
// temperature in °C (check value W-004).
func VoltageDrop(supplyV, amps, lengthM float64, w Wire, celsius float64) Drop {
	loop := 2 * lengthM * w.OhmPerKM / 1000 * TemperatureFactor(celsius)
	lost := loop * amps
	return Drop{LoopOhm: loop, Lost: lost, Left: supplyV - lost, Percent: lost / supplyV * 100}
}

// LongestRun is the length in m (one way) at which just lostV are lost.
func LongestRun(lostV, amps float64, w Wire, celsius float64) float64 {
	return lostV / (2 * amps * w.OhmPerKM / 1000 * TemperatureFactor(celsius))
}
