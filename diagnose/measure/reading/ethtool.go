package reading

import (
	"fmt"
	"regexp"
	"strings"
)

// Ethernet is what ethtool says of one network port.
type Ethernet struct {
	Interface string `json:"interface"`
	// LinkUp is nil where the listing does not say.
	LinkUp    *bool    `json:"link_up"`
	SpeedMbps int      `json:"speed_mbps"` // 0 unknown
	Duplex    string   `json:"duplex"`     // "full", "half", "" unknown
	Auto      *bool    `json:"autonegotiation"`
	Port      string   `json:"port"` // "Twisted Pair", "FIBRE"
	Supported []string `json:"supported_modes"`
	Offered   []string `json:"advertised_modes"`
	Partner   []string `json:"partner_modes"`
	// Counters are the port's statistics (ethtool -S), by their own names.
	Counters map[string]uint64 `json:"counters"`
	line     int
}

var (
	settingsLine = regexp.MustCompile(`^Settings for (\S+):`)
	modeText     = regexp.MustCompile(`(\d+)base\S*/(Half|Full)|(\d+)base[A-Za-z0-9]+/(Half|Full)`)
	counterLine  = regexp.MustCompile(`^\s+([A-Za-z][\w .\[\]-]*): (\d+)\s*$`)
)

// readEthtool reads the settings or statistics of one or several ports; the
// facts are those of the first port that has a link, or of the first.
func readEthtool(t *text) *Reading {
	ports := parseEthtool(t)
	if len(ports) == 0 {
		return nil
	}
	main := &ports[0]
	for i := range ports {
		if up := ports[i].LinkUp; up != nil && *up {
			main = &ports[i]
			break
		}
	}
	r := newReading(KindEthtool, main.Interface, ports[0].line)
	r.Decoded = struct {
		Ports []Ethernet `json:"ports"`
	}{ports}
	ethtoolFacts(r, main)
	for i := range ports {
		ethtoolSummary(r, &ports[i])
	}
	return r
}

func parseEthtool(t *text) []Ethernet {
	var ports []Ethernet
	var e *Ethernet
	var list *[]string // the list of modes that the next lines continue
	statistics := false
	open := func(name string, line int) {
		ports = append(ports, Ethernet{Interface: name, Supported: []string{}, Offered: []string{}, Partner: []string{},
			Counters: map[string]uint64{}, line: line})
		e, list = &ports[len(ports)-1], nil
	}
	for i, line := range t.lines {
		if m := settingsLine.FindStringSubmatch(line); m != nil {
			open(m[1], i+1)
			statistics = false
			continue
		}
		if strings.HasPrefix(line, "NIC statistics:") {
			if e == nil {
				open("", i+1)
			}
			statistics = true
			continue
		}
		if e == nil || line == "" || indent(line) == 0 {
			if line != "" {
				e, statistics = nil, false
			}
			continue
		}
		if statistics {
			if m := counterLine.FindStringSubmatch(line); m != nil {
				if v, ok := count(m[2]); ok {
					e.Counters[m[1]] = v
				}
			}
			continue
		}
		list = e.setting(line, list)
	}
	return ports
}

// setting reads one line and returns the list that a further line of modes
// would continue.
func (e *Ethernet) setting(line string, list *[]string) *[]string {
	name, value, ok := strings.Cut(strings.TrimSpace(line), ":")
	value = strings.TrimSpace(value)
	if !ok {
		if list != nil {
			*list = append(*list, modes(line)...)
		}
		return list
	}
	switch name {
	case "Supported link modes":
		list = &e.Supported
	case "Advertised link modes":
		list = &e.Offered
	case "Link partner advertised link modes":
		list = &e.Partner
	case "Speed":
		if strings.HasSuffix(value, "Mb/s") {
			e.SpeedMbps = number(value)
		}
		return nil
	case "Duplex":
		if word := strings.ToLower(value); word == "full" || word == "half" {
			e.Duplex = word
		}
		return nil
	case "Auto-negotiation":
		on := value == "on"
		e.Auto = &on
		return nil
	case "Port":
		e.Port = value
		return nil
	case "Link detected":
		up := strings.HasPrefix(value, "yes")
		e.LinkUp = &up
		return nil
	default:
		return nil
	}
	*list = append(*list, modes(value)...)
	return list
}

func modes(s string) []string { return modeText.FindAllString(s, -1) }

// fastest is the highest speed among modes, in Mbit/s.
func fastest(list []string) int {
	best := 0
	for _, m := range list {
		best = max(best, number(m))
	}
	return best
}

// both is the highest speed that both ends offer, 0 if either is silent.
func (e *Ethernet) both() int {
	offered := map[string]bool{}
	for _, m := range e.Offered {
		offered[m] = true
	}
	var common []string
	for _, m := range e.Partner {
		if offered[m] {
			common = append(common, m)
		}
	}
	return fastest(common)
}

// counted sums the counters whose names contain all of the words.
func (e *Ethernet) counted(words ...string) (uint64, bool) {
	var sum uint64
	found := false
	for name, v := range e.Counters {
		low, all := strings.ToLower(name), true
		for _, w := range words {
			all = all && strings.Contains(low, w)
		}
		if all {
			sum, found = sum+v, true
		}
	}
	return sum, found
}

func ethtoolFacts(r *Reading, e *Ethernet) {
	if e.LinkUp != nil {
		r.fact(LinkUp, *e.LinkUp, "", "%s: link %s", e.Interface, map[bool]string{true: "up", false: "down"}[*e.LinkUp])
	}
	if e.SpeedMbps > 0 {
		r.fact(LinkSpeed, e.SpeedMbps, "Mbit/s", "%s runs at %d Mbit/s", e.Interface, e.SpeedMbps)
	}
	possible := e.both()
	if possible > 0 {
		r.fact(LinkSpeedPossible, possible, "Mbit/s", "both ends offer %d Mbit/s", possible)
	}
	if e.Duplex != "" {
		r.fact(LinkDuplex, e.Duplex, "", "%s duplex", e.Duplex)
	}
	if e.Auto != nil {
		r.fact(LinkAuto, *e.Auto, "", "autonegotiation %s", map[bool]string{true: "on", false: "off"}[*e.Auto])
	}
	crc, hasCRC := e.counted("crc")
	if hasCRC {
		r.fact(LinkCRC, crc, "", "%d frames with a wrong check sequence", crc)
	}
	late, hasLate := e.counted("late", "coll")
	if hasLate {
		r.fact(LinkLate, late, "", "%d late collisions", late)
	}
	ethtoolRemarks(r, e, possible, crc, late)
}

func ethtoolRemarks(r *Reading, e *Ethernet, possible int, crc, late uint64) {
	able := fastest(e.Supported)
	if e.LinkUp != nil && !*e.LinkUp {
		r.remark("N-001", "from memory (IEEE 802.3 cl. 25, 40)", "no link on %s: cable, wall socket, patching or the other end's port", e.Interface)
	}
	switch {
	case e.SpeedMbps == 100 && possible >= 1000:
		r.remark("N-002", srcPractice, "100 Mbit/s although both ends offer %d: one of pins 4, 5, 7, 8 open, or a cable of two pairs", possible)
	case e.SpeedMbps == 100 && able >= 1000 && len(e.Partner) > 0:
		r.remark("N-002", srcPractice, "100 Mbit/s: the other end offers no more than %d", fastest(e.Partner))
	case e.SpeedMbps == 10:
		r.remark("N-002", srcPractice, "10 Mbit/s: a standby state of the other end, or a damaged cable")
	}
	if e.Duplex == "half" {
		text := "half duplex: the other end is probably forced to full duplex; set both to automatic"
		if e.Auto != nil && !*e.Auto {
			text = "half duplex is forced on this end; set it to automatic"
		}
		r.remark("N-007", "from memory (IEEE 802.3 cl. 28.2.3.1)", "%s", text)
	}
	if e.Auto != nil && !*e.Auto && able > 0 {
		r.remark("N-009", "from memory (IEEE 802.3 cl. 40)", "autonegotiation is off on %s: 1000BASE-T needs it, and an automatic other end falls to half duplex", e.Interface)
	}
	if late > 0 || crc > 0 {
		r.remark("N-008", "read: encyclopaedia article on duplex mismatch (secondary)", "%d late collisions and %d check sequence errors: duplex mismatch if late collisions rise on one side and check errors on the other, else a bad cable", late, crc)
	}
}

func ethtoolSummary(r *Reading, e *Ethernet) {
	var parts []string
	if e.LinkUp != nil {
		parts = append(parts, "link "+map[bool]string{true: "up", false: "down"}[*e.LinkUp])
	}
	if e.SpeedMbps > 0 {
		parts = append(parts, fmt.Sprintf("%d Mbit/s", e.SpeedMbps))
	}
	if e.Duplex != "" {
		parts = append(parts, e.Duplex+" duplex")
	}
	if e.Auto != nil {
		parts = append(parts, "autonegotiation "+map[bool]string{true: "on", false: "off"}[*e.Auto])
	}
	if v := e.both(); v > 0 {
		parts = append(parts, fmt.Sprintf("both ends offer %d Mbit/s", v))
	}
	if n := len(e.Counters); n > 0 {
		parts = append(parts, plural(n, "counter"))
	}
	label := "port"
	if e.Interface != "" {
		label = e.Interface
	}
	r.row(label, "%s", strings.Join(parts, ", "))
}
