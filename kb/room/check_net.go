package room

import (
	"net/netip"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/ether"
)

// network judges the address plan, who must reach whom, network power and the
// length of runs.
func (c *checker) network() {
	c.addresses()
	c.reach()
	for i := range c.s.Devices {
		c.poe(&c.s.Devices[i])
	}
	for i := range c.s.Cables {
		k := &c.s.Cables[i]
		p := c.s.port(k.From)
		if p == nil || p.Carries != "network" {
			continue
		}
		if m, ok := known(k.Length); ok && !measure.Within(m, channelMetres) {
			c.say(Error, "network-long", aboutCable(k), compared{m, channelMetres, "m"}, src("from memory (ISO/IEC 11801, TIA-568)", "N-005"),
				"%s is %g m long, and a network channel is %d m at most", k.name(), m, int(channelMetres))
		}
	}
}

// channelMetres is the longest channel of twisted pair (N-005).
const channelMetres = 100.0

// addresses judges each address by itself, against the plan and the others.
func (c *checker) addresses() {
	var plan netip.Prefix
	var gateway, first, last netip.Addr
	if n := c.s.Network; n != nil {
		plan, _ = netip.ParsePrefix(n.Subnet)
		gateway, _ = netip.ParseAddr(n.Gateway)
		first, last, _ = n.pool()
		if plan.IsValid() && gateway.IsValid() && !plan.Contains(gateway) {
			c.say(Error, "gateway-outside", about{section: "network"}, none, src("ran: sipcalc", "N-026"), "the gateway %s is outside the room's network %s", gateway, plan)
		}
	}
	owner := map[netip.Addr]*Device{}
	for i := range c.s.Devices {
		d := &c.s.Devices[i]
		host, err := ether.ParseHost(d.Address)
		if err != nil {
			continue
		}
		a := aboutDevice(d.ID)
		if other := owner[host.Host]; other != nil {
			c.say(Error, "address-twice", about{"devices", d.ID, []string{other.ID, d.ID}, nil}, none, src(measure.Practice, "N-033", "N-039"),
				"%s and %s have the same address %s", other.Name(), d.Name(), host.Host)
		}
		owner[host.Host] = d
		if why := host.HostFault(); why != "" {
			c.say(Error, "address-bad", a, none, src("ran: sipcalc", "N-026"), "%s: %s: %s", d.Name(), d.Address, why)
		}
		if host.LinkLocal() {
			c.say(Warning, "address-self-given", a, none, src("read: an open boot loader's parameters of RFC 3927; computed", "N-030"), "%s has %s, which a device gives itself when no server answers", d.Name(), d.Address)
		}
		if plan.IsValid() && (!plan.Contains(host.Host) || plan.Bits() != host.Bits) {
			c.say(Error, "mask-plan", a, none, src("ran: sipcalc", "N-026", "N-027"), "%s has %s, and the room's plan is %s", d.Name(), d.Address, plan)
		}
		if first.IsValid() && !host.Host.Less(first) && !last.Less(host.Host) {
			c.say(Warning, "address-in-pool", a, none, src(measure.Practice, "N-033"), "%s has the fixed address %s, which is among those that are leased (%s)", d.Name(), host.Host, c.s.Network.Pool)
		}
		c.gateway(d, host, gateway)
	}
	if d := owner[gateway]; d != nil && gateway.IsValid() {
		c.say(Error, "address-twice", aboutDevice(d.ID), none, src(measure.Practice, "N-033"), "%s has the gateway's address %s", d.Name(), gateway)
	}
}

func (c *checker) gateway(d *Device, host ether.Subnet, plan netip.Addr) {
	own, err := netip.ParseAddr(d.Gateway)
	if err != nil {
		return
	}
	a := aboutDevice(d.ID)
	if !host.Holds(own) {
		c.say(Error, "gateway-outside", a, none, src("ran: sipcalc", "N-026"), "%s has the gateway %s, which is outside its own network %s", d.Name(), own, host.Prefix())
	}
	if plan.IsValid() && own != plan {
		c.say(Warning, "gateway-plan", a, none, nil, "%s has the gateway %s, and the room's plan is %s", d.Name(), own, plan)
	}
}

// reach judges each device that another drives over the network.
func (c *checker) reach() {
	for i := range c.s.Devices {
		d := &c.s.Devices[i]
		if d.Control == nil || d.Control.By != "network" || d.Control.From == "" {
			continue
		}
		from := c.s.devices[d.Control.From]
		a := about{"devices", d.ID, []string{from.ID, d.ID}, nil}
		if d.VLAN > 0 && from.VLAN > 0 && d.VLAN != from.VLAN {
			c.say(Warning, "vlan-differs", a, none, src("from memory (IEEE 802.1Q)", "N-018"), "%s is in VLAN %d and drives %s in VLAN %d: a router or an exception must let it through", from.Name(), from.VLAN, d.Name(), d.VLAN)
		}
		x, errX := ether.ParseHost(from.Address)
		y, errY := ether.ParseHost(d.Address)
		if errX != nil || errY != nil {
			if from.Address != "dhcp" && d.Address != "dhcp" {
				c.missing("reach-unknown", a, "%s drives %s over the network, and their addresses are not both written", from.Name(), d.Name())
			}
			continue
		}
		gx, _ := netip.ParseAddr(from.Gateway)
		gy, _ := netip.ParseAddr(d.Gateway)
		r := ether.Reaches(ether.End{Subnet: x, Gateway: gx}, ether.End{Subnet: y, Gateway: gy})
		switch r.Verdict {
		case measure.Fail:
			c.say(Error, "reach", a, none, src("from memory (RFC 3927)", "N-034"), "%s (%s) does not reach %s (%s): %s", from.Name(), from.Address, d.Name(), d.Address, r.Why)
		case measure.Unknown:
			c.say(Note, "reach-routed", a, none, nil, "%s (%s) reaches %s (%s) only through a router: %s", from.Name(), from.Address, d.Name(), d.Address, r.Why)
		}
	}
}

// poe judges what a network switch feeds: the class of each port, and the sum
// against its budget.
func (c *checker) poe(d *Device) {
	sum, whole, fed := 0.0, true, []string{}
	for _, p := range d.carries("network", "out") {
		to := c.otherEnd(d, p)
		if to == nil || to.Power == nil || to.Power.From == "mains" || to.Power.From == "adapter" || to.Power.From == "usb" {
			continue
		}
		a := about{"devices", to.ID, []string{d.ID, to.ID}, nil}
		if to.Power.From == "passive-poe" {
			if p.PoE > 0 {
				c.say(Error, "poe-passive", a, none, src("from memory (IEEE 802.3 cl. 33.2.5)", "N-024"), "%s takes passive power and hangs on %s, which gives standard power: neither starts", to.Name(), named(d, p))
			}
			continue
		}
		if to.Power.From != "poe" {
			continue
		}
		class, ok := wantedClass(to.Power)
		if !ok {
			whole = false
			c.missing("poe-class", a, "the class that %s asks for is not written", to.Name())
			continue
		}
		fed = append(fed, to.ID)
		sum += class.SupplyW * float64(to.count())
		if p.PoE > 0 && class.Number > p.PoE {
			gives, _ := ether.ClassByNumber(p.PoE)
			c.say(Error, "poe-class", a, compared{class.DeviceW, gives.DeviceW, "W"}, src("read: two public tables of IEEE 802.3bt", "N-019"),
				"%s asks for class %d (%g W at the device), and %s gives class %d (%g W)", to.Name(), class.Number, class.DeviceW, named(d, p), p.PoE, gives.DeviceW)
		}
	}
	c.poeBudget(d, sum, whole, fed)
}

func (c *checker) poeBudget(d *Device, sum float64, whole bool, fed []string) {
	if len(fed) == 0 {
		return
	}
	budget, ok := known(d.PoEBudget)
	a := about{"devices", d.ID, append([]string{d.ID}, fed...), nil}
	switch {
	case !ok:
		c.missing("poe-budget", a, "the power budget of %s is not written (poe_budget); its devices ask for %.1f W", d.Name(), sum)
	case !measure.Within(sum, budget):
		c.say(Error, "poe-budget", a, compared{sum, budget, "W"}, append(src(measure.Practice, "N-025"), src("read: two public tables of IEEE 802.3bt", "N-019")...),
			"%s has %g W for its ports, and the classes of its devices set aside %.1f W: the last one plugged in stays dark", d.Name(), budget, sum)
	case !whole:
		c.missing("poe-budget", a, "%s sets aside %.1f W of %g W for the devices whose class is written; others are not", d.Name(), sum, budget)
	}
}

// wantedClass is the class that a device asks for, by its number or its watts.
func wantedClass(p *Power) (ether.Class, bool) {
	if p.Class > 0 {
		k, err := ether.ClassByNumber(p.Class)
		return k, err == nil
	}
	if w, ok := known(p.Draws); ok {
		k, err := ether.ClassForDevice(w)
		return k, err == nil
	}
	return ether.Class{}, false
}

// otherEnd is the device at the other end of the first cable on a port.
func (c *checker) otherEnd(d *Device, p *Port) *Device {
	name := d.ID + "/" + p.ID
	for _, k := range c.s.byFrom[name] {
		if x := c.s.ports[k.To]; x != nil {
			return x.device
		}
	}
	for _, k := range c.s.byTo[name] {
		if x := c.s.ports[k.From]; x != nil {
			return x.device
		}
	}
	return nil
}
