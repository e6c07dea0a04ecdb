// Package power does the sums of wires, supplies and racks: resistance by
// gauge and temperature, voltage drop, heat and air, rack units.
//
// # Symbols
//
//	ρ   resistivity of copper at 20 °C, 17.241 Ω·mm²/km (W-001)
//	α   its change with temperature, 0.00393 1/K (W-002)
//	d   diameter of AWG n, mm = 0.127 × 92^((36-n)/39) (W-003)
//	ΔU  voltage lost on two wires, V = 2 × l × I × r (W-004)
//
// Lengths are one way, in m; currents in A; r in Ω/km.
//
// # Example
//
// 12 V, 3 A, 15 m of 0.75 mm² flexible: 2 × 15 × 3 × 26.0/1000 = 2.34 V lost.
//
// # Limits
//
// Square-millimetre sizes use the upper limits of IEC 60228 for the sizes of
// its table, gauges use solid copper without tolerance; contacts come on top.
package power
