package edid

import "strings"

// singleLinkMHz is the limit to assume where an HDMI display states none
// (check value E-047); highestOlderMHz the most the older block may state.
const singleLinkMHz = 165

// check looks for statements that contradict each other.
func (d *decoder) check() {
	o := d.out
	if !d.firstInBase {
		d.problem("the base block has no detailed timing: a source cannot tell the best format")
	} else if d.minor == 3 && !o.Features.FirstIsPreferred {
		d.problem("EDID 1.3 must mark its first detailed timing as preferred, this one does not")
	}
	hasAudio := len(o.Audio) > 0 || len(o.Speakers) > 0
	if hasAudio && !o.BasicAudio {
		d.problem("there are audio blocks, but the basic audio flag is clear: some sources stay silent")
	}
	if (hasAudio || o.BasicAudio) && !o.HDMI && !d.isDisplayPort() {
		d.problem("sound is announced, but there is no HDMI block: a source that sends DVI sends no sound")
	}
	d.checkLists()
	d.checkRange()
	d.checkLink()
}

// isDisplayPort says whether the display is on DisplayPort, where sound needs
// no HDMI block.
func (d *decoder) isDisplayPort() bool {
	return d.out.Input.Interface == "DisplayPort" || len(d.out.DisplayID) > 0
}

// checkLists finds formats that are listed twice in ways that exclude each
// other, and native formats that only an interlaced source could send.
func (d *decoder) checkLists() {
	o := d.out
	ordinary := map[int]bool{}
	for _, vic := range o.VICs {
		ordinary[vic] = true
	}
	for _, vic := range o.VICs420Only {
		if ordinary[vic] {
			d.problem("VIC %d is listed as usable in 4:2:0 only and as an ordinary format", vic)
		}
	}
	interlaced, progressive := "", false
	for _, t := range o.Timings {
		if t.Native && t.Interlaced {
			interlaced = t.Label()
		}
		progressive = progressive || t.Native && !t.Interlaced
	}
	if interlaced != "" && !progressive {
		d.problem("the native format %s is interlaced and no progressive one is native: most computers do not send it", interlaced)
	}
}

// checkRange compares the highest pixel clock with the range limits. In EDID
// 1.4 formats that are listed one by one go before the limits.
func (d *decoder) checkRange() {
	r := d.out.Range
	if r == nil || r.MaxClockMHz == nil || d.minor >= 4 {
		return
	}
	for _, t := range d.out.Timings {
		if need := t.characterRate(); need > float64(r.statedClockMHz) {
			d.problem("%s needs a pixel clock of %g MHz, the range limits end at %d MHz", t.Label(), need, r.statedClockMHz)
			return
		}
	}
}

// characterRate is the clock that an 8-bit picture needs on the link in MHz:
// half the pixel clock where the format works in 4:2:0 only (check value H-003).
func (t Timing) characterRate() float64 {
	if t.Chroma420 == chromaOnly {
		return t.PixelClockMHz / 2
	}
	return t.PixelClockMHz
}

// TMDSLimitMHz is the highest TMDS character rate that the display states:
// the HDMI Forum figure, else the older one, else 165 MHz; 0 if the display is
// not HDMI.
func (o *Display) TMDSLimitMHz() int {
	switch {
	case !o.HDMI:
		return 0
	case o.MaxTMDSForumMHz != nil:
		return *o.MaxTMDSForumMHz
	case o.MaxTMDSMHz != nil && *o.MaxTMDSMHz > 0:
		return *o.MaxTMDSMHz
	}
	return singleLinkMHz
}

// checkLink names the formats that the display lists although its own limit
// does not carry them: in 8-bit RGB, or in 4:2:0 where that is all they do.
func (d *decoder) checkLink() {
	o := d.out
	limit := float64(o.TMDSLimitMHz())
	if limit == 0 || o.FRL != nil && *o.FRL > 0 {
		return
	}
	var over []string
	for _, t := range o.Timings {
		need := t.characterRate()
		if t.Chroma420 == chromaAlso {
			need /= 2
		}
		if need > limit {
			over = append(over, t.Label())
		}
	}
	switch {
	case len(over) == 0:
	case o.MaxTMDSForumMHz == nil && (o.MaxTMDSMHz == nil || *o.MaxTMDSMHz == 0):
		d.problem("no highest TMDS clock is stated, so %g MHz counts; listed above that: %s", limit, strings.Join(over, ", "))
	default:
		d.problem("listed above the stated %g MHz of the link: %s", limit, strings.Join(over, ", "))
	}
	for _, vic := range o.VICs420Also {
		if f, ok := vicFormat(vic); ok && float64(f.clockKHz)/1000 > limit {
			d.problem("VIC %d needs %g MHz, the link is stated as %g MHz: it works in 4:2:0 only", vic, float64(f.clockKHz)/1000, limit)
		}
	}
}
