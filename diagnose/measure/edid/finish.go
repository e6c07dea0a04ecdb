package edid

import "fmt"

// timingKey tells formats apart: same size, scan, clock and totals is the same
// format. The rate stands in where the clock is not known.
type timingKey struct {
	width, height, clockKHz, hTotal, vTotal2 int
	interlaced, only420                      bool
	rateMilliHz                              int
}

func keyOf(t Timing) timingKey {
	k := timingKey{
		width: t.Width, height: t.Height, clockKHz: int(t.PixelClockMHz*1000 + 0.5),
		hTotal: t.HTotal, vTotal2: int(2 * t.VTotal), interlaced: t.Interlaced,
		only420: t.Chroma420 == chromaOnly,
	}
	if k.clockKHz == 0 {
		k.rateMilliHz = int(t.RefreshHz * 1000)
	}
	return k
}

// addTiming lists a format. Where the same format stands there already, the
// code is added to that entry.
func (d *decoder) addTiming(t Timing, origin Origin, code string) {
	t.Origin, t.Code = origin, code
	if code == "" {
		t.Code = string(origin)
	}
	d.statements = append(d.statements, t)
	key := keyOf(t)
	at, known := d.seen[key]
	if !known {
		d.seen[key] = len(d.out.Timings)
		d.out.Timings = append(d.out.Timings, t)
		return
	}
	have := &d.out.Timings[at]
	have.Native = have.Native || t.Native
	have.Preferred = have.Preferred || t.Preferred
	if have.ImageWidthMM == 0 && have.ImageHeightMM == 0 {
		have.ImageWidthMM, have.ImageHeightMM = t.ImageWidthMM, t.ImageHeightMM
	}
	if t.Code == have.Code {
		return
	}
	for _, c := range have.Also {
		if c == t.Code {
			return
		}
	}
	have.Also = append(have.Also, t.Code)
}

// Label writes a format the way technicians do: "1920x1080p60",
// "1920x1080i50", "720x480p59.94".
func (t Timing) Label() string {
	scan := "p"
	if t.Interlaced {
		scan = "i"
	}
	return fmt.Sprintf("%dx%d%s%g", t.Width, t.Height, scan, round(t.RefreshHz, 2))
}

// finish works out what needs all blocks, then checks them against each other.
func (d *decoder) finish() {
	d.resolvePreferred()
	d.resolve420()
	d.markNative()
	d.countExtensions()
	d.check()
}

// resolvePreferred takes the first detailed timing of the base block: always in
// EDID 1.4, else if the feature bit says so (check value E-013).
func (d *decoder) resolvePreferred() {
	o := d.out
	if d.firstInBase && (d.minor >= 4 || o.Features.FirstIsPreferred) {
		t := *o.FirstTiming
		t.Also = []string{}
		t.Preferred = true
		t.Native = o.Features.FirstIsPreferred
		o.Preferred = &t
		if at, ok := d.seen[keyOf(t)]; ok {
			o.Timings[at].Preferred = true
			o.Timings[at].Native = o.Timings[at].Native || t.Native
		}
	}
}

// markNative marks as many detailed timings as the first CTA-861 block says are
// native; those of the base block count first (check value E-040).
func (d *decoder) markNative() {
	left := d.native
	for _, t := range d.statements {
		if left == 0 {
			return
		}
		if t.Origin == OriginDetailed {
			d.out.Timings[d.seen[keyOf(t)]].Native = true
			left--
		}
	}
}

// countExtensions compares the blocks that are there with the number announced,
// by the override block where there is one (check values E-069 and E-070).
func (d *decoder) countExtensions() {
	o := d.out
	expected, found := o.AnnouncedExtensions, len(o.Blocks)-1
	if o.ExtensionOverride != nil && *o.ExtensionOverride > 0 {
		expected = *o.ExtensionOverride
		for i := range o.Blocks {
			o.Blocks[i].Announced = i <= expected
		}
	}
	switch {
	case found < expected:
		o.MissingExtensions = expected - found
		d.problem("%d extension block(s) announced, %d found: a source that gets no more sees no CTA-861 data, so no HDMI and no sound", expected, found)
	case found > expected:
		o.SurplusExtensions = found - expected
		d.problem("%d extension block(s) found, %d announced: a source does not read the rest", found, expected)
	}
}
