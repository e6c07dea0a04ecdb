package audio

import (
	"math"

	"faultbook/diagnose/measure"
)

// SpeedOfSound in air in m/s at a temperature in °C (check value A-017).
func SpeedOfSound(celsius float64) float64 { return 331.3 * math.Sqrt(1+celsius/273.15) }

// AirDelayMS is the time that sound takes over metres of air.
func AirDelayMS(metres, celsius float64) float64 { return metres / SpeedOfSound(celsius) * 1000 }

// DistanceLoss is the change of level in dB from one distance to another in m,
// free field: negative going away.
func DistanceLoss(from, to float64) float64 { return -20 * math.Log10(to/from) }

// Offset is sound against picture in ms, positive when sound is early: the
// delay of the picture's way less that of the sound's way.
func Offset(videoMS, audioMS float64) float64 { return videoMS - audioMS }

// Limits of sound against picture in ms: early, late.
const (
	DetectEarly, DetectLate = 45.0, 125.0 // A-024, read: ITU-R BT.1359-1
	AcceptEarly, AcceptLate = 90.0, 185.0 // A-025, read: ITU-R BT.1359-1
	EBUEarly, EBULate       = 40.0, 60.0  // A-026, read in a secondary table: EBU R37
	ATSCEarly, ATSCLate     = 15.0, 45.0  // A-027, from memory: ATSC IS-191
	RoomLate                = 40.0        // A-028, common practice, no source
)

// LipSync judges an offset: pass while it cannot be seen, tight while the
// average viewer accepts it, fail beyond.
func LipSync(offsetMS float64) measure.Verdict {
	within := func(early, late float64) bool {
		return measure.Within(offsetMS, early) && measure.Within(-offsetMS, late)
	}
	switch {
	case within(DetectEarly, DetectLate):
		return measure.Pass
	case within(AcceptEarly, AcceptLate):
		return measure.Tight
	}
	return measure.Fail
}
