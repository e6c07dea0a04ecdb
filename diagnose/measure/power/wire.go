package power

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

const (
	resistivity = 17.241  // Ω·mm²/km at 20 °C, from memory (IEC 60028)
	tempCoeff   = 0.00393 // 1/K, from memory (IEC 60028)
)

// AWGDiameter is the diameter of a gauge in mm (from memory, ASTM B258).
// Gauges 0 to 40 make sense here.
func AWGDiameter(gauge int) float64 { return 0.127 * math.Pow(92, float64(36-gauge)/39) }

// AWGArea is the cross-section of a gauge in mm².
func AWGArea(gauge int) float64 { d := AWGDiameter(gauge); return math.Pi / 4 * d * d }

// TemperatureFactor is by how much copper's resistance at a temperature in °C
// exceeds that at 20 °C.
func TemperatureFactor(celsius float64) float64 { return 1 + tempCoeff*(celsius-20) }

// metricRow holds the upper limits of IEC 60228 at 20 °C in Ω/km.
type metricRow struct{ mm2, solid, flexible float64 }

// metricRows: plain copper, class 1 and 2, and class 5 (read in three
// secondary reproductions that agree).
func metricRows() []metricRow {
	return []metricRow{
		{0.5, 36.0, 39.0}, {0.75, 24.5, 26.0}, {1.0, 18.1, 19.5}, {1.5, 12.1, 13.3}, {2.5, 7.41, 7.98}, {4, 4.61, 4.95}, {6, 3.08, 3.30},
	}
}

// Wire is one conductor. OhmPerKM is at 20 °C.
type Wire struct {
	Name     string
	OhmPerKM float64
	Rule     string // where the resistance comes from
	Check    string // check value
}

// AWG returns the wire of a gauge.
func AWG(gauge int) Wire {
	return Wire{fmt.Sprintf("%d AWG", gauge), resistivity / AWGArea(gauge),
		"computed from resistivity, from memory (IEC 60028), and gauge, from memory (ASTM B258)", "W-003"}
}

// Metric returns the wire of a cross-section in mm², flexible (class 5) or
// solid and stranded (class 1 and 2).
func Metric(mm2 float64, flexible bool) Wire {
	for _, r := range metricRows() {
		if r.mm2 != mm2 {
			continue
		}
		if flexible {
			return Wire{fmt.Sprintf("%g mm² flexible", mm2), r.flexible, "upper limit of IEC 60228 class 5, read in secondary reproductions", "W-006"}
		}
		return Wire{fmt.Sprintf("%g mm² solid", mm2), r.solid, "upper limit of IEC 60228 class 1 and 2, read in secondary reproductions", "W-006"}
	}
	return Wire{fmt.Sprintf("%g mm²", mm2), resistivity / mm2, "computed from resistivity, from memory (IEC 60028); not a size of the IEC 60228 table used here", "W-001"}
}

var (
	awgPattern    = regexp.MustCompile(`^(?:(\d{1,2}) ?awg|awg ?(\d{1,2}))$`)
	metricPattern = regexp.MustCompile(`^(\d{1,3}(?:\.\d{1,3})?) ?(?:mm2|mm²)(?: (flexible|solid|stranded))?$`)
)

// ParseWire reads "24AWG", "AWG 18", "0.75 mm2" and "1.5 mm² solid". Without a
// word a metric size counts as flexible, which is the worse one.
func ParseWire(text string) (Wire, error) {
	low := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	if m := awgPattern.FindStringSubmatch(low); m != nil {
		gauge, _ := strconv.Atoi(m[1] + m[2])
		if gauge > 40 {
			return Wire{}, fmt.Errorf("%q is out of range: gauges 0 to 40 can be used", text)
		}
		return AWG(gauge), nil
	}
	if m := metricPattern.FindStringSubmatch(low); m != nil {
		mm2, _ := strconv.ParseFloat(m[1], 64)
		if mm2 < 0.01 || mm2 > 300 {
			return Wire{}, fmt.Errorf("%q is out of range: 0.01 to 300 mm² can be used", text)
		}
		return Metric(mm2, m[2] == "" || m[2] == "flexible"), nil
	}
	return Wire{}, fmt.Errorf("%q is not a wire; write one such as 24AWG, 0.75 mm2 or 1.5 mm2 solid", text)
}

// Ladder lists wires from thin to thick of the same family as the given one,
// for advice on the next size.
func Ladder(w Wire) []Wire {
	var out []Wire
	if strings.HasSuffix(w.Name, "AWG") {
		for gauge := 30; gauge >= 4; gauge -= 2 {
			out = append(out, AWG(gauge))
		}
		return out
	}
	for _, r := range metricRows() {
		out = append(out, Metric(r.mm2, !strings.HasSuffix(w.Name, "solid")))
	}
	return out
}
