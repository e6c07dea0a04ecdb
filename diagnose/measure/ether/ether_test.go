package ether

import (
	"math"
	"net/netip"
	"os"
	"strconv"
	"strings"
	"testing"

	"faultbook/diagnose/measure"
)

func about(got, printed float64, places int) bool {
	return math.Abs(got-printed) <= 0.5000001*math.Pow(10, -float64(places))
}

// Source: check values section 5, table of classes.
func TestPoETable(t *testing.T) {
	data, err := os.ReadFile("testdata/poe.tsv")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for line := range strings.Lines(string(data)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		seen++
		col := strings.Split(strings.TrimSpace(line), "\t")
		var want []float64
		for _, text := range []string{col[0], col[1], col[2], strings.Fields(col[3])[0], col[4]} {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			want = append(want, v)
		}
		c, err := ClassByNumber(int(want[0]))
		if err != nil || c.SupplyW != want[1] || c.DeviceW != want[2] || c.Pairs != int(want[3]) || !about(c.Share(), want[4], 1) {
			t.Errorf("class %s: got %+v %.2f %%, want %v", col[0], c, c.Share(), want)
		}
		if back, err := ClassForDevice(c.DeviceW); err != nil || back.Number != c.Number {
			t.Errorf("class %s: %g W gives class %d", col[0], c.DeviceW, back.Number)
		}
	}
	if seen != 8 {
		t.Errorf("%d rows", seen)
	}
	if c, err := ClassByNumber(0); err != nil || c.Number != 3 {
		t.Errorf("class 0: got %+v, %v", c, err)
	}
	if _, err := ClassForDevice(71.31); err == nil {
		t.Error("71.31 W: want an error")
	}
}

// Source: check values N-020 to N-023, computed.
func TestCableLoss(t *testing.T) {
	for _, c := range []struct {
		id                    string
		supply, amps, loop, w float64
		sets                  int
		places                int
	}{
		{"N-020", 15.4, 0.35, 20, 12.95, 1, 2}, {"N-021", 30, 0.6, 12.5, 25.50, 1, 2},
		{"N-022", 60, 0.6, 12.5, 51.00, 2, 2}, {"N-023", 90, 0.865, 12.5, 71.28, 2, 1},
	} {
		if got := DeviceAfterLoss(c.supply, c.amps, c.loop, c.sets); !about(got, c.w, c.places) {
			t.Errorf("%s: got %.3f W, want %.2f", c.id, got, c.w)
		}
	}
}

// Source: check values N-011 to N-017; computed, and read in a public table of payload rates.
func TestPayload(t *testing.T) {
	for _, c := range []struct {
		id      string
		payload Payload
		vlan    bool
		percent float64
	}{{"N-012", TCP, false, 94.15}, {"N-013", TCPPlain, false, 94.93}, {"N-014", TCP, true, 93.90}, {"N-015", UDP, false, 95.71}} {
		if got := Efficiency(c.payload, c.vlan) * 100; !about(got, c.percent, 2) {
			t.Errorf("%s: got %.3f %%, want %.2f", c.id, got, c.percent)
		}
	}
	if got := 100 * Efficiency(TCP, false) / 8; !about(got, 11.77, 2) {
		t.Errorf("N-017: got %.3f MB/s", got)
	}
	if got := 1e9 * 8 / (100e6 * Efficiency(TCP, false)); !about(got, 85, 0) {
		t.Errorf("N-017: 1 GB takes %.2f s, want 85", got)
	}
	for _, c := range []struct {
		rate  float64
		bytes int
		want  float64
	}{{100e6, 64, 148809}, {1e9, 64, 1488095}, {100e6, 1518, 8127}, {1e9, 1518, 81274}} {
		if got := math.Floor(FramesPerSecond(c.rate, c.bytes)); got != c.want {
			t.Errorf("N-016: %d bytes at %g: got %.0f, want %.0f", c.bytes, c.rate, got, c.want)
		}
	}
}

// Source: check values N-036 (two operators' guides, computed) and N-037 (from memory, RFC 1112 §6.4; computed).
func TestMulticast(t *testing.T) {
	if got := MemberAge(2, 125, 10); got != 260 {
		t.Errorf("N-036: got %g s", got)
	}
	a, errA := GroupMAC(netip.MustParseAddr("224.1.1.1"))
	b, errB := GroupMAC(netip.MustParseAddr("239.129.1.1"))
	if a != b || a != "01:00:5E:01:01:01" || errA != nil || errB != nil {
		t.Errorf("N-037: got %s and %s", a, b)
	}
	if c, _ := GroupMAC(netip.MustParseAddr("224.0.0.251")); c != "01:00:5E:00:00:FB" {
		t.Errorf("N-035: got %s", c)
	}
	if _, err := GroupMAC(netip.MustParseAddr("192.168.1.1")); err == nil {
		t.Error("a host is no group")
	}
}

// Source: check values N-026 to N-030 (ran sipcalc; RFC 3021 and 3927 from memory).
func TestSubnets(t *testing.T) {
	for _, c := range []struct{ id, host, network, mask, broadcast, first, last string }{
		{"N-026", "192.168.10.37/26", "192.168.10.0", "255.255.255.192", "192.168.10.63", "192.168.10.1", "192.168.10.62"},
		{"N-026 mask", "192.168.10.37 255.255.255.192", "192.168.10.0", "255.255.255.192", "192.168.10.63", "192.168.10.1", "192.168.10.62"},
		{"N-027", "172.16.5.200/22", "172.16.4.0", "255.255.252.0", "172.16.7.255", "172.16.4.1", "172.16.7.254"},
		{"N-028", "10.20.30.40/31", "10.20.30.40", "255.255.255.254", "10.20.30.41", "10.20.30.40", "10.20.30.41"},
	} {
		s, err := ParseHost(c.host)
		if err != nil {
			t.Errorf("%s: %v", c.id, err)
			continue
		}
		got := []string{s.Network.String(), s.Mask.String(), s.Broadcast.String(), s.First.String(), s.Last.String()}
		want := []string{c.network, c.mask, c.broadcast, c.first, c.last}
		if strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("%s: got %v, want %v", c.id, got, want)
		}
	}
	if s, _ := ParseHost("172.16.5.200/22"); s.Addresses != 1024 || !s.Private() {
		t.Errorf("N-027: %d addresses, private %v", s.Addresses, s.Private())
	}
	if s, _ := ParseHost("169.254.7.7/16"); !s.LinkLocal() || LinkLocalUsable() != 65024 {
		t.Errorf("N-030: link-local %v, %d usable", s.LinkLocal(), LinkLocalUsable())
	}
	for _, text := range []string{"192.168.1.5", "192.168.1.5/33", "192.168.1.5/-1", "300.1.1.1/24", "fe80::1/64", "1.2.3.4/255.0.255.0", "", "1.2.3.4/24/24", "192.168.1.5/+8"} {
		if s, err := ParseHost(text); err == nil {
			t.Errorf("%q: got %+v, want an error", text, s)
		}
	}
}

func TestReaches(t *testing.T) {
	for _, c := range []struct {
		name, a, gwA, b, gwB string
		want                 measure.Verdict
		same                 bool
		why                  string
	}{
		{"neighbours", "192.168.10.37/26", "", "192.168.10.62/26", "", measure.Pass, true, "neighbour"},
		{"last of the subnet is broadcast", "192.168.10.37/26", "", "192.168.10.63/26", "", measure.Fail, false, "broadcast"},
		{"next subnet, no gateway", "192.168.10.37/26", "", "192.168.10.65/26", "192.168.10.126", measure.Fail, false, "has no gateway"},
		{"both with gateways", "192.168.10.37/26", "192.168.10.1", "192.168.10.70/26", "192.168.10.65", measure.Unknown, false, "routers"},
		{"gateway outside", "192.168.10.37/26", "192.168.10.65", "192.168.10.70/26", "192.168.10.65", measure.Fail, false, "outside"},
		{"masks differ", "192.168.10.37/24", "", "192.168.10.70/26", "192.168.10.65", measure.Fail, false, "masks differ"},
		{"same address", "192.168.10.37/24", "", "192.168.10.37/24", "", measure.Fail, false, "by turns"},
		{"both link-local (N-034)", "169.254.3.4/16", "", "169.254.9.9/16", "", measure.Pass, true, "neighbour"},
		{"one link-local (N-034)", "169.254.3.4/16", "", "192.168.10.5/24", "192.168.10.1", measure.Fail, false, "no DHCP answer"},
		{"network address", "192.168.10.0/24", "", "192.168.10.5/24", "", measure.Fail, false, "network itself"},
	} {
		end := func(host, gw string) End {
			s, err := ParseHost(host)
			if err != nil {
				t.Fatal(err)
			}
			e := End{Subnet: s}
			if gw != "" {
				e.Gateway = netip.MustParseAddr(gw)
			}
			return e
		}
		a, b := end(c.a, c.gwA), end(c.b, c.gwB)
		for i, got := range []Reach{Reaches(a, b), Reaches(b, a)} {
			if got.Verdict != c.want || got.SameSubnet != c.same || !strings.Contains(got.Why, c.why) {
				t.Errorf("%s (way %d): got %+v, want %s %v %q", c.name, i, got, c.want, c.same, c.why)
			}
		}
	}
}
