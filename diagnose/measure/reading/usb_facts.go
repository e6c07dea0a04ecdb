package reading

import (
	"fmt"
	"strings"
)

// The figures of check values section 4.
const (
	usbHighSpeedMbps = 480
	usbSuperMbps     = 5000
	port2MA          = 500 // U-002, U-009
	port3MA          = 900 // U-004
	busPowered2MA    = 100 // U-006
	busPowered3MA    = 150
	mostTiers        = 7 // U-021
	mostHubs         = 5
)

const (
	srcUSBRead   = "read: USB pages quoting USB 2.0 §4.1.1 and USB-IF (secondary); USB 2.0 and 3.2 not read"
	srcUSBHub    = "read: Linux kernel, drivers/usb/core/hub.c, and hub data sheets"
	srcUSBStream = "computed from the isochronous maximum (read: Linux kernel, sysfs-module documentation)"
)

// called names a device in a sentence.
func (d USBDevice) called() string {
	what := "device"
	switch {
	case d.RootHub:
		what = "root hub"
	case d.Hub:
		what = "hub"
	case d.has("video"):
		what = "camera"
	case d.has("audio"):
		what = "audio device"
	case d.has("hid"):
		what = "input device"
	}
	return fmt.Sprintf("%s %d on bus %d", what, d.Device, d.Bus)
}

// busFed says whether a device takes its power from the port.
func (d USBDevice) busFed() bool { return d.SelfPowered != nil && !*d.SelfPowered }

func usbFacts(r *Reading, u USB) {
	n := 0
	for _, d := range u.Devices {
		if !d.RootHub {
			n++
		}
	}
	r.fact(USBDevices, n, "", "%s beside the root hubs", plural(n, "device"))
	usbSpeeds(r, u)
	usbTiers(r, u)
	usbHubs(r, u)
	usbCurrents(r, u)
}

// superSpeed says whether a device runs on its 3.x lines: by the link where it
// is known, else by the version it reports, which is below 3 on a 2.0 link.
func (d USBDevice) superSpeed() bool {
	if d.SpeedMbps > 0 {
		return d.SpeedMbps >= usbSuperMbps
	}
	return strings.HasPrefix(d.USBVersion, "3")
}

func usbSpeeds(r *Reading, u USB) {
	var slow, camera *USBDevice
	for i := range u.Devices {
		d := &u.Devices[i]
		if d.RootHub || d.Hub || d.SpeedMbps == 0 {
			continue
		}
		plainInput := d.has("hid") && !d.has("video") && !d.has("audio")
		if !plainInput && (slow == nil || d.SpeedMbps < slow.SpeedMbps) {
			slow = d
		}
		if d.has("video") && (camera == nil || d.SpeedMbps < camera.SpeedMbps) {
			camera = d
		}
	}
	if slow != nil {
		r.fact(USBSpeed, slow.SpeedMbps, "Mbit/s", "%s runs at %g Mbit/s", slow.called(), slow.SpeedMbps)
	}
	if camera != nil {
		r.fact(USBCameraSpeed, camera.SpeedMbps, "Mbit/s", "%s runs at %g Mbit/s", camera.called(), camera.SpeedMbps)
		if camera.SpeedMbps <= usbHighSpeedMbps {
			r.remark("U-034", srcUSBStream, "%s runs at %g Mbit/s: 720p30 and more must come compressed; a camera made for 5 Gbit/s has fallen back, look at cable, extension and port",
				camera.called(), camera.SpeedMbps)
		}
		if camera.SpeedMbps < usbHighSpeedMbps {
			r.remark("U-029", "computed; from memory (USB 2.0 §5.6.3)", "%s runs at full speed: 8.184 Mbit/s for its stream at most, not enough for a camera picture", camera.called())
		}
	}
}

func usbTiers(r *Reading, u USB) {
	var deep *USBDevice
	for i := range u.Devices {
		if d := &u.Devices[i]; d.Tier > 0 && (deep == nil || d.Tier > deep.Tier) {
			deep = d
		}
	}
	if deep == nil {
		return
	}
	r.fact(USBTier, deep.Tier, "", "%s stands in tier %d of %d", deep.called(), deep.Tier, mostTiers)
	chain := deep.Hubs
	if deep.Hub && !deep.RootHub {
		chain++
	}
	r.fact(USBHubs, chain, "", "%s one behind the other, %d allowed", plural(chain, "hub"), mostHubs)
	switch {
	case deep.Tier > mostTiers || chain > mostHubs:
		r.remark("U-021", srcUSBRead, "%s stands in tier %d behind %s: beyond the 7 tiers and 5 hubs that USB allows; leave out a hub (those inside displays, docks, switchers and extenders count)",
			deep.called(), deep.Tier, plural(deep.Hubs, "hub"))
	case chain == mostHubs || deep.Tier == mostTiers:
		r.remark("U-021", srcUSBRead, "%s one behind the other: at the limit of 5; a further device with a hub inside will not work", plural(chain, "hub"))
	case chain == mostHubs-1:
		r.remark("U-021", srcUSBRead, "%s one behind the other: one short of the limit of 5 (the hubs inside displays, docks, switchers and extenders count)", plural(chain, "hub"))
	}
}

func usbHubs(r *Reading, u USB) {
	word := ""
	for _, d := range u.Devices {
		if !d.Hub || d.RootHub || d.SelfPowered == nil {
			continue
		}
		if d.busFed() {
			word = "bus"
		} else if word == "" {
			word = "self"
		}
	}
	if word != "" {
		r.fact(USBHubPower, word, "", "%s-powered hubs", word)
	}
	if !u.HasTree || !u.HasDescriptors {
		return
	}
	chained := false
	for _, d := range u.Devices {
		parent, ok := u.find(d.Bus, d.Parent)
		if ok && d.Hub && d.busFed() && parent.Hub && !parent.RootHub && parent.busFed() {
			chained = true
			r.remark("U-008", "read: hub data sheets and one operating-system USB guide", "%s is bus-powered and stands behind the bus-powered %s: not allowed, its devices may drop out", d.called(), parent.called())
		}
	}
	r.fact(USBHubChain, chained, "", "bus-powered hub behind a bus-powered hub: %s", map[bool]string{true: "yes", false: "no"}[chained])
}

func (u USB) find(bus, device int) (USBDevice, bool) {
	for _, d := range u.Devices {
		if d.Bus == bus && d.Device == device && device > 0 {
			return d, true
		}
	}
	return USBDevice{}, false
}

// portCurrent is what the port of a device must supply in mA, and why.
func (u USB) portCurrent(d USBDevice) (int, string) {
	fast := d.superSpeed()
	if parent, ok := u.find(d.Bus, d.Parent); ok && parent.Hub && !parent.RootHub && parent.busFed() {
		if fast {
			return busPowered3MA, "a bus-powered hub on 5 Gbit/s"
		}
		return busPowered2MA, "a bus-powered hub"
	}
	if fast {
		return port3MA, "a USB 3.x link"
	}
	return port2MA, "a USB 2.0 link"
}

func usbCurrents(r *Reading, u USB) {
	var worst *USBDevice
	total, over := 0, 0
	for i := range u.Devices {
		d := &u.Devices[i]
		if d.RootHub || d.DeclaredMA == nil || d.SelfPowered != nil && *d.SelfPowered {
			continue
		}
		total += *d.DeclaredMA
		port, _ := u.portCurrent(*d)
		if worst == nil || *d.DeclaredMA-port > over {
			worst, over = d, *d.DeclaredMA-port
		}
	}
	if worst == nil {
		return
	}
	port, why := u.portCurrent(*worst)
	text := fmt.Sprintf("port declares %d mA, device wants %d mA", port, *worst.DeclaredMA)
	r.fact(USBDeclared, *worst.DeclaredMA, "mA", "%s (%s)", text, worst.called())
	r.fact(USBPort, port, "mA", "%s (%s)", text, why)
	r.fact(USBFits, over <= 0, "", "%s", text)
	r.fact(USBTotal, total, "mA", "bus-powered devices declare %d mA together", total)
	if over <= 0 {
		return
	}
	if port <= busPowered3MA {
		r.remark("U-006", srcUSBHub, "%s wants %d mA, %s gives %d mA a port: plug in the hub's supply or use a port of the computer", worst.called(), *worst.DeclaredMA, why, port)
		return
	}
	r.remark("U-013", "computed; units from memory (USB 2.0 §9.6.3, USB 3.2 §9.6.3)", "%s wants %d mA, %s promises %d mA: it may start and drop out when its load rises; use a self-powered hub or a port that gives more",
		worst.called(), *worst.DeclaredMA, why, port)
}

func usbSummary(r *Reading, u USB) {
	for _, d := range u.Devices {
		parts := []string{}
		if d.ID != "" {
			parts = append(parts, "id "+d.ID)
		}
		if d.SpeedMbps > 0 {
			parts = append(parts, fmt.Sprintf("%g Mbit/s", d.SpeedMbps))
		}
		if d.USBVersion != "" {
			parts = append(parts, "USB "+d.USBVersion)
		}
		if d.Tier > 1 {
			parts = append(parts, fmt.Sprintf("tier %d, port %d of device %d", d.Tier, d.Port, d.Parent))
		}
		if d.DeclaredMA != nil {
			parts = append(parts, fmt.Sprintf("declares %d mA", *d.DeclaredMA))
		}
		if d.SelfPowered != nil {
			parts = append(parts, map[bool]string{true: "self-powered", false: "bus-powered"}[*d.SelfPowered])
		}
		if len(d.Classes) > 0 && !d.RootHub {
			parts = append(parts, strings.Join(d.Classes, " "))
		}
		r.row(d.called(), "%s", strings.Join(parts, ", "))
	}
}
