package usb

import (
	"fmt"

	"faultbook/diagnose/measure"
)

// Port is the kind of socket that feeds devices.
type Port string

// Ports and what they give one device (check values U-002, U-004, U-005,
// U-010, U-012).
const (
	Port20       Port = "2.0"
	Port3x       Port = "3.x"
	PortC1500    Port = "c-1.5a"
	PortC3000    Port = "c-3a"
	PortCharging Port = "charging"
)

// Ports lists the kinds of sockets.
func Ports() []string {
	return []string{string(Port20), string(Port3x), string(PortC1500), string(PortC3000), string(PortCharging)}
}

// MilliAmps is what a port of a host or of a self-powered hub gives, mA.
func (p Port) MilliAmps() float64 {
	switch p {
	case Port3x:
		return 900
	case PortC1500, PortCharging:
		return 1500
	case PortC3000:
		return 3000
	}
	return 500
}

// UnitLoad is what each port of a bus-powered hub on this port gives, and what
// the hub takes for itself, mA (U-001, U-003, U-006).
func (p Port) UnitLoad() float64 {
	if p == Port20 {
		return 100
	}
	return 150
}

// Hub is what stands between port and devices.
type Hub string

// Hubs.
const (
	NoHub      Hub = "none"
	BusPowered Hub = "bus-powered"
	SelfPower  Hub = "self-powered"
)

// Load is a device with the most it may draw, mA, from its descriptor (U-013).
type Load struct {
	Label string
	MA    float64
}

// Line is one comparison of a current with what feeds it, mA.
type Line struct {
	Label       string
	Need, Limit float64
	OK          bool
}

// maxBusPorts is how many unit loads are left to a bus-powered hub (U-007).
const maxBusPorts = 4

// Current compares devices with their ports and with what feeds them all.
// Without a hub all devices share one port. supplyMA is the hub's own supply, 0
// if unknown: then only the ports are judged. Errors: no device, or more
// devices than a bus-powered hub can have ports.
func Current(port Port, hub Hub, supplyMA float64, loads []Load) ([]Line, error) {
	if len(loads) == 0 {
		return nil, fmt.Errorf("no device given")
	}
	each, shared := port.MilliAmps(), port.MilliAmps()
	sharedLabel := "port in all"
	switch hub {
	case BusPowered:
		if len(loads) > maxBusPorts {
			return nil, fmt.Errorf("a bus-powered hub has at most %d ports, and %d devices are given", maxBusPorts, len(loads))
		}
		each, shared = port.UnitLoad(), port.MilliAmps()-port.UnitLoad()
		sharedLabel = "hub in all"
	case SelfPower:
		shared, sharedLabel = supplyMA, "supply in all"
	}
	var lines []Line
	total := 0.0
	for _, l := range loads {
		total += l.MA
		lines = append(lines, Line{l.Label, l.MA, each, measure.Within(l.MA, each)})
	}
	if shared > 0 {
		lines = append(lines, Line{sharedLabel, total, shared, measure.Within(total, shared)})
	}
	return lines, nil
}
