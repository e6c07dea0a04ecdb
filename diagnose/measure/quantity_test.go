package measure

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text, want string
		value      float64
	}{
		{"500mA", "A", 0.5}, {"0.5 A", "mA", 500}, {"500 ma", "mA", 500}, {"2 A", "A", 2},
		{"15 m", "m", 15}, {"15M", "m", 15}, {"1.5m", "mm", 1500}, {"49 ft", "m", 14.9352}, {"85in", "mm", 2159}, {"85\"", "mm", 2159},
		{"340 MHz", "MHz", 340}, {"340mhz", "MHz", 340}, {"0.34 GHz", "MHz", 340},
		{"18 Gbit/s", "Gbit/s", 18}, {"100Mbps", "Mbit/s", 100}, {"100 mbit/s", "Mbit/s", 100}, {"12 MB/s", "Mbit/s", 96},
		{"1 GB", "MB", 1000}, {"1 GiB", "MB", 1073.741824}, {"8 Mbit", "MB", 1},
		{"4min 20s", "s", 260}, {"4min20s", "s", 260}, {"1h 5 min", "s", 3900}, {"16.7ms", "s", 0.0167},
		{"20 °C", "°C", 20}, {"20C", "°C", 20}, {"68F", "°C", 20}, {"10 K", "K", 10}, {"10°C", "K", 10},
		{"+4 dBu", "dBu", 4}, {"-10dBV", "dBV", -10}, {"\u221210 dB", "dB", -10}, {"5 %", "%", 5}, {"0.75mm2", "mm2", 0.75},
		{"3517 W", "W", 3517}, {"3412.142 BTU/h", "W", 1000}, {"100 CFM", "m3/h", 169.9010796}, {"17 pF/ft", "pF/m", 55.7743},
		{"1 fL", "cd/m2", 3.4262591}, {"20 nit", "cd/m2", 20}, {"12U", "U", 12}, {"3", "", 3}, {" 2.5 ", "", 2.5},
	} {
		got, err := Parse(c.text, c.want)
		if err != nil || math.Abs(got-c.value) > 1e-4*math.Max(1, math.Abs(c.value))*0.1 {
			t.Errorf("%q in %s: got %g (%v), want %g", c.text, c.want, got, err, c.value)
		}
	}
	if got, err := ParseBare("9600", "baud"); err != nil || got != 9600 {
		t.Errorf("bare: got %g (%v)", got, err)
	}
}

func TestParseErrors(t *testing.T) {
	for _, c := range []struct{ text, unit, want string }{
		{"", "A", "no figure given"},
		{"500", "mA", `has no unit; write "12 mA"`},
		{"5 m", "A", `is in a unit of length, but one of current is wanted (A, mA)`},
		{"5 quux", "A", `unit "quux" is not known`},
		{"mA", "A", "is not a figure"},
		{"1,5 A", "A", "is not known"},
		{"1e3 A", "A", "is not known"},
		{"NaN A", "A", "is not a figure"},
		{"0x10 A", "A", "is not known"},
		{"5 A 6 A", "A", "goes on"},
		{"5 MB", "Mbit/s", "is in a unit of amount of data"},
		{"5 Mb", "MB", "is not known"},
		{"3 m", "", "is not a plain number"},
		{strings.Repeat("9", 80) + "A", "A", "too long"},
		{"5 A", "furlong", "is not known"},
	} {
		if got, err := Parse(c.text, c.unit); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q in %q: got %g, %v, want an error with %q", c.text, c.unit, got, err, c.want)
		}
	}
}

// A value at its limit passes, the next above it fails, and noise does not count.
func TestWithin(t *testing.T) {
	for _, c := range []struct {
		value, limit float64
		want         bool
	}{
		{340.0, 340, true}, {340.01, 340, false}, {340.0001, 340, false}, {0.1 + 0.2, 0.3, true},
		{-5, -5, true}, {-4.99, -5, false}, {0, 0, true}, {1e-12, 0, false},
	} {
		if got := Within(c.value, c.limit); got != c.want {
			t.Errorf("%g of %g: got %v", c.value, c.limit, got)
		}
	}
}

func TestShow(t *testing.T) {
	for _, c := range []struct {
		value  float64
		unit   string
		places int
		want   string
	}{
		{594, "MHz", 3, "594 MHz"}, {18.5625, "Gbit/s", 2, "18.56 Gbit/s"}, {-0.0001, "dB", 2, "0 dB"},
		{19.5, "%", 1, "19.5 %"}, {7, "", 0, "7"}, {100, "W", 1, "100 W"}, {0.50, "A", 2, "0.5 A"},
	} {
		if got := Show(c.value, c.unit, c.places); got != c.want {
			t.Errorf("%g: got %q, want %q", c.value, got, c.want)
		}
	}
	if q := Figure("x", 11.137499999999999, "Gbit/s", 4); q.Value != 11.1375 || q.Text != "11.1375 Gbit/s" {
		t.Errorf("got %+v", q)
	}
}

// FuzzParse: no text may panic; what is accepted is finite and, shown in its
// unit with all digits, reads back the same.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{"500mA", "-10 dBV", "4min 20s", "1e9 W", "\u22125 m", "5 mm²", "....", "+", "7 %"} {
		for _, unit := range []string{"mA", "dBV", "s", "W", "m", "mm2", "", "%"} {
			f.Add(seed, unit)
		}
	}
	f.Fuzz(func(t *testing.T, text, unit string) {
		value, err := Parse(text, unit)
		if err != nil {
			return
		}
		if math.IsNaN(value) || math.IsInf(value, 0) {
			t.Fatalf("%q in %q gives %g", text, unit, value)
		}
		shown := strconv.FormatFloat(value, 'f', -1, 64)
		if len(shown) > 40 {
			return // longer than a figure may be
		}
		again, err := Parse(strings.TrimSpace(shown+" "+unit), unit)
		if err != nil || again != value {
			t.Fatalf("%q in %q gives %g, which reads back as %g (%v)", text, unit, value, again, err)
		}
	})
}
