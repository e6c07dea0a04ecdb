package timing

import "math"

// FrameMS is the time of one frame in ms (check value H-043). A scaler that
// stores frames adds one to three of these (common practice, no source).
func FrameMS(rateHz float64) float64 { return 1000 / rateHz }

// SlipSeconds is the time after which two rates in Hz are one frame apart
// (O-011); +Inf if they are the same.
func SlipSeconds(a, b float64) float64 { return 1 / math.Abs(a-b) }

// FlickerHz is the beat between a camera's rate and a light that blinks at
// twice the mains frequency, to the nearest multiple of the camera's rate
// (O-012); 0 if the multiples meet.
func FlickerHz(cameraHz, mainsHz float64) float64 {
	light := 2 * mainsHz
	return math.Abs(light - math.Round(light/cameraHz)*cameraHz)
}
