package sums

import "faultbook/diagnose/measure"

// rounding is what every result says about its figures.
const rounding = "shown figures are rounded to the places shown; verdicts compare unrounded figures, and a value at its limit passes"

// All returns every sum in the order of measure.Names, a fresh list each time.
func All() []measure.Sum {
	return []measure.Sum{
		linkSum(), timingSum(), frameRateSum(), dockSum(), hdcpSum(), cecSum(), edidReadSum(),
		usbPowerSum(), usbBandwidthSum(), usbTiersSum(),
		poeSum(), subnetSum(), throughputSum(), igmpSum(), multicastSum(),
		audioLevelSum(), audioMixSum(), audioDistanceSum(), lipSyncSum(), speakerLineSum(),
		serialSum(), paritySum(),
		voltageDropSum(), heatSum(), rackSum(),
		pictureSum(), luminanceSum(), legibilitySum(),
	}
}

// Find returns a sum by its name.
func Find(name string) (measure.Sum, bool) {
	for _, s := range All() {
		if s.Name == name {
			return s, true
		}
	}
	return measure.Sum{}, false
}

// define joins a description with the function that works it out.
func define(spec measure.Sum, work func(g *measure.Given, r *result) error) measure.Sum {
	spec.Run = func(v measure.Values) (measure.Result, error) {
		g, err := measure.Read(spec.Inputs, v)
		if err != nil {
			return measure.Result{}, err
		}
		r := &result{Result: measure.Result{Name: spec.Name, Inputs: g.Quantities(), Verdict: measure.Unknown, Rounding: rounding}}
		if err := work(g, r); err != nil {
			return measure.Result{}, err
		}
		return r.Result, nil
	}
	return spec
}
