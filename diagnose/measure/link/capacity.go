package link

import (
	"fmt"
	"strings"

	"faultbook/diagnose/measure"
)

// TMDS limits in MHz of character rate.
const (
	LimitStandardCable = 74.25 // the Standard cable name, from memory (H-038)
	LimitSingleLink    = 165.0 // DVI, HDMI up to 1.2; also for a sink that states none (H-008)
	LimitHDMI14        = 340.0 // HDMI 1.3 and 1.4 (H-009)
	LimitHDMI20        = 600.0 // HDMI 2.0 (H-010)
)

// Capacity is what a part carries. A zero field means not that kind of wire;
// all zero means not known. FRL parts carry TMDS as well.
type Capacity struct {
	TMDSMHz float64 // highest character rate
	FRLGbit float64 // data after 16b/18b coding
	DPGbit  float64 // data after coding, all lanes
	Words   string  // as the part is described: "High Speed", "HDMI 2.0"
}

// Known says whether anything is known about the capacity.
func (c Capacity) Known() bool { return c.TMDSMHz > 0 || c.FRLGbit > 0 || c.DPGbit > 0 }

// FRLRate is one of the fixed-rate link modes.
type FRLRate struct {
	Code      int
	Lanes     int
	LaneGbit  float64
	RawGbit   float64
	DataGbit  float64 // after 16b/18b (coding from memory, HDMI 2.1)
	AfterFEC  float64 // after an assumed error-correction share of 251/255
	CheckedBy string
}

// FRLRates lists the codes 1 to 6 (check values H-013 to H-018).
func FRLRates() []FRLRate {
	var out []FRLRate
	for i, r := range []struct {
		lanes int
		gbit  float64
	}{{3, 3}, {3, 6}, {4, 6}, {4, 8}, {4, 10}, {4, 12}} {
		raw := float64(r.lanes) * r.gbit
		out = append(out, FRLRate{
			Code: i + 1, Lanes: r.lanes, LaneGbit: r.gbit, RawGbit: raw,
			DataGbit: raw * 16 / 18, AfterFEC: raw * 16 / 18 * 251 / 255, CheckedBy: fmt.Sprintf("H-%03d", 13+i),
		})
	}
	return out
}

// DPRate is a DisplayPort lane rate.
type DPRate struct {
	Name     string
	LaneGbit float64 // raw, one lane
	Share    float64 // of it that is data
	Check    string  // check value
}

// DataGbit is what a number of lanes carries after coding, Gbit/s.
func (r DPRate) DataGbit(lanes int) float64 { return float64(lanes) * r.LaneGbit * r.Share }

// DPRates lists the lane rates, slowest first (H-019 to H-025, from memory:
// DisplayPort 1.4 and 2.0). 128b/132b coding, as the check values have it.
func DPRates() []DPRate {
	const old, modern = 8.0 / 10, 128.0 / 132
	return []DPRate{
		{"RBR", 1.62, old, "H-019"}, {"HBR", 2.7, old, "H-020"}, {"HBR2", 5.4, old, "H-021"}, {"HBR3", 8.1, old, "H-022"},
		{"UHBR10", 10, modern, "H-023"}, {"UHBR13.5", 13.5, modern, "H-024"}, {"UHBR20", 20, modern, "H-025"},
	}
}

// FindDPRate returns a lane rate by its name, whatever the case.
func FindDPRate(name string) (DPRate, error) {
	var names []string
	for _, r := range DPRates() {
		if strings.EqualFold(r.Name, strings.TrimSpace(name)) {
			return r, nil
		}
		names = append(names, r.Name)
	}
	return DPRate{}, fmt.Errorf("%q is not a DisplayPort lane rate; use one of %s", name, strings.Join(names, ", "))
}

// MSTShare is the part of a link that streams side by side can use: 63 of 64
// slots (H-029, from memory: DisplayPort MST).
const MSTShare = 63.0 / 64

// Demand is what a signal asks of a capacity, in the unit of its wire.
type Demand struct {
	Need, Limit float64
	Unit        string
	OK          bool
	Plain       bool // judged by plain arithmetic only: a failure is not proven
}

// Ask compares a signal with a capacity. A part that knows FRL takes TMDS
// where that suffices.
func (c Capacity) Ask(s Signal) Demand {
	switch {
	case c.DPGbit > 0:
		return Demand{s.PixelGbit(), c.DPGbit, "Gbit/s", measure.Within(s.PixelGbit(), c.DPGbit), false}
	case c.FRLGbit > 0 && !measure.Within(s.CharacterRate(), c.TMDSMHz):
		return Demand{s.DataGbit(), c.FRLGbit, "Gbit/s", measure.Within(s.DataGbit(), c.FRLGbit), true}
	}
	return Demand{s.CharacterRate(), c.TMDSMHz, "MHz", measure.Within(s.CharacterRate(), c.TMDSMHz), false}
}
