package power

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

func about(got, printed float64, places int) bool {
	return math.Abs(got-printed) <= 0.5000001*math.Pow(10, -float64(places))
}

func table(t *testing.T, name string) [][]float64 {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]float64
	for line := range strings.Lines(string(data)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		var row []float64
		for _, text := range strings.Fields(line) {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			row = append(row, v)
		}
		rows = append(rows, row)
	}
	return rows
}

// Source: check values section 8, computed from IEC 60028 and ASTM B258 (from memory).
func TestAWGTable(t *testing.T) {
	rows := table(t, "awg.tsv")
	for _, r := range rows {
		gauge := int(r[0])
		if !about(AWGDiameter(gauge), r[1], 4) || !about(AWGArea(gauge), r[2], 4) || !about(AWG(gauge).OhmPerKM, r[3], 2) {
			t.Errorf("AWG %d: got %.5f mm, %.5f mm², %.3f Ω/km, want %v", gauge, AWGDiameter(gauge), AWGArea(gauge), AWG(gauge).OhmPerKM, r)
		}
	}
	if len(rows) != 11 {
		t.Errorf("%d rows", len(rows))
	}
}

// Source: check values section 8, IEC 60228 read in three reproductions.
func TestMetricTable(t *testing.T) {
	rows := table(t, "metric.tsv")
	for _, r := range rows {
		if solid, flexible := Metric(r[0], false), Metric(r[0], true); solid.OhmPerKM != r[1] || flexible.OhmPerKM != r[2] {
			t.Errorf("%g mm²: got %g and %g, want %v", r[0], solid.OhmPerKM, flexible.OhmPerKM, r)
		}
	}
	if len(rows) != 7 {
		t.Errorf("%d rows", len(rows))
	}
}

// Source: check values W-002, W-007 to W-011, U-019, U-020; computed.
func TestVoltageDrop(t *testing.T) {
	for _, c := range []struct {
		id                   string
		volts, amps, metres  float64
		wire                 string
		lost, left, percent  float64
		places, percentPlace int
	}{
		{"W-007", 12, 3, 15, "0.75mm2", 2.340, 9.660, 19.5, 3, 1},
		{"W-008", 12, 3, 15, "1.0 mm²", 1.755, 10.245, 14.6, 3, 1},
		{"W-009", 12, 3, 15, "1.5mm2", 1.197, 10.803, 10.0, 3, 1},
		{"W-010", 12, 3, 15, "2.5mm2", 0.718, 11.282, 6.0, 3, 1},
		{"W-011", 12, 3, 15, "18AWG", 1.885, 10.115, 15.7, 3, 1},
		{"U-019", 5, 0.5, 5, "28 AWG", 1.06, 3.94, 21.3, 2, 1},
		{"U-020", 4.75, 0.5, 5, "AWG 24", 0.42, 4.33, 8.9, 2, 1},
	} {
		w, err := ParseWire(c.wire)
		if err != nil {
			t.Fatal(err)
		}
		d := VoltageDrop(c.volts, c.amps, c.metres, w, 20)
		if !about(d.Lost, c.lost, c.places) || !about(d.Left, c.left, c.places) || !about(d.Percent, c.percent, c.percentPlace) {
			t.Errorf("%s: got %.4f V lost, %.4f V left, %.2f %%, want %+v", c.id, d.Lost, d.Left, d.Percent, c)
		}
	}
	if !about(TemperatureFactor(50), 1.118, 3) || !about(TemperatureFactor(70), 1.1965, 4) {
		t.Errorf("W-002: got %.4f at 50 °C, %.4f at 70 °C", TemperatureFactor(50), TemperatureFactor(70))
	}
	w := AWG(24)
	run := LongestRun(0.5, 0.5, w, 40)
	if d := VoltageDrop(5, 0.5, run, w, 40); !about(d.Lost, 0.5, 9) {
		t.Errorf("longest run of %.3f m loses %.6f V, want 0.5", run, d.Lost)
	}
}

// Source: check value U-017 (from memory USB 2.0 §7.2.2; computed): 0.25 Ω each
// way at 500 mA lose 0.125 V on each of the two wires.
func TestUSBDropAllowed(t *testing.T) {
	if d := VoltageDrop(4.75, 0.5, 5, Wire{OhmPerKM: 50}, 20); d.LoopOhm != 0.5 || d.Lost != 0.25 {
		t.Errorf("got %g Ω, %g V", d.LoopOhm, d.Lost)
	}
}

// Source: check values W-013 to W-015 and W-018; computed.
func TestHeat(t *testing.T) {
	for _, c := range []struct {
		id        string
		got, want float64
		places    int
	}{
		{"W-013 100 W", 100 * BTUPerWatt, 341.2, 1}, {"W-013 1000 W", 1000 * BTUPerWatt, 3412, 0}, {"W-013 12 000 BTU/h", 12000 / BTUPerWatt, 3517, 0},
		{"W-014", AirFlow(500, 10), 149, 0}, {"W-014 factor", AirFlow(1, 1), 2.99, 2}, {"W-014 back", AirRise(500, AirFlow(500, 10)), 10, 9},
		{"W-015 42 U", RackMM(42), 1866.9, 1}, {"W-018", Apparent(100, 0.6), 167, 0},
	} {
		if !about(c.got, c.want, c.places) {
			t.Errorf("%s: got %.4f, want %g", c.id, c.got, c.want)
		}
	}
}

func TestParseWireErrors(t *testing.T) {
	for _, text := range []string{"", "24", "41AWG", "-3mm2", "0mm2", "1.5", "1.5 mm2 silver", "24 m"} {
		if w, err := ParseWire(text); err == nil {
			t.Errorf("%q: got %+v, want an error", text, w)
		}
	}
	if w, err := ParseWire("0.22 mm2"); err != nil || !about(w.OhmPerKM, 78.37, 2) || !strings.Contains(w.Rule, "not a size") {
		t.Errorf("0.22 mm²: got %+v (%v)", w, err)
	}
}
