package room

import (
	"fmt"
	"net/netip"
	"regexp"
	"slices"
	"strings"

	"faultbook/diagnose/measure/link"
	"faultbook/diagnose/measure/power"
	"faultbook/diagnose/measure/usb"
	"faultbook/kb"
)

func (v *validator) cables() {
	seen := map[string]bool{}
	for i := range v.s.Cables {
		c := &v.s.Cables[i]
		if !kb.ValidID(c.ID) || seen[c.ID] {
			v.add("cables", c.ID, "bad-id", fmt.Sprintf("cable %q: each cable needs an id of its own, letters, digits and hyphens", c.ID))
		}
		seen[c.ID] = true
		from, to := v.end(c, "from", c.From), v.end(c, "to", c.To)
		if from == nil || to == nil {
			continue
		}
		if from.Carries != to.Carries {
			v.add("cables", c.ID, "mixed-cable", fmt.Sprintf("%s carries %s and %s carries %s: a cable joins ports of one kind", c.From, from.Carries, c.To, to.Carries))
		}
		if c.DisplayEnd != "" && c.DisplayEnd != c.From && c.DisplayEnd != c.To {
			v.add("cables", c.ID, "no-such-port", fmt.Sprintf("display_end %q: write %s or %s", c.DisplayEnd, c.From, c.To), "display_end")
		}
		v.cableClass(c, from.Carries)
	}
}

func (v *validator) cableClass(c *Cable, carries string) {
	if carries == "video" && c.Class != "" && !remoteClass.MatchString(c.Class) {
		if _, err := link.ParsePart("cable=" + c.Class); err != nil {
			v.add("cables", c.ID, "bad-class", err.Error()+"; or cat 6a, fibre", "class")
		}
	}
	if carries == "usb" && c.Class != "" && !slices.Contains(usb.Speeds(), c.Class) {
		v.add("cables", c.ID, "bad-class", fmt.Sprintf("class %q of a USB cable: write one of %s", c.Class, strings.Join(usb.Speeds(), ", ")), "class")
	}
	if c.Gauge != "" {
		if _, err := power.ParseWire(c.Gauge); err != nil {
			v.add("cables", c.ID, "bad-figure", err.Error(), "gauge")
		}
	}
}

// remoteClass is a run between the ends of an extender.
var remoteClass = regexp.MustCompile(`(?i)^(cat ?\d[a-z]?|fibre|fiber)\b`)

func (v *validator) end(c *Cable, key, text string) *Port {
	p := v.s.port(text)
	if p == nil {
		var known []string
		for name := range v.s.ports {
			known = append(known, name)
		}
		slices.Sort(known)
		v.add("cables", c.ID, "no-such-port", fmt.Sprintf("%s %q is no port%s: write device/port as they are listed", key, text, kb.Nearest(text, known)), key)
	}
	return p
}

func (v *validator) presets() {
	for _, p := range v.s.Presets {
		for _, r := range p.Routes {
			for _, id := range append([]string{r.From}, r.To...) {
				v.deviceRef("presets", "", id)
			}
		}
	}
}

func (v *validator) plan() {
	n := v.s.Network
	if n == nil {
		return
	}
	if n.Subnet != "" {
		if _, err := netip.ParsePrefix(n.Subnet); err != nil {
			v.add("network", "", "bad-address", fmt.Sprintf("subnet %q: write it as 192.168.10.0/24", n.Subnet), "subnet")
		}
	}
	if n.Gateway != "" {
		if _, err := netip.ParseAddr(n.Gateway); err != nil {
			v.add("network", "", "bad-address", fmt.Sprintf("gateway %q: write an address as 192.168.10.1", n.Gateway), "gateway")
		}
	}
	if _, _, err := n.pool(); err != nil {
		v.add("network", "", "bad-address", err.Error(), "pool")
	}
}

// pool gives the first and last leased address; the zero Addr where unknown.
func (n *Network) pool() (first, last netip.Addr, err error) {
	if n.Pool == "" {
		return
	}
	a, b, ok := strings.Cut(n.Pool, "-")
	if first, err = netip.ParseAddr(strings.TrimSpace(a)); err == nil && ok {
		last, err = netip.ParseAddr(strings.TrimSpace(b))
	}
	if err != nil || !ok || last.Less(first) {
		err = fmt.Errorf("pool %q: write it as 192.168.10.100-192.168.10.199", n.Pool)
	}
	return first, last, err
}
