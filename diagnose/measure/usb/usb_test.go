package usb

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"faultbook/diagnose/measure"
)

func about(got, printed float64, places int) bool {
	return math.Abs(got-printed) <= 0.5000001*math.Pow(10, -float64(places))
}

// Source: check values section 4, camera streams, computed.
func TestStreamTable(t *testing.T) {
	data, err := os.ReadFile("testdata/streams.tsv")
	if err != nil {
		t.Fatal(err)
	}
	pattern := regexp.MustCompile(`^(\d+)x(\d+)p(\d+) (\w+)$`)
	seen := 0
	for line := range strings.Lines(string(data)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		seen++
		col := strings.Split(strings.TrimSpace(line), "\t")
		m := pattern.FindStringSubmatch(col[0])
		if m == nil {
			t.Fatalf("row %q", col[0])
		}
		width, _ := strconv.Atoi(m[1])
		height, _ := strconv.Atoi(m[2])
		rate, _ := strconv.ParseFloat(m[3], 64)
		want, _ := strconv.ParseFloat(col[1], 64)
		got := VideoRate(width, height, rate, Coding(strings.ToLower(m[4])))
		if !about(got, want, 3) {
			t.Errorf("%s: got %.4f, want %.3f", col[0], got, want)
		}
		for i, path := range []Path{High, Super} {
			if fits := Bandwidth(path, []Stream{{"camera", got}}).OK; fits != (col[2+i] == "yes") {
				t.Errorf("%s over %s: got %v, want %s", col[0], path, fits, col[2+i])
			}
		}
	}
	if seen != 11 {
		t.Errorf("%d rows", seen)
	}
}

// Source: check values U-028, U-029, U-033 and U-030 (read in an open kernel's
// text on periodic_max: two streams at the maximum want about 120 of 125 µs).
func TestBandwidthLimits(t *testing.T) {
	if !about(HighSpeedEndpoint, 196.608, 3) || !about(FullSpeedEndpoint, 8.184, 3) || SuperSpeedData != 5000*8/10 {
		t.Errorf("got %g, %g, %g Mbit/s", HighSpeedEndpoint, FullSpeedEndpoint, SuperSpeedData)
	}
	one := []Stream{{"a", HighSpeedEndpoint}}
	if r := Bandwidth(High, one); !r.OK || !about(r.Share, 0.48, 6) {
		t.Errorf("one stream: got %.3f %v", r.Share, r.OK)
	}
	if r := Bandwidth(High, append(one, one[0])); r.OK || !about(r.Share, 0.96, 6) {
		t.Errorf("U-030: two streams: got %.3f %v, want 0.96 and no", r.Share, r.OK)
	}
	half := []Stream{{"a", HighSpeedEndpoint * 5 / 6}, {"b", HighSpeedEndpoint * 5 / 6}}
	if r := Bandwidth(High, half); !r.OK || !about(r.Share, 0.8, 6) {
		t.Errorf("at the limit of 80 %%: got %.4f %v", r.Share, r.OK)
	}
}

// Source: check values U-001 to U-010.
func TestCurrent(t *testing.T) {
	cam := func(ma float64) Load { return Load{"camera", ma} }
	for _, c := range []struct {
		name   string
		port   Port
		hub    Hub
		supply float64
		loads  []Load
		ok     bool
	}{
		{"500 of 500 passes", Port20, NoHub, 0, []Load{cam(500)}, true},
		{"501 of 500 fails", Port20, NoHub, 0, []Load{cam(501)}, false},
		{"the same on 3.x", Port3x, NoHub, 0, []Load{cam(900)}, true},
		{"two cameras on a bus-powered hub (U-006)", Port20, BusPowered, 0, []Load{cam(500), cam(500)}, false},
		{"four unit loads (U-007)", Port20, BusPowered, 0, []Load{cam(100), cam(100), cam(100), cam(100)}, true},
		{"unit load of 3.x (U-003, U-006)", Port3x, BusPowered, 0, []Load{cam(150)}, true},
		{"more than a unit load of 3.x", Port3x, BusPowered, 0, []Load{cam(151)}, false},
		{"self-powered, supply enough", Port20, SelfPower, 1000, []Load{cam(500), cam(500)}, true},
		{"self-powered, supply short by 1 mA", Port20, SelfPower, 999, []Load{cam(500), cam(500)}, false},
		{"charging port (U-010)", PortCharging, NoHub, 0, []Load{cam(1500)}, true},
	} {
		lines, err := Current(c.port, c.hub, c.supply, c.loads)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		ok := true
		for _, l := range lines {
			ok = ok && l.OK
		}
		if ok != c.ok {
			t.Errorf("%s: got %v: %+v", c.name, ok, lines)
		}
	}
	if _, err := Current(Port20, BusPowered, 0, make([]Load, 5)); err == nil {
		t.Error("five devices on a bus-powered hub: want an error")
	}
	if _, err := Current(Port20, NoHub, 0, nil); err == nil {
		t.Error("no device: want an error")
	}
}

// Source: check values U-008, U-021, U-023 to U-026.
func TestTiers(t *testing.T) {
	self := func(n int) []Hub {
		out := make([]Hub, n)
		for i := range out {
			out[i] = SelfPower
		}
		return out
	}
	for _, c := range []struct {
		name string
		tree Tree
		want measure.Verdict
	}{
		{"five hubs, seven tiers", Tree{Hubs: self(5), CablesM: []float64{5, 5, 5, 5, 5, 5}, Speed: FullHigh}, measure.Pass},
		{"six hubs", Tree{Hubs: self(6), Speed: FullHigh}, measure.Fail},
		{"5.0 m of 5", Tree{CablesM: []float64{5}, Speed: FullHigh}, measure.Pass},
		{"5.1 m of 5", Tree{CablesM: []float64{5.1}, Speed: FullHigh}, measure.Fail},
		{"3.1 m of low speed", Tree{CablesM: []float64{3.1}, Speed: Low}, measure.Fail},
		{"3 m of 5 Gbit/s is practice only", Tree{CablesM: []float64{3}, Speed: Gen5}, measure.Tight},
		{"two bus-powered in line", Tree{Hubs: []Hub{BusPowered, BusPowered}, Speed: FullHigh}, measure.Fail},
		{"bus-powered behind self-powered", Tree{Hubs: []Hub{SelfPower, BusPowered}, Speed: FullHigh}, measure.Pass},
		{"passive extension", Tree{Extension: true, Speed: FullHigh}, measure.Fail},
	} {
		if got, why := c.tree.Check(); got != c.want {
			t.Errorf("%s: got %s %v, want %s", c.name, got, why, c.want)
		}
	}
	if got := (Tree{Hubs: self(5)}).Tiers(); got != MostTiers {
		t.Errorf("U-021: got %d tiers", got)
	}
	if got := LongestChain(5); got != 30 {
		t.Errorf("U-024: got %g m", got)
	}
	if got := CableByDelay(26, 5.2); !about(got, 5, 6) {
		t.Errorf("U-023: got %g m", got)
	}
}
