package measure

import (
	"sort"
	"strings"
)

// unit is one accepted spelling of a unit. A figure in it becomes a figure in
// the base unit of its dimension by value*factor + offset.
type unit struct {
	symbol string
	dim    string
	factor float64
	offset float64
	exact  bool // bits and bytes, milli and mega: the case of letters decides
}

// Dimensions have one base unit each; the name is only used in messages.
const (
	dimCurrent     = "current"
	dimVoltage     = "voltage"
	dimPower       = "power"
	dimApparent    = "apparent power"
	dimLength      = "length"
	dimArea        = "cross-section"
	dimSurface     = "surface"
	dimFrequency   = "frequency"
	dimBitRate     = "bit rate"
	dimData        = "amount of data"
	dimTime        = "time"
	dimTemperature = "temperature"
	dimRise        = "temperature difference"
	dimResistance  = "resistance"
	dimPerLength   = "resistance per length"
	dimCapPerLen   = "capacitance per length"
	dimDBu         = "level in dBu"
	dimDBV         = "level in dBV"
	dimDBFS        = "level below full scale"
	dimDB          = "ratio in decibels"
	dimShare       = "share"
	dimAirflow     = "air flow"
	dimFlux        = "light output"
	dimLuminance   = "luminance"
	dimBaud        = "line rate"
	dimBits        = "depth in bits"
	dimRackUnit    = "rack height"
	dimSpeedSound  = "speed"
	dimAngle       = "angle"
)

// unitsElectric lists units of electricity and heat.
func unitsElectric() []unit {
	return []unit{
		{"A", dimCurrent, 1, 0, false}, {"mA", dimCurrent, 1e-3, 0, false},
		{"V", dimVoltage, 1, 0, false}, {"mV", dimVoltage, 1e-3, 0, false}, {"kV", dimVoltage, 1e3, 0, false},
		{"W", dimPower, 1, 0, false}, {"mW", dimPower, 1e-3, 0, true}, {"kW", dimPower, 1e3, 0, false},
		{"BTU/h", dimPower, 1 / 3.412142, 0, false},
		{"VA", dimApparent, 1, 0, false}, {"kVA", dimApparent, 1e3, 0, false},
		{"ohm", dimResistance, 1, 0, false}, {"Ω", dimResistance, 1, 0, false},
		{"Ohm", dimResistance, 1, 0, false}, {"mohm", dimResistance, 1e-3, 0, true}, {"mΩ", dimResistance, 1e-3, 0, true},
		{"kohm", dimResistance, 1e3, 0, false}, {"kΩ", dimResistance, 1e3, 0, false},
		{"ohm/km", dimPerLength, 1, 0, false}, {"Ω/km", dimPerLength, 1, 0, false},
		{"pF/m", dimCapPerLen, 1, 0, false}, {"pF/ft", dimCapPerLen, 1 / 0.3048, 0, false},
		{"°C", dimTemperature, 1, 0, false}, {"C", dimTemperature, 1, 0, false}, {"degC", dimTemperature, 1, 0, false},
		{"°F", dimTemperature, 5.0 / 9, -160.0 / 9, false}, {"F", dimTemperature, 5.0 / 9, -160.0 / 9, false},
		{"K", dimRise, 1, 0, false}, {"°C", dimRise, 1, 0, false}, {"C", dimRise, 1, 0, false},
	}
}

// unitsSpace lists units of length, surface, flow and light.
func unitsSpace() []unit {
	return []unit{
		{"m", dimLength, 1, 0, false}, {"cm", dimLength, 1e-2, 0, false}, {"mm", dimLength, 1e-3, 0, true},
		{"km", dimLength, 1e3, 0, false}, {"ft", dimLength, 0.3048, 0, false},
		{"in", dimLength, 0.0254, 0, false}, {"inch", dimLength, 0.0254, 0, false}, {"\"", dimLength, 0.0254, 0, false},
		{"mm2", dimArea, 1, 0, false}, {"mm²", dimArea, 1, 0, false},
		{"m2", dimSurface, 1, 0, false}, {"m²", dimSurface, 1, 0, false},
		{"U", dimRackUnit, 1, 0, false}, {"RU", dimRackUnit, 1, 0, false},
		{"m3/h", dimAirflow, 1, 0, false}, {"m³/h", dimAirflow, 1, 0, false},
		{"CFM", dimAirflow, 1.699010796, 0, false}, {"l/s", dimAirflow, 3.6, 0, false},
		{"lm", dimFlux, 1, 0, false}, {"lumen", dimFlux, 1, 0, false},
		{"cd/m2", dimLuminance, 1, 0, false}, {"cd/m²", dimLuminance, 1, 0, false},
		{"nit", dimLuminance, 1, 0, false}, {"fL", dimLuminance, 3.4262591, 0, false},
		{"m/s", dimSpeedSound, 1, 0, false},
		{"arcmin", dimAngle, 1, 0, false}, {"'", dimAngle, 1, 0, false},
	}
}

// unitsSignal lists units of signals, data and time.
func unitsSignal() []unit {
	return []unit{
		{"Hz", dimFrequency, 1, 0, false}, {"kHz", dimFrequency, 1e3, 0, false},
		{"MHz", dimFrequency, 1e6, 0, false}, {"GHz", dimFrequency, 1e9, 0, false},
		{"bit/s", dimBitRate, 1, 0, false}, {"kbit/s", dimBitRate, 1e3, 0, false}, {"Mbit/s", dimBitRate, 1e6, 0, false},
		{"Gbit/s", dimBitRate, 1e9, 0, false}, {"bps", dimBitRate, 1, 0, true}, {"kbps", dimBitRate, 1e3, 0, true},
		{"Mbps", dimBitRate, 1e6, 0, true}, {"mbps", dimBitRate, 1e6, 0, true},
		{"Gbps", dimBitRate, 1e9, 0, true}, {"gbps", dimBitRate, 1e9, 0, true},
		{"B/s", dimBitRate, 8, 0, true}, {"kB/s", dimBitRate, 8e3, 0, true}, {"MB/s", dimBitRate, 8e6, 0, true},
		{"GB/s", dimBitRate, 8e9, 0, true},
		{"B", dimData, 1, 0, true}, {"byte", dimData, 1, 0, false}, {"bytes", dimData, 1, 0, false},
		{"kB", dimData, 1e3, 0, true}, {"MB", dimData, 1e6, 0, true}, {"GB", dimData, 1e9, 0, true}, {"TB", dimData, 1e12, 0, true},
		{"KiB", dimData, 1 << 10, 0, true}, {"MiB", dimData, 1 << 20, 0, true}, {"GiB", dimData, 1 << 30, 0, true},
		{"Mbit", dimData, 1e6 / 8, 0, true}, {"Gbit", dimData, 1e9 / 8, 0, true},
		{"s", dimTime, 1, 0, false}, {"ms", dimTime, 1e-3, 0, true}, {"µs", dimTime, 1e-6, 0, true}, {"us", dimTime, 1e-6, 0, true},
		{"min", dimTime, 60, 0, false}, {"h", dimTime, 3600, 0, false},
		{"dBu", dimDBu, 1, 0, false}, {"dBV", dimDBV, 1, 0, false}, {"dBFS", dimDBFS, 1, 0, false}, {"dB", dimDB, 1, 0, false},
		{"%", dimShare, 1, 0, false}, {"percent", dimShare, 1, 0, false},
		{"baud", dimBaud, 1, 0, false}, {"Bd", dimBaud, 1, 0, false}, {"kBd", dimBaud, 1e3, 0, false},
		{"bit", dimBits, 1, 0, false}, {"bits", dimBits, 1, 0, false},
	}
}

func allUnits() []unit {
	return append(append(unitsElectric(), unitsSpace()...), unitsSignal()...)
}

// units returns the rows of one dimension.
func units(dim string) []unit {
	var rows []unit
	for _, u := range allUnits() {
		if u.dim == dim {
			rows = append(rows, u)
		}
	}
	return rows
}

// dimensionOf finds the first dimension that knows a symbol as written.
func dimensionOf(symbol string) (string, bool) {
	for _, u := range allUnits() {
		if u.symbol == symbol {
			return u.dim, true
		}
	}
	return "", false
}

// findUnit looks a symbol up among the units of one dimension: first as
// written, then without regard to case where that cannot change the meaning.
func findUnit(dim, symbol string) (unit, bool) {
	rows := units(dim)
	for _, u := range rows {
		if u.symbol == symbol {
			return u, true
		}
	}
	for _, u := range rows {
		if !u.exact && strings.EqualFold(u.symbol, symbol) {
			return u, true
		}
	}
	return unit{}, false
}

// symbols lists the spellings of a dimension for a message, sorted.
func symbols(dim string) string {
	var out []string
	for _, u := range units(dim) {
		out = append(out, u.symbol)
	}
	sort.Strings(out)
	return strings.Join(out, ", ")
}
