package sums

import (
	"fmt"
	"math"
	"net/netip"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/ether"
)

func throughputSum() measure.Sum {
	return define(measure.Sum{
		Name:    "throughput",
		Summary: "payload rate of a link and the time of a transfer",
		Example: "faultbook calc throughput --link 100Mbit/s --size 1GB --within 2min",
		Inputs: []measure.Input{
			required(figure("link", "Mbit/s", 0.001, 1e6, "rate of the slowest link", "")),
			figure("size", "MB", 1e-6, 1e12, "amount to transfer", ""),
			word("payload", ether.Payloads(), "tcp (time stamps, the usual one), tcp-plain or udp", "tcp"),
			yesNoInput("vlan", "frames carry a VLAN tag"),
			figure("within", "s", 0.001, 1e9, "time in which it has to be done", ""),
		},
		Facts: []measure.FactName{yesFact("transfer-in-time", "the transfer is done within the given time")},
	}, workThroughput)
}

func workThroughput(g *measure.Given, r *result) error {
	share := ether.Efficiency(ether.Payload(g.Text("payload")), g.Text("vlan") == "yes")
	rate := g.Figure("link") * share // Mbit/s
	r.out("payload_rate", rate, "Mbit/s", 1)
	r.out("payload_rate_bytes", rate/8, "MB/s", 2)
	r.out("payload_share", share*100, "%", 2)
	r.out("frames_64_bytes", math.Floor(ether.FramesPerSecond(g.Figure("link")*1e6, 64)), "1/s", 0)
	r.out("frames_1518_bytes", math.Floor(ether.FramesPerSecond(g.Figure("link")*1e6, 1518)), "1/s", 0)
	r.Formula = "payload share = payload bytes / (1500 + 38, with a VLAN tag + 4); time = size × 8 / (link × share)"
	r.src(map[string]string{"tcp": "N-012", "tcp-plain": "N-013", "udp": "N-015"}[g.Text("payload")], "computed; read: a public table of payload rates")
	r.src("N-016", measure.Computed)
	r.judge(measure.Unknown, "The link carries %s of payload; no size was given.", measure.Show(rate, "Mbit/s", 1))
	if !g.Has("size") {
		return nil
	}
	seconds := g.Figure("size") * 8 / rate
	r.out("transfer_time", seconds, "s", 1)
	r.judge(measure.Unknown, "The transfer takes %s at best; no time limit was given.", duration(seconds))
	if g.Has("within") {
		ok := measure.Within(seconds, g.Figure("within"))
		r.part("transfer", seconds, g.Figure("within"), "s", ok)
		r.fact("transfer-in-time", ok)
		verb := "within"
		if !ok {
			verb = "which is more than"
		}
		r.judge(passOrFail(ok), "The transfer takes %s at best, %s the %s given.", duration(seconds), verb, duration(g.Figure("within")))
	}
	return nil
}

// duration writes seconds as "4 min 20 s".
func duration(s float64) string {
	switch {
	case s < 60:
		return measure.Show(s, "s", 1)
	case s < 3600:
		return fmt.Sprintf("%d min %s", int(s/60), measure.Show(s-60*float64(int(s/60)), "s", 0))
	}
	return fmt.Sprintf("%d h %d min", int(s/3600), int(s/60)%60)
}

func igmpSum() measure.Sum {
	return define(measure.Sum{
		Name:    "igmp",
		Summary: "time after which a switch drops a multicast stream that nobody renews",
		Example: `faultbook calc igmp --died-after "4min 20s"`,
		Inputs: []measure.Input{
			figure("query", "s", 1, 100000, "query interval", "125 s"),
			count("robustness", 1, 7, "robustness variable", "2"),
			figure("response", "s", 0.1, 10000, "query response interval", "10 s"),
			figure("died-after", "s", 0.1, 1e6, "time from start to loss as seen in the room", ""),
		},
		Facts: []measure.FactName{yesFact("igmp-age-matches", "the stream dies when a member ages out: snooping without a querier")},
	}, workIGMP)
}

func workIGMP(g *measure.Given, r *result) error {
	query, response := g.Figure("query"), g.Figure("response")
	age := ether.MemberAge(g.Count("robustness"), query, response)
	r.out("member_age", age, "s", 1)
	r.Formula = "age = robustness × query interval + response interval"
	r.src("N-036", "read: two operators' guides; computed")
	if !g.Has("died-after") {
		r.judge(measure.Unknown, "A member that is not renewed is dropped after %s; no loss was given to compare.", duration(age))
		return nil
	}
	// A report comes at any time within the response interval, and people time
	// a loss by the clock on the wall: either side of the age by that much.
	died := g.Figure("died-after")
	matches := measure.Within(died, age+2*response) && measure.Within(age-2*response, died)
	r.fact("igmp-age-matches", matches)
	if matches {
		r.judge(measure.Fail, "The stream dies after %s, when a member ages out (%s): snooping without a querier.", duration(died), duration(age))
	} else {
		r.judge(measure.Pass, "The stream dies after %s, which is not when a member ages out (%s).", duration(died), duration(age))
	}
	r.note("taken as a match within twice the response interval (%s)", measure.Practice)
	return nil
}

func multicastSum() measure.Sum {
	return define(measure.Sum{
		Name:    "multicast",
		Summary: "Ethernet address of multicast groups, and which of them collide",
		Example: "faultbook calc multicast --group 224.1.1.1 --group 239.129.1.1",
		Inputs: []measure.Input{
			required(many(text("group", "multicast group: 239.1.2.3; once for each", ""))),
		},
		Facts: []measure.FactName{yesFact("multicast-collides", "two groups share one Ethernet address")},
	}, workMulticast)
}

func workMulticast(g *measure.Given, r *result) error {
	first := map[string]netip.Addr{}
	collision := ""
	for _, t := range g.Texts("group") {
		group, err := netip.ParseAddr(t)
		if err != nil {
			return measure.BadInput("group", "%q is not an address such as 239.1.2.3", t)
		}
		mac, err := ether.GroupMAC(group)
		if err != nil {
			return measure.BadInput("group", "%w", err)
		}
		r.say(group.String(), "%s", mac)
		if other, taken := first[mac]; taken && other != group && collision == "" {
			collision = fmt.Sprintf("%s and %s share %s", other, group, mac)
		} else if !taken {
			first[mac] = group
		}
	}
	r.Formula = "address = 01:00:5E and the low 23 bits of the group"
	r.src("N-037", "from memory (RFC 1112 §6.4); computed")
	r.fact("multicast-collides", collision != "")
	if collision != "" {
		r.judge(measure.Fail, "Two groups cannot be told apart on the wire: %s.", collision)
		return nil
	}
	r.judge(measure.Pass, "Every group has an Ethernet address of its own.")
	return nil
}
