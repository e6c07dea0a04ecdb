package link

import (
	"strings"
	"testing"

	"faultbook/diagnose/measure"
)

func TestParsePart(t *testing.T) {
	for _, c := range []struct {
		text string
		want Part
	}{
		{"source=HDMI 2.0", Part{Kind: Source, Capacity: Capacity{TMDSMHz: 600}}},
		{"cable=High Speed, 7 m", Part{Kind: Cable, Capacity: Capacity{TMDSMHz: 340}, LengthM: 7}},
		{"cable=premium high speed, 3m, 2 m, 2 couplers", Part{Kind: Cable, Capacity: Capacity{TMDSMHz: 600}, LengthM: 5, Couplers: 2}},
		{"cable=10.2 Gbit/s", Part{Kind: Cable, Capacity: Capacity{TMDSMHz: 340}}},
		{"switcher=18Gbps, 8 bit", Part{Kind: Switcher, Capacity: Capacity{TMDSMHz: 600}, MaxDepth: 8}},
		{"display=300mhz, 4:4:4, 420", Part{Kind: Display, Capacity: Capacity{TMDSMHz: 300}, Chromas: []Chroma{C444, C420}}},
		{"extender=340 MHz, 60 m, reach 70 m", Part{Kind: Extender, Capacity: Capacity{TMDSMHz: 340}, LengthM: 60, ReachM: 70}},
		{"cable=optical, 30 m", Part{Kind: Cable, Active: true, LengthM: 30}},
	} {
		p, err := ParsePart(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		same := p.Kind == c.want.Kind && about(p.Capacity.TMDSMHz, c.want.Capacity.TMDSMHz, 6) && p.LengthM == c.want.LengthM &&
			p.ReachM == c.want.ReachM && p.Couplers == c.want.Couplers && p.Active == c.want.Active && p.MaxDepth == c.want.MaxDepth &&
			len(p.Chromas) == len(c.want.Chromas)
		if !same {
			t.Errorf("%s: got %+v, want %+v", c.text, p, c.want)
		}
	}
}

func TestParsePartErrors(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"toaster=5 m", "is not a part"},
		{"cable=-3 m", "above 0"},
		{"cable=High Speed, DVI", "two limits"},
		{"cable=blue", "says nothing"},
		{"display=HDMI 2.1", "promises no rate"},
		{"display=FRL 3x10", "not an FRL rate"},
		{"display=HBR9 x2", "not a DisplayPort lane rate"},
		{"switcher=up to 1080", "put p or i"},
		{"cable=90000 km", "up to 10000 m"},
		{"cable=0 MHz", "1 to 10000 MHz"},
	} {
		if _, err := ParsePart(c.text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want an error with %q", c.text, err, c.want)
		}
	}
}

// Each part of a chain can be the one that fails.
func TestChain(t *testing.T) {
	for _, c := range []struct {
		name, format string
		depth        int
		chroma       Chroma
		parts        []string
		verdict      measure.Verdict
		fault        string // part of the text of the worst finding
	}{
		{"all well", "2160p60", 8, C444, []string{"source=600 MHz", "cable=Premium High Speed, 3 m", "display=600 MHz"}, measure.Pass, ""},
		{"cable class", "2160p60", 8, C444, []string{"source=600 MHz", "cable=High Speed, 3 m", "display=600 MHz"}, measure.Fail, "it carries 340 MHz and 594 MHz"},
		{"display EDID", "2160p60", 8, C444, []string{"source=600 MHz", "display=300 MHz, 4:2:0 only 2160p60/2160p50"}, measure.Fail, "4:2:0 only"},
		{"display in 4:2:0", "2160p60", 8, C420, []string{"source=600 MHz", "display=300 MHz, 4:2:0 only 2160p60/2160p50"}, measure.Pass, ""},
		{"590 MHz display", "2160p60", 8, C444, []string{"display=590 MHz"}, measure.Fail, "it carries 590 MHz"},
		{"switcher format", "2160p30", 8, C444, []string{"switcher=up to 1080p60"}, measure.Fail, "it stops at 1920x1080"},
		{"switcher depth", "1080p60", 10, C444, []string{"switcher=340 MHz, 8 bit"}, measure.Fail, "8 bit at most"},
		{"long cable", "2160p60", 8, C444, []string{"cable=Premium High Speed, 10 m"}, measure.Tight, "longer than the 5 m"},
		{"couplers count", "2160p60", 8, C444, []string{"cable=Premium High Speed, 4 m, 1 coupler"}, measure.Tight, "6 m is longer"},
		{"active cable", "2160p60", 8, C444, []string{"cable=Premium High Speed, 10 m, active"}, measure.Pass, ""},
		{"extender reach", "1080p60", 8, C444, []string{"extender=340 MHz, 90 m, reach 70 m"}, measure.Fail, "beyond its reach"},
		{"extender practice", "2160p30", 8, C444, []string{"extender=340 MHz, 60 m"}, measure.Tight, "longer than the 40 m"},
		{"unknown part", "1080p60", 8, C444, []string{"switcher"}, measure.Unknown, "not known"},
		{"list of formats", "2160p60", 8, C444, []string{"display=600 MHz, only 1080p60/720p60"}, measure.Fail, "list of formats"},
		{"two-lane dock", "2160p60", 8, C444, []string{"dock=HBR3 x2"}, measure.Fail, "it carries 12.96 Gbit/s"},
	} {
		r := CheckChain(signal(t, c.format, c.depth, c.chroma), chain(t, c.parts...))
		var whys []string
		for _, f := range r.Findings {
			whys = append(whys, f.Why)
		}
		if r.Verdict != c.verdict || !strings.Contains(strings.Join(whys, " "), c.fault) {
			t.Errorf("%s: got %s %q, want %s %q", c.name, r.Verdict, whys, c.verdict, c.fault)
		}
	}
}

func TestHighest(t *testing.T) {
	for _, c := range []struct {
		parts []string
		want  string
	}{
		{[]string{"display=600 MHz"}, "4096x2160p60 8 bit 4:4:4"},
		{[]string{"display=600 MHz, up to 3840x2160p60"}, "3840x2160p60 8 bit 4:4:4"},
		{[]string{"display=300 MHz, up to 2160p60"}, "3840x2160p60 8 bit 4:2:0"},
		{[]string{"display=300 MHz, no 4:2:0, up to 2160p60"}, "3840x2160p30 8 bit 4:4:4"},
		{[]string{"display=DVI, rgb only, up to 1080p60"}, "1920x1080p60 8 bit 4:4:4"},
		{[]string{"dock=HBR2 x2, rgb only, up to 2160p60"}, "3440x1440p60 8 bit 4:4:4 reduced blanking"},
	} {
		got, ok := Highest(chain(t, c.parts...))
		if !ok || got.String() != c.want {
			t.Errorf("%v: got %q, want %q", c.parts, got, c.want)
		}
	}
	if s, ok := Highest(chain(t, "display=20 MHz")); ok {
		t.Errorf("20 MHz: got %s, want none", s)
	}
}

// Every change that is offered must make the chain pass, and what the
// arithmetic of section 2.1 says is the least comes first.
func TestChanges(t *testing.T) {
	for _, c := range []struct {
		format string
		depth  int
		chroma Chroma
		parts  []string
		want   []string
	}{
		{"2160p60", 10, C444, []string{"display=600 MHz"}, []string{"depth: set the depth to 8 bit", "chroma: set the chroma to 4:2:2"}},
		{"2160p60", 8, C444, []string{"cable=High Speed", "display=600 MHz"}, []string{"chroma: set the chroma to 4:2:0", "part: replace the cable (High Speed) by one for 594 MHz (Premium High Speed)", "rate: set the rate to 30 Hz"}},
		{"2160p60", 8, C444, []string{"display=590 MHz"}, []string{"chroma: set the chroma to 4:2:0", "blanking: set reduced blanking (CVT-RB, pixel clock 533.25 MHz)"}},
		{"1080p60 CVT", 8, C444, []string{"display=DVI, rgb only"}, []string{"blanking: set reduced blanking (CVT-RB, pixel clock 138.5 MHz)"}},
		{"2160p60", 8, C444, []string{"switcher=up to 1080p60"}, []string{"size: set 1920x1080p60 8 bit 4:4:4"}},
		{"2160p60", 8, C444, []string{"display=600 MHz"}, nil},
	} {
		parts := chain(t, c.parts...)
		got := Changes(signal(t, c.format, c.depth, c.chroma), parts)
		for i, want := range c.want {
			if i >= len(got) || got[i].What+": "+got[i].Text != want {
				t.Errorf("%s over %v: change %d: got %v, want %q", c.format, c.parts, i, got, want)
				break
			}
		}
		if len(c.want) == 0 && len(got) > 0 {
			t.Errorf("%s over %v: got %v, want none", c.format, c.parts, got)
		}
		for _, ch := range got {
			if ch.What != "part" && !passes(ch.Signal, parts) {
				t.Errorf("%s over %v: %q does not help", c.format, c.parts, ch.Text)
			}
		}
	}
}

// FuzzParsePart: no text may panic; what is accepted has sane figures.
func FuzzParsePart(f *testing.F) {
	for _, seed := range []string{"cable=High Speed, 7 m", "display=300 MHz, 4:2:0 only 2160p60/2160p50", "dock=HBR2 x2", "source=FRL 4x10, 10 bit", "cable=3 m, 4 couplers"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ParsePart(text)
		if err != nil {
			return
		}
		if p.LengthM < 0 || p.Capacity.TMDSMHz < 0 || p.Couplers < 0 || p.Capacity.TMDSMHz > 10000 {
			t.Fatalf("%q gives %+v", text, p)
		}
		CheckChain(Signal{mustResolve("1920x1080p60"), 8, C444}, []Part{p})
	})
}
