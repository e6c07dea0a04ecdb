package ether

import "fmt"

// Class is one power class: what the supply sets aside and what the device may
// take, W, over two or four pairs.
type Class struct {
	Number           int
	SupplyW, DeviceW float64
	Pairs            int
}

// Classes lists the classes 1 to 8 (two public tables of IEEE 802.3bt, read;
// class 0 is treated as 3). For class 8, 90 W out and 71.3 W in are taken
// although 99 and 100 W are in print too (check value N-019).
func Classes() []Class {
	return []Class{
		{1, 4, 3.84, 2}, {2, 7, 6.49, 2}, {3, 15.4, 12.95, 2}, {4, 30, 25.5, 2},
		{5, 45, 40, 4}, {6, 60, 51, 4}, {7, 75, 62, 4}, {8, 90, 71.3, 4},
	}
}

// ClassByNumber returns a class; 0 is class 3.
func ClassByNumber(n int) (Class, error) {
	if n == 0 {
		n = 3
	}
	if n < 1 || n > 8 {
		return Class{}, fmt.Errorf("class %d does not exist; classes run from 0 to 8", n)
	}
	return Classes()[n-1], nil
}

// ClassForDevice returns the lowest class whose device power covers W.
func ClassForDevice(w float64) (Class, error) {
	for _, c := range Classes() {
		if w <= c.DeviceW+1e-9 {
			return c, nil
		}
	}
	return Class{}, fmt.Errorf("%g W is more than any class gives a device (71.3 W)", w)
}

// Share is the part of the supplied power that reaches the device, %.
func (c Class) Share() float64 { return c.DeviceW / c.SupplyW * 100 }

// DeviceAfterLoss is what is left of a supply after the cable: current in A of
// each pair set, loop resistance in ohm of each (20 for category 3, 12.5 for
// category 5 at 100 m), one or two pair sets (N-020 to N-023).
func DeviceAfterLoss(supplyW, amps, loopOhm float64, pairSets int) float64 {
	return supplyW - float64(pairSets)*amps*amps*loopOhm
}
