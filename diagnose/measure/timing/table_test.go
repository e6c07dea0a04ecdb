package timing

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// readTable reads a tab-separated file of testdata without its comment lines.
func readTable(t *testing.T, name string) [][]string {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]string
	for line := range strings.SplitSeq(strings.TrimRight(string(data), "\n"), "\n") {
		if !strings.HasPrefix(line, "#") {
			rows = append(rows, strings.Split(line, "\t"))
		}
	}
	if len(rows) < 4 {
		t.Fatalf("%s has only %d rows", name, len(rows))
	}
	return rows
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// close says whether a value rounds to a printed one with the given places.
func roundsTo(value, printed float64, places int) bool {
	return math.Abs(value-printed) <= 0.5000001*math.Pow(10, -float64(places))
}

func total(x Timing) string { return fmt.Sprintf("%d x %d", x.HTotal, x.VTotal) }

// Source: check values section 1.5, ran edid-decode --list-vics and --vic.
func TestVICTable(t *testing.T) {
	for _, row := range readTable(t, "vic.tsv") {
		code, _ := strconv.Atoi(row[0])
		got, ok := VIC(code)
		if !ok {
			t.Errorf("VIC %d is missing", code)
			continue
		}
		porches := fmt.Sprintf("%d/%d/%d\t%d/%d/%d", got.HFront, got.HSync, got.HBack, got.VFront, got.VSync, got.VBack)
		if got.Size() != row[1] || porches != row[6]+"\t"+row[7] || total(got) != row[8] || got.Polarity() != row[9] {
			t.Errorf("VIC %d: got %s %s %s %s, want %v", code, got.Size(), porches, total(got), got.Polarity(), row)
		}
		if !roundsTo(got.RateHz(), number(t, row[2]), 3) || !roundsTo(got.LineKHz(), number(t, row[4]), 3) ||
			!roundsTo(got.ClockMHz, number(t, row[5]), 3) {
			t.Errorf("VIC %d: got %.4f Hz %.4f kHz %.4f MHz, want %v", code, got.RateHz(), got.LineKHz(), got.ClockMHz, row)
		}
	}
}

// Source: check values section 1.5, older HDMI block.
func TestHDMIVICTable(t *testing.T) {
	for _, row := range readTable(t, "hdmi_vic.tsv") {
		code, _ := strconv.Atoi(row[0])
		got, ok := HDMIVIC(code)
		want, err := ParseFormat(row[1])
		if err != nil {
			t.Fatal(err)
		}
		if !ok || got.Width != want.Width || got.RateHz() != want.Rate || got.ClockMHz != number(t, row[2]) || "CTA "+row[3] != got.Name {
			t.Errorf("HDMI VIC %d: got %+v, want %v", code, got, row)
		}
	}
	if _, ok := HDMIVIC(5); ok {
		t.Error("HDMI VIC 5 does not exist")
	}
}

// Source: check values section 1.6, ran edid-decode --list-dmts.
func TestDMTTable(t *testing.T) {
	for _, row := range readTable(t, "dmt.tsv") {
		id, err := strconv.ParseInt(row[0], 0, 16)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := DMTEntry(int(id))
		if !ok {
			t.Errorf("DMT %s is missing", row[0])
			continue
		}
		if got.Size() != row[1] || got.Reduced != (row[6] == "yes") || !roundsTo(got.RateHz(), number(t, row[2]), 3) ||
			!roundsTo(got.LineKHz(), number(t, row[4]), 3) || !roundsTo(got.ClockMHz, number(t, row[5]), 3) {
			t.Errorf("DMT %s: got %s %.4f Hz %.4f kHz %.4f MHz, want %v", row[0], got.Size(), got.RateHz(), got.LineKHz(), got.ClockMHz, row)
		}
	}
}

// Source: check values section 1.7; computed from the published formulas.
func TestCVTTable(t *testing.T) {
	for _, row := range readTable(t, "cvt.tsv") {
		f, err := ParseFormat(row[0])
		if err != nil {
			t.Fatal(err)
		}
		for i, m := range []Method{CVT, CVTRB, RBv2} {
			f.Method = m
			got, err := Resolve(f)
			if err != nil {
				t.Errorf("%s: %v", f, err)
				continue
			}
			if text := fmt.Sprintf("%.3f; %s", got.ClockMHz, total(got)); text != row[1+i] {
				t.Errorf("%s: got %s, want %s", f, text, row[1+i])
			}
		}
	}
}

// Source: check values section 1.7; ran edid-decode --gtf and gtf.
func TestGTFTable(t *testing.T) {
	for _, row := range readTable(t, "gtf.tsv") {
		f, err := ParseFormat(row[0])
		if err != nil {
			t.Fatal(err)
		}
		f.Method = GTF
		got, err := Resolve(f)
		if err != nil {
			t.Errorf("%s: %v", f, err)
			continue
		}
		if total(got) != row[2] || !roundsTo(got.ClockMHz, number(t, row[1]), 3) || !roundsTo(got.ClockMHz, number(t, row[3]), 2) {
			t.Errorf("%s: got %.6f; %s, want %v", f, got.ClockMHz, total(got), row)
		}
	}
}

// Source: check values E-071 to E-076; computed, ran edid-decode and cvt.
func TestClocksThatDecide(t *testing.T) {
	for _, c := range []struct {
		id, format string
		clock      float64
	}{
		{"E-071", "1080p60", 148.5}, {"E-071", "1080p60 RB", 138.5}, {"E-071", "1080p60 RB2", 133.32}, {"E-071", "1080p60 CVT", 173},
		{"E-072", "1920x1200p60", 154}, {"E-072", "1920x1200p60 full", 193.25},
		{"E-073", "2160p60", 594}, {"E-073", "2160p60 RB", 533.25}, {"E-073", "2160p60 RB2", 522.614}, {"E-073", "2160p60 CVT", 712.75},
		{"E-074", "2160p30 CVT", 338.75}, {"E-074", "2160p30", 297},
		{"E-075", "4096x2160p60 RB2", 556.744}, {"E-075", "DMT 0x57", 556.744}, {"E-075", "VIC 102", 594},
	} {
		f, err := ParseFormat(c.format)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Resolve(f)
		if err != nil || !roundsTo(got.ClockMHz, c.clock, 3) {
			t.Errorf("%s %s: got %.4f MHz (%v), want %.3f", c.id, c.format, got.ClockMHz, err, c.clock)
		}
	}
	i, _ := VIC(5)
	p, _ := VIC(16)
	if i.LineKHz() != 33.75 || p.LineKHz() != 2*i.LineKHz() {
		t.Errorf("E-076: line rates %g and %g kHz", i.LineKHz(), p.LineKHz())
	}
}

// The lists must agree with themselves: clock / totals gives a sane rate.
func TestListsAreSound(t *testing.T) {
	for _, r := range vicRows() {
		x := r.timing()
		lines := x.Height + x.VFront + x.VSync + x.VBack
		if !x.Interlaced && lines != x.VTotal {
			t.Errorf("%s: lines add up to %d, total is %d", x.Name, lines, x.VTotal)
		}
		if nearest := math.Round(x.RateHz()); math.Abs(x.RateHz()-nearest) > 0.25 || nearest < 24 || nearest > 240 {
			t.Errorf("%s: rate %.4f Hz", x.Name, x.RateHz())
		}
	}
}

// Source: check values H-043, O-011, O-012; computed.
func TestFrames(t *testing.T) {
	for rate, ms := range map[float64]float64{59.94: 16.683, 60: 16.667, 50: 20, 30: 33.333, 25: 40, 24: 41.667} {
		if got := FrameMS(rate); !roundsTo(got, ms, 3) {
			t.Errorf("H-043: %g Hz: got %.4f ms, want %.3f", rate, got, ms)
		}
	}
	if got := SlipSeconds(60, 59.94); !roundsTo(got, 16.7, 1) {
		t.Errorf("O-011: got %.3f s", got)
	}
	if a, b := FlickerHz(50, 60), FlickerHz(60, 50); a != 20 || b != 20 {
		t.Errorf("O-012: got %g and %g Hz, want 20", a, b)
	}
	if got := FlickerHz(50, 50); got != 0 {
		t.Errorf("camera at the mains frequency: got %g Hz", got)
	}
}
