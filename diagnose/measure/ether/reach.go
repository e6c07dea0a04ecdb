package ether

import (
	"fmt"
	"net/netip"

	"faultbook/diagnose/measure"
)

// End is one of two hosts, with its gateway if it has one.
type End struct {
	Subnet  Subnet
	Gateway netip.Addr // the zero Addr if none
}

// Reach is how two hosts stand to each other.
type Reach struct {
	Verdict    measure.Verdict
	Why        string
	SameSubnet bool // each sees the other as its neighbour
	Direct     bool // the packets go without a router
}

// Reaches says whether two hosts can talk, from addresses, masks and gateways
// alone. Pass: as neighbours. Unknown: by way of routers that are not known
// here. Fail: not at all, or one way only.
func Reaches(a, b End) Reach {
	for _, s := range []Subnet{a.Subnet, b.Subnet} {
		if why := s.HostFault(); why != "" {
			return Reach{Verdict: measure.Fail, Why: why}
		}
	}
	if a.Subnet.Host == b.Subnet.Host {
		return Reach{Verdict: measure.Fail, Why: fmt.Sprintf("both have the address %s; they work by turns at best", a.Subnet.Host)}
	}
	aSees, bSees := a.Subnet.Holds(b.Subnet.Host), b.Subnet.Holds(a.Subnet.Host)
	switch {
	case aSees && bSees:
		return Reach{measure.Pass, "each sees the other as a neighbour", true, true}
	case aSees != bSees:
		return oneSided(a, b, aSees)
	}
	return byGateway(a, b)
}

// oneSided is the case of different masks: one sends straight, the other by
// its gateway.
func oneSided(a, b End, aSees bool) Reach {
	near, far := a, b
	if !aSees {
		near, far = b, a
	}
	why := fmt.Sprintf("%s (/%d) takes %s for a neighbour, but not the other way round: the masks differ",
		near.Subnet.Host, near.Subnet.Bits, far.Subnet.Host)
	return Reach{Verdict: measure.Fail, Why: why}
}

func byGateway(a, b End) Reach {
	if a.Subnet.LinkLocal() != b.Subnet.LinkLocal() {
		self := a
		if b.Subnet.LinkLocal() {
			self = b
		}
		return Reach{Verdict: measure.Fail, Why: fmt.Sprintf("%s gave itself its address (no DHCP answer) and the other is in another subnet", self.Subnet.Host)}
	}
	for _, e := range []End{a, b} {
		switch {
		case !e.Gateway.IsValid():
			return Reach{Verdict: measure.Fail, Why: fmt.Sprintf("they are in different subnets and %s has no gateway", e.Subnet.Host)}
		case !e.Subnet.Holds(e.Gateway):
			return Reach{Verdict: measure.Fail, Why: fmt.Sprintf("the gateway %s is outside the subnet %s of its host", e.Gateway, e.Subnet.Prefix())}
		}
	}
	return Reach{Verdict: measure.Unknown, Why: "they are in different subnets, each with a gateway: it works if the routers between allow it"}
}
