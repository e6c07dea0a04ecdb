package link

import "faultbook/diagnose/measure"

// DockReport is how the pictures asked of a dock stand to its lanes. Rates in
// Gbit/s of data. With more than one picture only 63 of 64 slots are usable.
type DockReport struct {
	Capacity float64 // of all lanes
	Usable   float64 // of it, for these pictures
	Need     float64 // of all pictures
	Each     []float64
	OK       bool
}

// USBCLanes is the number of lanes that pictures get on a USB-C socket in
// alternate mode: two if a USB 3 pair is kept, else four (check value H-031).
func USBCLanes(usb3 bool) int {
	if usb3 {
		return 2
	}
	return 4
}

// FitDock adds up pictures (check values H-026 to H-030). No compression.
func FitDock(rate DPRate, lanes int, pictures []Signal) DockReport {
	r := DockReport{Capacity: rate.DataGbit(lanes)}
	r.Usable = r.Capacity
	if len(pictures) > 1 {
		r.Usable *= MSTShare
	}
	for _, s := range pictures {
		r.Each = append(r.Each, s.PixelGbit())
		r.Need += s.PixelGbit()
	}
	r.OK = measure.Within(r.Need, r.Usable)
	return r
}

// EDIDReadMS is the time to read bytes over the two DDC wires at a clock in
// kHz, in ms: nine bits a byte, addressing not counted (H-036, H-037).
func EDIDReadMS(bytes int, clockKHz float64) float64 { return float64(bytes) * 9 / clockKHz }
