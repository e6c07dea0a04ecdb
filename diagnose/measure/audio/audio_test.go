package audio

import (
	"math"
	"testing"

	"faultbook/diagnose/measure"
)

// Source: check values; computed.
func TestComputedValues(t *testing.T) {
	for _, c := range []struct {
		id        string
		got, want float64
		places    int
	}{
		{"A-001", DBuToVolts(0), 0.7746, 4},
		{"A-002", DBVToDBu(0), 2.218, 3},
		{"A-003", DBuToVolts(4), 1.2277, 4},
		{"A-004 volts", DBuToVolts(DBVToDBu(-10)), 0.3162, 4},
		{"A-004 dBu", DBVToDBu(-10), -7.782, 3},
		{"A-005", 4 - DBVToDBu(-10), 11.78, 2},
		{"A-006 +18", DBuToVolts(18), 6.153, 3},
		{"A-006 +20", DBuToVolts(20), 7.746, 3},
		{"A-006 +24", DBuToVolts(24), 12.277, 3},
		{"A-007 mV", DBuToVolts(-50) * 1000, 2.449, 3},
		{"A-007 back", VoltsToDBu(0.002449), -50, 2},
		{"A-009 same", Add([]float64{0, 0}, Same), 6.02, 2},
		{"A-009 unrelated", Add([]float64{0, 0}, Unrelated), 3.01, 2},
		{"A-010", PassiveSumLoss(2), -6.02, 2},
		{"A-011, A-012", OneLegLoss(), -6.02, 2},
		{"A-017", SpeedOfSound(20), 343.2, 1},
		{"A-018 per metre", AirDelayMS(1, 20), 2.914, 3},
		{"A-018 10 m", AirDelayMS(10, 20), 29.1, 1},
		{"A-019", DistanceLoss(1, 2), -6.02, 2},
		{"A-020 2x48k16", LPCMMbit(2, 48, 16), 1.536, 3},
		{"A-020 2x48k24, U-035", LPCMMbit(2, 48, 24), 2.304, 3},
		{"A-020 8x48k24", LPCMMbit(8, 48, 24), 9.216, 3},
		{"A-020 8x96k24", LPCMMbit(8, 96, 24), 18.432, 3},
		{"A-020 8x192k24", LPCMMbit(8, 192, 24), 36.864, 3},
		{"A-033 100 W", LoadOhm(100, 100), 100, 6},
		{"A-033 6 W", LoadOhm(100, 6), 1667, 0},
		{"A-034 100 W", LoadOhm(70.7, 100), 50, 0},
		{"A-034 6 W", LoadOhm(70.7, 6), 833, 0},
		{"A-034 half", TapOnOtherLine(6, 100, 70.7), 3, 2},
		{"A-034 dB", 10 * math.Log10(TapOnOtherLine(1, 100, 70.7)), -3.01, 2},
		{"A-036 100 V", -LineLossDB(LoadOhm(100, 100), 2.66), 0.23, 2},
		{"A-036 8 ohm", -LineLossDB(8, 2.66), 2.49, 2},
		{"round trip", DBuToDBV(DBVToDBu(-3.7)), -3.7, 9},
	} {
		if math.Abs(c.got-c.want) > 0.5000001*math.Pow(10, -float64(c.places)) {
			t.Errorf("%s: got %.6f, want %g", c.id, c.got, c.want)
		}
	}
}

// Source: check value A-013: a swapped polarity cancels in the sum.
func TestOppositeCancels(t *testing.T) {
	if got := Add([]float64{-3, -3}, Opposite); !math.IsInf(got, -1) {
		t.Errorf("got %g, want nothing left", got)
	}
	if got := Add([]float64{0, -6.0206}, Opposite); math.Abs(got+6.02) > 0.01 {
		t.Errorf("half taken away: got %g dB, want -6.02", got)
	}
}

// Source: check values A-024 and A-025 (read: ITU-R BT.1359-1). At the limit
// passes, above does not.
func TestLipSync(t *testing.T) {
	for _, c := range []struct {
		offset float64
		want   measure.Verdict
	}{
		{0, measure.Pass}, {45, measure.Pass}, {45.1, measure.Tight}, {90, measure.Tight}, {90.1, measure.Fail},
		{-125, measure.Pass}, {-125.1, measure.Tight}, {-185, measure.Tight}, {-185.1, measure.Fail},
	} {
		if got := LipSync(c.offset); got != c.want {
			t.Errorf("%g ms: got %s, want %s", c.offset, got, c.want)
		}
	}
	if got := Offset(60, 20); got != 40 {
		t.Errorf("picture 60 ms, sound 20 ms: got %g, want sound 40 ms early", got)
	}
}
