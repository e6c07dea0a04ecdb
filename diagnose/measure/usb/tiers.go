package usb

import (
	"fmt"

	"faultbook/diagnose/measure"
)

// Limits of the tree (check values U-021, U-022, U-024).
const (
	MostTiers   = 7
	MostHubs    = 5
	MostDevices = 127
)

// Speed is that of a cable's link.
type Speed string

// Speeds.
const (
	Low      Speed = "low"
	FullHigh Speed = "high"
	Gen5     Speed = "5g"
	Gen10    Speed = "10g"
	Gen40    Speed = "40g"
)

// Speeds lists the speeds.
func Speeds() []string {
	return []string{string(Low), string(FullHigh), string(Gen5), string(Gen10), string(Gen40)}
}

// CableLimit is the longest passive cable in m. From the standard for low and
// full or high speed (U-023); by practice for the others, which the standard
// sets no figure for (U-025).
func (s Speed) CableLimit() (metres float64, practice bool) {
	switch s {
	case Low:
		return 3, false
	case Gen5:
		return 2, true // 2 to 3 m are in print
	case Gen10:
		return 1, true
	case Gen40:
		return 0.8, true
	}
	return 5, false
}

// CableByDelay is the length in m that a propagation delay allows at a delay
// per metre, both in ns (U-023: 26 ns at 5.2 ns/m).
func CableByDelay(delayNS, perMetreNS float64) float64 { return delayNS / perMetreNS }

// LongestChain is the length in m of a chain with all hubs: one cable more than
// hubs (U-024).
func LongestChain(cableMetres float64) float64 { return (MostHubs + 1) * cableMetres }

// Tree is a chain from host to device: the hubs in line, hidden ones
// included, and each cable's length in m.
type Tree struct {
	Hubs      []Hub
	CablesM   []float64
	Speed     Speed
	Extension bool // a passive extension cable is in the way
}

// Tiers counts host, hubs and device.
func (t Tree) Tiers() int { return len(t.Hubs) + 2 }

// Check judges the tree; each fault is one plain phrase.
func (t Tree) Check() (v measure.Verdict, faults []string) {
	v = measure.Pass
	add := func(worse measure.Verdict, format string, args ...any) {
		v = measure.Worse(v, worse)
		faults = append(faults, fmt.Sprintf(format, args...))
	}
	if len(t.Hubs) > MostHubs {
		add(measure.Fail, "%d hubs in a line are more than %d", len(t.Hubs), MostHubs)
	}
	for i := 1; i < len(t.Hubs); i++ {
		if t.Hubs[i] == BusPowered && t.Hubs[i-1] == BusPowered {
			add(measure.Fail, "hubs %d and %d are both bus-powered, which is not allowed", i, i+1)
		}
	}
	if t.Extension {
		add(measure.Fail, "a passive extension cable is not permitted")
	}
	limit, practice := t.Speed.CableLimit()
	for i, m := range t.CablesM {
		if measure.Within(m, limit) {
			continue
		}
		verdict, rule := measure.Fail, "allowed"
		if practice {
			verdict, rule = measure.Tight, "that usually work"
		}
		add(verdict, "cable %d of %s is longer than the %s %s", i+1, measure.Show(m, "m", 2), measure.Show(limit, "m", 2), rule)
	}
	return v, faults
}
