package link

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/timing"
)

// longestPart bounds one description; a display's list of formats is long.
const longestPart = 4000

// ParsePart reads "source=HDMI 2.0" or "cable=High Speed, 7 m, 1 coupler". The
// description is a list of pieces: a limit (a class, MHz, Gbit/s, FRL or
// DisplayPort lanes), a length, a depth, chroma samplings, formats. Errors
// name the piece and what can stand there.
func ParsePart(text string) (Part, error) {
	if len(text) > longestPart {
		return Part{}, fmt.Errorf("a part of %d characters is too long", len(text))
	}
	name, rest, _ := strings.Cut(text, "=")
	p := Part{Kind: Kind(strings.ToLower(strings.TrimSpace(name))), Text: strings.TrimSpace(rest)}
	if !knownKind(p.Kind) {
		return Part{}, fmt.Errorf("%q is not a part; begin with one of %s, such as cable=High Speed, 7 m", name, kindNames())
	}
	for _, piece := range measure.Tokens(rest) {
		if err := p.take(piece); err != nil {
			return Part{}, err
		}
	}
	return p, nil
}

func knownKind(k Kind) bool {
	for _, known := range Kinds() {
		if k == known {
			return true
		}
	}
	return false
}

func kindNames() string {
	var out []string
	for _, k := range Kinds() {
		out = append(out, string(k))
	}
	return strings.Join(out, ", ")
}

// take reads one piece of a description.
func (p *Part) take(piece string) error {
	if name, ok := strings.CutPrefix(piece, "named "); ok {
		p.Text = strings.TrimSpace(name)
		return nil
	}
	low := strings.Join(strings.Fields(strings.ToLower(piece)), " ")
	for _, read := range []func(string) (bool, error){p.takeClass, p.takeLanes, p.takeFlag, p.takeChroma, p.takeFormats, p.takeFigure} {
		if done, err := read(low); done || err != nil {
			return err
		}
	}
	return fmt.Errorf("%q says nothing that is known of a part; write a limit (High Speed, HDMI 2.0, 340 MHz, 18 Gbit/s, FRL 4x10, HBR2 x2), "+
		"a length (7 m), a depth (8 bit), a chroma (4:2:0), or formats (up to 1080p60)", piece)
}

// takeClass reads the names that stand for a limit.
func (p *Part) takeClass(low string) (bool, error) {
	low = strings.TrimSuffix(low, " with ethernet")
	limits := map[string]Capacity{
		"dvi": {TMDSMHz: LimitSingleLink}, "single link": {TMDSMHz: LimitSingleLink}, "hdmi 1.2": {TMDSMHz: LimitSingleLink},
		"hdmi 1.3": {TMDSMHz: LimitHDMI14}, "hdmi 1.4": {TMDSMHz: LimitHDMI14},
		"hdmi 2.0": {TMDSMHz: LimitHDMI20}, "hdmi 2.1 tmds": {TMDSMHz: LimitHDMI20},
		"standard": {TMDSMHz: LimitStandardCable}, "high speed": {TMDSMHz: LimitHDMI14},
		"premium high speed": {TMDSMHz: LimitHDMI20}, "premium": {TMDSMHz: LimitHDMI20},
	}
	if c, ok := limits[low]; ok {
		return true, p.setCapacity(c)
	}
	switch low {
	case "ultra high speed", "ultra":
		return true, p.setCapacity(frlCapacity(48))
	case "hdmi 2.1":
		return true, fmt.Errorf("\"HDMI 2.1\" alone promises no rate; write its FRL rate such as FRL 4x10, or HDMI 2.1 TMDS")
	}
	return false, nil
}

func frlCapacity(rawGbit float64) Capacity {
	return Capacity{TMDSMHz: LimitHDMI20, FRLGbit: rawGbit * 16 / 18}
}

func (p *Part) setCapacity(c Capacity) error {
	if p.Capacity.Known() {
		return fmt.Errorf("%q gives two limits; give the lower one", p.Text)
	}
	p.Capacity = c
	return nil
}

var (
	frlPattern     = regexp.MustCompile(`^frl ?(?:([1-6])|([34]) ?x ?(\d{1,2}))$`)
	dpPattern      = regexp.MustCompile(`^(?:dp |displayport )?(rbr|u?hbr[\d.]*) ?x ?([124])$`)
	depthPattern   = regexp.MustCompile(`^(\d{1,2}) ?bits?(?: in (4:[24]:[0-4]))?$`)
	couplerPattern = regexp.MustCompile(`^(?:(\d{1,2}) )?(?:couplers?|wall plates?)$`)
)

// takeLanes reads "FRL 5", "FRL 4x10" and "HBR2 x2".
func (p *Part) takeLanes(low string) (bool, error) {
	if m := frlPattern.FindStringSubmatch(low); m != nil {
		for _, r := range FRLRates() {
			if m[1] == strconv.Itoa(r.Code) || m[2] == strconv.Itoa(r.Lanes) && m[3] == strconv.FormatFloat(r.LaneGbit, 'f', -1, 64) {
				return true, p.setCapacity(frlCapacity(r.RawGbit))
			}
		}
		return true, fmt.Errorf("%q is not an FRL rate; they are 3x3, 3x6, 4x6, 4x8, 4x10, 4x12", low)
	}
	if m := dpPattern.FindStringSubmatch(low); m != nil {
		rate, err := FindDPRate(m[1])
		if err != nil {
			return true, err
		}
		lanes, _ := strconv.Atoi(m[2])
		return true, p.setCapacity(Capacity{DPGbit: rate.DataGbit(lanes)})
	}
	return false, nil
}

// takeFlag reads words and counts without a unit.
func (p *Part) takeFlag(low string) (bool, error) {
	switch low {
	case "active", "optical":
		p.Active = true
		return true, nil
	case "passive":
		return true, nil
	case "rgb only":
		p.Chromas = append(p.Chromas, C444)
		return true, nil
	}
	if m := couplerPattern.FindStringSubmatch(low); m != nil {
		p.Couplers += 1
		if n, err := strconv.Atoi(m[1]); err == nil {
			p.Couplers += n - 1
		}
		return true, nil
	}
	if m := depthPattern.FindStringSubmatch(low); m != nil {
		return true, p.setDepth(m[1], m[2])
	}
	return false, nil
}

// setDepth keeps "8 bit" for any chroma, "10 bit in 4:2:0" for one.
func (p *Part) setDepth(bits, chroma string) error {
	depth, _ := strconv.Atoi(bits)
	if chroma == "" {
		p.MaxDepth = depth
		return nil
	}
	c, err := ParseChroma(chroma)
	if err != nil {
		return err
	}
	if p.DepthIn == nil {
		p.DepthIn = map[Chroma]int{}
	}
	p.DepthIn[c] = depth
	return nil
}

// takeChroma reads "4:2:0" (it takes this) and "no 4:2:0".
func (p *Part) takeChroma(low string) (bool, error) {
	without, negative := strings.CutPrefix(low, "no ")
	c, err := ParseChroma(without)
	if err != nil {
		return false, nil
	}
	if !negative {
		p.Chromas = append(p.Chromas, c)
		return true, nil
	}
	for _, other := range []Chroma{C444, C422, C420} {
		if other != c {
			p.Chromas = append(p.Chromas, other)
		}
	}
	return true, nil
}

// takeFormats reads "up to 1080p60", "only 1080p60/720p60" and "4:2:0 only
// 2160p60/2160p50".
func (p *Part) takeFormats(low string) (bool, error) {
	for _, lead := range []string{"up to ", "to ", "max "} {
		if rest, ok := strings.CutPrefix(low, lead); ok {
			list, err := parseFormats(rest)
			if err == nil {
				p.UpTo = &list[0]
			}
			return true, err
		}
	}
	var err error
	if rest, ok := strings.CutPrefix(low, "4:2:0 only "); ok {
		p.Only420, err = parseFormats(rest)
		return true, err
	}
	if rest, ok := strings.CutPrefix(low, "only "); ok {
		p.Only, err = parseFormats(rest)
		return true, err
	}
	return false, nil
}

func parseFormats(text string) ([]timing.Timing, error) {
	var out []timing.Timing
	for piece := range strings.SplitSeq(text, "/") {
		f, err := timing.ParseFormat(piece)
		if err != nil {
			return nil, err
		}
		t, err := timing.Resolve(f)
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}

// takeFigure reads a limit in MHz or Gbit/s, a length and a reach.
func (p *Part) takeFigure(low string) (bool, error) {
	if mhz, err := measure.Parse(low, "MHz"); err == nil {
		if mhz < 1 || mhz > 10000 {
			return true, fmt.Errorf("%q: a limit of 1 to 10000 MHz can be used", low)
		}
		return true, p.setCapacity(Capacity{TMDSMHz: mhz})
	}
	if gbit, err := measure.Parse(low, "Gbit/s"); err == nil {
		return true, p.takeGbit(low, gbit)
	}
	rest, isReach := strings.CutPrefix(low, "reach ")
	metres, err := measure.Parse(rest, "m")
	if err != nil {
		return false, nil
	}
	if metres <= 0 || metres > 10000 {
		return true, fmt.Errorf("%q: a length above 0 and up to 10000 m can be used", low)
	}
	if isReach {
		p.ReachM = metres
	} else {
		p.LengthM += metres
	}
	return true, nil
}

// takeGbit takes the figure printed on boxes: up to 18 it is the raw rate of
// three TMDS pairs, above that the raw rate of an FRL link.
func (p *Part) takeGbit(low string, gbit float64) error {
	if gbit < 0.1 || gbit > 100 {
		return fmt.Errorf("%q: a limit of 0.1 to 100 Gbit/s can be used", low)
	}
	if measure.Within(gbit, 18) {
		return p.setCapacity(Capacity{TMDSMHz: gbit * 1000 / 30})
	}
	return p.setCapacity(frlCapacity(gbit))
}
