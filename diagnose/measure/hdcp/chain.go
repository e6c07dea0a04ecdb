package hdcp

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"faultbook/diagnose/measure"
)

// Family is a set of HDCP families that a device has keys for.
type Family struct{ V1, V2 bool }

// None says whether there are no keys at all.
func (f Family) None() bool { return !f.V1 && !f.V2 }

// both families in common.
func (f Family) with(o Family) Family { return Family{f.V1 && o.V1, f.V2 && o.V2} }

// String writes "1.4", "2.2 only", "1.4 and 2.2" or "none".
func (f Family) String() string {
	switch {
	case f.V1 && f.V2:
		return "1.4 and 2.2"
	case f.V2:
		return "2.2 only"
	case f.V1:
		return "1.4"
	}
	return "none"
}

// Device is one member of a chain, or several alike at the same place.
type Device struct {
	Label       string
	Family      Family
	Repeater    bool // everything between first and last is one anyway
	Transparent bool // passes the wires on and takes no part in HDCP
	Copies      int
	MaxSinks    int // of a source, 0 if not known
}

// Content is what is played.
type Content string

// Contents.
const (
	Unprotected Content = "none"
	Type0       Content = "type0"
	Type1       Content = "type1"
)

// Contents lists the kinds.
func Contents() []string { return []string{string(Unprotected), string(Type0), string(Type1)} }

// Limits below the first repeater (check values P-002, P-003, read in open
// driver headers): devices and levels.
const (
	Devices1, Levels1 = 127, 7
	Devices2, Levels2 = 31, 4
)

var (
	copiesPattern = regexp.MustCompile(`^x ?(\d{1,3})$`)
	sinksPattern  = regexp.MustCompile(`^(?:max )?(\d{1,3}) sinks?$`)
)

// ParseDevice reads "source=2.2", "switcher=2.2", "display=1.4, x 12",
// "recorder=none", "input=2.2 only", "source=2.2, max 4 sinks",
// "extender=transparent". A bare 2.2 counts as having both families.
func ParseDevice(text string) (Device, error) {
	if len(text) > 200 {
		return Device{}, fmt.Errorf("a device of %d characters is too long", len(text))
	}
	label, rest, found := strings.Cut(text, "=")
	d := Device{Label: strings.TrimSpace(label), Copies: 1}
	if !found || d.Label == "" {
		return d, fmt.Errorf("%q is not a device; write its name and version such as switcher=2.2", text)
	}
	stated := false
	for _, piece := range measure.Tokens(rest) {
		low := strings.Join(strings.Fields(strings.ToLower(piece)), " ")
		family, isFamily := parseFamily(low)
		switch {
		case isFamily && stated:
			return d, fmt.Errorf("%q gives two versions", text)
		case isFamily:
			d.Family, stated = family, true
		case low == "repeater":
			d.Repeater = true
		case low == "transparent":
			d.Transparent, stated = true, true
		case copiesPattern.MatchString(low):
			d.Copies, _ = strconv.Atoi(copiesPattern.FindStringSubmatch(low)[1])
		case sinksPattern.MatchString(low):
			d.MaxSinks, _ = strconv.Atoi(sinksPattern.FindStringSubmatch(low)[1])
		default:
			return d, fmt.Errorf("%q says nothing that is known; write 1.4, 2.2, 2.2 only, none or transparent, and repeater, x 12 or max 4 sinks", piece)
		}
	}
	if !stated {
		return d, fmt.Errorf("%q has no version; add 1.4, 2.2, 2.2 only, none or transparent", text)
	}
	if d.Copies == 0 {
		return d, fmt.Errorf("%q: none of a device is no device", text)
	}
	return d, nil
}

func parseFamily(low string) (Family, bool) {
	low = strings.TrimPrefix(low, "hdcp ")
	switch low {
	case "1.0", "1.1", "1.2", "1.3", "1.4", "1.x", "1.4 only":
		return Family{V1: true}, true
	case "2.2", "2.3", "2.x", "both", "1.4 and 2.2":
		return Family{V1: true, V2: true}, true
	case "2.2 only", "2.3 only", "2.x only":
		return Family{V2: true}, true
	case "none", "no hdcp":
		return Family{}, true
	}
	return Family{}, false
}
