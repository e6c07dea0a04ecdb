package link

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/timing"
)

func signal(t *testing.T, format string, depth int, c Chroma) Signal {
	t.Helper()
	f, err := timing.ParseFormat(format)
	if err != nil {
		t.Fatal(err)
	}
	x, err := timing.Resolve(f)
	if err != nil {
		t.Fatal(err)
	}
	return Signal{x, depth, c}
}

func chain(t *testing.T, texts ...string) []Part {
	t.Helper()
	var out []Part
	for _, text := range texts {
		p, err := ParsePart(text)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, p)
	}
	return out
}

// about compares with a figure printed to the given places.
func about(got, printed float64, places int) bool {
	return math.Abs(got-printed) <= 0.5000001*math.Pow(10, -float64(places))
}

// Source: check values section 2.1, computed from H-001 to H-010.
func TestFitsTable(t *testing.T) {
	data, err := os.ReadFile("testdata/fits.tsv")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for line := range strings.Lines(string(data)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		seen++
		col := strings.Split(strings.TrimSpace(line), "\t")
		depth, _ := strconv.Atoi(strings.Fields(col[1])[0])
		s := signal(t, col[0], depth, Chroma(col[2]))
		for i, got := range []float64{s.Timing.ClockMHz, s.CharacterRate(), s.RawGbit(), s.DataGbit()} {
			want, err := strconv.ParseFloat(col[3+i], 64)
			if err != nil {
				t.Fatal(err)
			}
			if !about(got, want, 4) {
				t.Errorf("%s: column %d: got %.4f, want %.4f", s, 3+i, got, want)
			}
		}
		for i, limit := range []string{"165 MHz", "340 MHz", "600 MHz"} {
			r := CheckChain(s, chain(t, "display="+limit))
			if got, want := r.Verdict == measure.Pass, col[7+i] == "yes"; got != want {
				t.Errorf("%s over %s: got %v (%s), want %v", s, limit, r.Verdict, r.Illegal, want)
			}
		}
	}
	if seen < 40 {
		t.Errorf("only %d rows", seen)
	}
}

// Source: check values H-013 to H-018 (coding from memory, HDMI 2.1; computed).
func TestFRLRates(t *testing.T) {
	want := [][3]float64{{9, 8, 7.875}, {18, 16, 15.749}, {24, 21.333, 20.999}, {32, 28.444, 27.998}, {40, 35.556, 34.998}, {48, 42.667, 41.997}}
	for i, r := range FRLRates() {
		if r.Code != i+1 || r.RawGbit != want[i][0] || !about(r.DataGbit, want[i][1], 3) || !about(r.AfterFEC, want[i][2], 3) {
			t.Errorf("%s: got %+v, want %v", r.CheckedBy, r, want[i])
		}
	}
}

// Source: check values H-019 to H-025 (from memory, DisplayPort 1.4 and 2.0; computed).
func TestDPRates(t *testing.T) {
	want := map[string][]float64{ // 1, 2, 4 lanes; 0 where the check value has none
		"RBR": {1.296, 2.592, 5.184}, "HBR": {2.160, 4.320, 8.640}, "HBR2": {4.320, 8.640, 17.280}, "HBR3": {6.480, 12.960, 25.920},
		"UHBR10": {0, 19.394, 38.788}, "UHBR13.5": {0, 26.182, 52.364}, "UHBR20": {0, 38.788, 77.576},
	}
	for _, r := range DPRates() {
		for i, lanes := range []int{1, 2, 4} {
			if w := want[r.Name][i]; w > 0 && !about(r.DataGbit(lanes), w, 3) {
				t.Errorf("%s %s x%d: got %.4f, want %.3f", r.Check, r.Name, lanes, r.DataGbit(lanes), w)
			}
		}
	}
}

// Source: check values H-026 to H-032, computed.
func TestDock(t *testing.T) {
	hbr2, _ := FindDPRate("HBR2")
	hbr3, _ := FindDPRate("hbr3")
	for _, c := range []struct {
		id      string
		rate    DPRate
		formats []string
		need    float64
		ok      bool
	}{
		{"H-027 CTA", hbr3, []string{"2160p60"}, 14.256, false},
		{"H-027 RB", hbr3, []string{"2160p60 RB"}, 12.798, true},
		{"H-027 RB v2", hbr3, []string{"2160p60 RB2"}, 12.543, true},
		{"H-028", hbr2, []string{"2160p60"}, 14.256, false},
		{"H-028 30 Hz CTA", hbr2, []string{"2160p30"}, 7.128, true},
		{"H-028 30 Hz RB", hbr2, []string{"2160p30 RB"}, 6.306, true},
		{"H-029", hbr2, []string{"1080p60", "1080p60"}, 7.128, true},
		{"H-030", hbr2, []string{"1440p60 RB", "1440p60 RB"}, 11.592, false},
	} {
		var pictures []Signal
		for _, f := range c.formats {
			pictures = append(pictures, signal(t, f, 8, C444))
		}
		r := FitDock(c.rate, 2, pictures)
		if !about(r.Need, c.need, 3) || r.OK != c.ok {
			t.Errorf("%s: got need %.3f of %.3f %v, want %.3f %v", c.id, r.Need, r.Usable, r.OK, c.need, c.ok)
		}
	}
	if r := FitDock(hbr2, 2, make([]Signal, 2)); !about(r.Usable, 8.505, 3) {
		t.Errorf("H-029: 63 of 64 slots: got %.3f, want 8.505", r.Usable)
	}
	if USBCLanes(true) != 2 || USBCLanes(false) != 4 {
		t.Error("H-031: two lanes beside USB 3, else four")
	}
}

// Source: check value H-032: 35.64 Gbit/s against 35.56: not proven, not failed.
func TestFRLPlainArithmetic(t *testing.T) {
	s := signal(t, "2160p120", 10, C444)
	r := CheckChain(s, chain(t, "display=FRL 4x10"))
	d := r.Findings[0].Demand
	if r.Verdict != measure.Unknown || !about(d.Need, 35.64, 2) || !about(d.Limit, 35.56, 2) {
		t.Errorf("got %s, %.3f of %.3f", r.Verdict, d.Need, d.Limit)
	}
	if r := CheckChain(s, chain(t, "display=FRL 4x12")); r.Verdict != measure.Pass {
		t.Errorf("4x12: got %s", r.Verdict)
	}
}

// Source: check value H-037: 256 bytes at 100 kHz.
func TestEDIDRead(t *testing.T) {
	if got := EDIDReadMS(256, 100); !about(got, 23.04, 2) {
		t.Errorf("got %.3f ms", got)
	}
}

// A value at the limit passes, the next above it does not.
func TestAtTheLimit(t *testing.T) {
	s := signal(t, "2160p30", 8, C444)
	for _, c := range []struct {
		clock float64
		want  measure.Verdict
	}{{340.0, measure.Pass}, {340.01, measure.Fail}} {
		s.Timing.ClockMHz = c.clock
		if got := CheckChain(s, chain(t, "display=340 MHz")).Verdict; got != c.want {
			t.Errorf("%.2f of 340: got %s, want %s", c.clock, got, c.want)
		}
	}
	s.Timing.ClockMHz = 272 // at 10 bit 340 exactly
	s.Depth = 10
	if got := CheckChain(s, chain(t, "display=HDMI 1.4")).Verdict; got != measure.Pass {
		t.Errorf("272 x 1.25 of 340: got %s", got)
	}
}

// Source: check value H-005: 480i and 576i send each pixel twice.
func TestPixelRepetition(t *testing.T) {
	if got := signal(t, "480i60", 8, C444).CharacterRate(); got != 27 {
		t.Errorf("480i: got %g MHz, want 27", got)
	}
}

// Source: check values H-002 to H-004.
func TestLegal(t *testing.T) {
	for _, c := range []struct {
		format string
		depth  int
		c      Chroma
		legal  bool
	}{
		{"1080p60", 12, C422, true}, {"1080p60", 16, C422, false}, {"1080p60", 8, C420, false}, {"2160p30", 8, C420, false},
		{"2160p50", 8, C420, true}, {"4320p30", 8, C420, true}, {"640x480p60", 8, C444, true}, {"640x480p60", 10, C444, false},
		{"1080p60", 9, C444, false},
	} {
		if err := signal(t, c.format, c.depth, c.c).Legal(); (err == nil) != c.legal {
			t.Errorf("%s %d bit %s: got %v, want legal %v", c.format, c.depth, c.c, err, c.legal)
		}
	}
}
