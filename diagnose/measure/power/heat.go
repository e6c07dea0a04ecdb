package power

// BTUPerWatt converts W to BTU/h (check value W-013).
const BTUPerWatt = 3.412142

// AirFlow is the air in m³/h that carries heat in W away at a rise in K: air of
// 1.2 kg/m³ and 1005 J/(kg K) (W-014).
func AirFlow(watts, riseK float64) float64 { return watts * 3600 / (1.2 * 1005 * riseK) }

// AirRise is the rise in K that an air flow in m³/h gives.
func AirRise(watts, flow float64) float64 { return watts * 3600 / (1.2 * 1005 * flow) }

// Apparent is the apparent power in VA (W-018); power factor 0 to 1.
func Apparent(watts, powerFactor float64) float64 { return watts / powerFactor }

// RackMM is the height of rack units in mm (W-015, from memory IEC 60297-3).
func RackMM(units float64) float64 { return units * 44.45 }
