package sums

import (
	"fmt"
	"net/netip"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/ether"
)

func poeSum() measure.Sum {
	return define(measure.Sum{
		Name:    "poe",
		Summary: "does a switch's PoE budget feed its devices, and each port its class",
		Example: `faultbook calc poe --budget 120W --port-class 4 --device "camera=class 4" --device "panel=12.5W"`,
		Inputs: []measure.Input{
			figure("budget", "W", 0.1, 100000, "power that the switch or injector has for all ports", ""),
			count("port-class", 0, 8, "highest class of a port", ""),
			required(many(text("device", "a device by class or by its own watts: camera=class 4, panel=12.5W; once for each", ""))),
		},
		Facts: []measure.FactName{yesFact("poe-budget-enough", "budget and port class carry the devices")},
	}, workPoE)
}

func workPoE(g *measure.Given, r *result) error {
	ok, need := true, 0.0
	var faults []string
	port, err := ether.ClassByNumber(g.Count("port-class"))
	if err != nil {
		return measure.BadInput("port-class", "%w", err)
	}
	for i, t := range g.Texts("device") {
		label, rest := measure.Item(t, "device", i+1)
		class, watts, err := readPoEDevice(rest)
		if err != nil {
			return measure.BadInput("device", "%w", err)
		}
		need += class.SupplyW
		label = fmt.Sprintf("%s (class %d)", label, class.Number)
		r.say("device: "+label, "%s at the device, %s at the supply, %d pairs", measure.Show(watts, "W", 2), measure.Show(class.SupplyW, "W", 2), class.Pairs)
		if g.Has("port-class") {
			fits := class.Number <= port.Number
			r.part(label, class.SupplyW, port.SupplyW, "W", fits)
			if !fits {
				ok = false
				faults = append(faults, fmt.Sprintf("%s asks more than a class %d port gives", label, port.Number))
			}
		}
	}
	r.Outputs = append([]measure.Quantity{measure.Figure("needed_at_supply", need, "W", 2)}, r.Outputs...)
	if g.Has("budget") {
		fits := measure.Within(need, g.Figure("budget"))
		r.part("budget", need, g.Figure("budget"), "W", fits)
		if !fits {
			ok = false
			faults = append(faults, fmt.Sprintf("%s are set aside and the budget is %s", measure.Show(need, "W", 1), measure.Show(g.Figure("budget"), "W", 1)))
		}
	}
	poeVerdict(r, g, ok, need, faults)
	return nil
}

// readPoEDevice reads "class 4" or "12.5W"; watts are those of the device.
func readPoEDevice(t string) (ether.Class, float64, error) {
	if rest, isClass := strings.CutPrefix(strings.ToLower(t), "class"); isClass {
		n, err := measure.Parse(strings.TrimSpace(rest), "")
		if err != nil || n != float64(int(n)) {
			return ether.Class{}, 0, fmt.Errorf("%q is not a class; write class 4", t)
		}
		c, err := ether.ClassByNumber(int(n))
		return c, c.DeviceW, err
	}
	w, err := measure.Parse(t, "W")
	if err != nil {
		return ether.Class{}, 0, fmt.Errorf("%q is neither a class such as class 4 nor a power such as 12.5W", t)
	}
	if w <= 0 {
		return ether.Class{}, 0, fmt.Errorf("%q: a device takes more than 0 W", t)
	}
	c, err := ether.ClassForDevice(w)
	return c, w, err
}

func poeVerdict(r *result, g *measure.Given, ok bool, need float64, faults []string) {
	switch {
	case !ok:
		r.judge(measure.Fail, "The power is not enough: %s.", strings.Join(faults, "; "))
	case !g.Has("budget"):
		r.judge(measure.Unknown, "The devices need %s at the supply; give the budget to judge it.", measure.Show(need, "W", 1))
	default:
		r.judge(measure.Pass, "The budget is enough: %s of %s.", measure.Show(need, "W", 1), measure.Show(g.Figure("budget"), "W", 1))
	}
	if r.Verdict != measure.Unknown {
		r.fact("poe-budget-enough", ok)
	}
	r.Formula = "sum of the classes' supply power ≤ budget; device class ≤ port class"
	r.src("N-019", "read: two public tables of IEEE 802.3bt, an open kernel's text; class 8 is taken as 90 W out, 71.3 W in")
	r.src("N-020", measure.Computed)
	r.src("N-025", measure.Practice)
	r.note("a switch that measures instead of setting aside by class may feed more; the last device plugged is the one that stays dark")
}

func subnetSum() measure.Sum {
	return define(measure.Sum{
		Name:    "subnet",
		Summary: "network of an address, and whether two hosts can reach each other",
		Example: "faultbook calc subnet --host 192.168.10.37/26 --other 192.168.10.70/26",
		Inputs: []measure.Input{
			required(text("host", "address with mask: 192.168.10.37/26 or 192.168.10.37/255.255.255.192", "")),
			text("gateway", "default gateway of the host", ""),
			text("other", "the other host, with its mask", ""),
			text("other-gateway", "default gateway of the other host", ""),
		},
		Facts: []measure.FactName{
			yesFact("same-subnet", "each host sees the other as a neighbour"),
			yesFact("hosts-reach", "the hosts can talk to each other; not given when it depends on routers"),
			yesFact("address-self-assigned", "the host's address is 169.254: no DHCP answer"),
			{Name: "gateway-check", Values: []string{"wrong"}, Help: "the host's gateway is outside its subnet; right is not proven by a sum"},
			{Name: "mask-check", Values: []string{"wrong"}, Help: "the masks of the two hosts differ so that only one sees the other; right is not proven by a sum"},
		},
	}, workSubnet)
}

func workSubnet(g *measure.Given, r *result) error {
	host, err := readEnd(g, "host", "gateway")
	if err != nil {
		return err
	}
	s := host.Subnet
	r.say("network", "%s", s.Prefix())
	r.say("mask", "%s", s.Mask)
	r.say("broadcast", "%s", s.Broadcast)
	r.say("usable", "%s - %s", s.First, s.Last)
	r.out("addresses", float64(s.Addresses), "", 0)
	r.out("usable_addresses", float64(s.Usable), "", 0)
	r.fact("address-self-assigned", s.LinkLocal())
	if host.Gateway.IsValid() && !s.Holds(host.Gateway) {
		r.factValue("gateway-check", "wrong")
		r.note("the gateway %s is outside %s", host.Gateway, s.Prefix())
	}
	r.Formula = "network = address and mask; two hosts are neighbours if each holds the other in its own network"
	r.src("N-026", "computed; equal to sipcalc as run")
	subnetNotes(r, s)
	if !g.Has("other") {
		if why := s.HostFault(); why != "" {
			r.judge(measure.Fail, "The address cannot be used: %s.", why)
			return nil
		}
		r.judge(measure.Unknown, "%s is in %s; name the other host to have the way judged.", s.Host, s.Prefix())
		return nil
	}
	other, err := readEnd(g, "other", "other-gateway")
	if err != nil {
		return err
	}
	subnetVerdict(r, host, other)
	return nil
}

func readEnd(g *measure.Given, name, gateway string) (ether.End, error) {
	s, err := ether.ParseHost(g.Text(name))
	if err != nil {
		return ether.End{}, measure.BadInput(name, "%w", err)
	}
	end := ether.End{Subnet: s}
	if g.Has(gateway) {
		end.Gateway, err = netip.ParseAddr(g.Text(gateway))
		if err != nil || !end.Gateway.Is4() {
			return end, measure.BadInput(gateway, "%q is not an IPv4 address such as 192.168.10.1", g.Text(gateway))
		}
	}
	return end, nil
}

func subnetNotes(r *result, s ether.Subnet) {
	if s.Bits == 31 {
		r.src("N-028", "ran: sipcalc; from memory (RFC 3021)")
		r.note("a /31 has two addresses, both usable from point to point")
	}
	if s.LinkLocal() {
		r.src("N-030", "read: an open boot loader's parameters of RFC 3927; computed")
		r.note("an address of 169.254 means that no DHCP server answered")
	}
}

func subnetVerdict(r *result, a, b ether.End) {
	reach := ether.Reaches(a, b)
	r.say("other_network", "%s", b.Subnet.Prefix())
	r.say("way", "%s", reach.Why)
	r.fact("same-subnet", reach.SameSubnet)
	if a.Subnet.Holds(b.Subnet.Host) != b.Subnet.Holds(a.Subnet.Host) {
		r.factValue("mask-check", "wrong")
	}
	switch reach.Verdict {
	case measure.Pass:
		r.judge(measure.Pass, "%s and %s can talk: %s.", a.Subnet.Host, b.Subnet.Host, reach.Why)
	case measure.Fail:
		r.judge(measure.Fail, "%s and %s cannot talk: %s.", a.Subnet.Host, b.Subnet.Host, reach.Why)
	default:
		r.judge(measure.Unknown, "%s and %s: %s.", a.Subnet.Host, b.Subnet.Host, reach.Why)
		return
	}
	r.fact("hosts-reach", reach.Verdict == measure.Pass)
}
