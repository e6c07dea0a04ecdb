package sums

import (
	"os"
	"strings"
	"testing"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/edid"
)

// Source: check values sections 1.7, 2 and 3 (computed; ran edid-decode).
func TestSignalSums(t *testing.T) {
	check(t, []expect{
		{"2160p60 over High Speed", "link", v("format", "2160p60", "part", "cable=High Speed, 7 m"), measure.Fail, "character_rate", 594, 3, "format-fits=no cable-length-usual=yes"},
		{"2160p60 4:2:0 over High Speed", "link", v("format", "2160p60", "chroma", "4:2:0", "part", "cable=High Speed, 7 m"), measure.Pass, "character_rate", 297, 3, "format-fits=yes"},
		{"10 bit", "link", v("format", "2160p60", "depth", "10", "part", "display=HDMI 2.0"), measure.Fail, "raw_rate", 22.275, 4, "format-fits=no"},
		{"long cable", "link", v("format", "2160p60", "part", "cable=Premium, 10 m"), measure.Tight, "", 0, 0, "format-fits=yes cable-length-usual=no"},
		{"8K at 200 Hz over 165 MHz is a verdict", "link", v("format", "4320p200", "part", "cable=DVI"), measure.Fail, "", 0, 0, "format-fits=no"},
		{"no parts", "link", v("format", "1080p60"), measure.Unknown, "data_rate", 3.564, 3, "format-fits="},
		{"4:2:0 of 1080p does not exist", "link", v("format", "1080p60", "chroma", "4:2:0", "part", "display=HDMI 2.0"), measure.Fail, "", 0, 0, "format-fits=no"},
		{"unknown switcher", "link", v("format", "1080p60", "part", "switcher"), measure.Unknown, "", 0, 0, "format-fits="},
		{"E-074: fits 340 by 1.25 MHz", "timing", v("format", "2160p30 CVT", "limit", "340MHz"), measure.Pass, "pixel_clock", 338.75, 3, "clock-fits=yes"},
		{"E-071: CVT full over 165", "timing", v("format", "1080p60 CVT", "limit", "165MHz"), measure.Fail, "pixel_clock", 173, 3, "clock-fits=no"},
		{"at the limit", "timing", v("format", "1080p60", "limit", "148.5MHz"), measure.Pass, "", 0, 0, "clock-fits=yes"},
		{"just above the limit", "timing", v("format", "1080p60", "limit", "148.49MHz"), measure.Fail, "", 0, 0, "clock-fits=no"},
		{"GTF", "timing", v("format", "1024x768p60 GTF"), measure.Unknown, "pixel_clock", 64.109, 3, "clock-fits="},
		{"H-043", "frame-rate", v("rate", "59.94"), measure.Unknown, "frame_time", 16.683, 3, ""},
		{"O-011", "frame-rate", v("rate", "60 Hz", "other", "59.94 Hz"), measure.Unknown, "slip", 16.7, 1, ""},
		{"O-012", "frame-rate", v("rate", "50 Hz", "mains", "60 Hz"), measure.Fail, "flicker", 20, 3, "camera-flickers=yes"},
		{"no flicker", "frame-rate", v("rate", "50 Hz", "mains", "50 Hz"), measure.Pass, "flicker", 0, 3, "camera-flickers=no"},
		{"H-027 CTA", "dock", v("rate", "hbr3", "lanes", "2", "picture", "2160p60"), measure.Fail, "need", 14.256, 3, "dock-lanes-fit=no dock-lanes-fit-2160p60=reduced-blanking-only"},
		{"H-027 RB", "dock", v("rate", "hbr3", "lanes", "2", "picture", "2160p60 RB"), measure.Pass, "need", 12.798, 3, "dock-lanes-fit=yes"},
		{"H-028", "dock", v("rate", "hbr2", "usb3", "yes", "picture", "2160p60"), measure.Fail, "usable", 8.64, 3, "dock-lanes-fit=no dock-lanes-fit-2160p60=no"},
		{"H-028 at 30 Hz", "dock", v("rate", "hbr2", "usb3", "yes", "picture", "2160p30"), measure.Pass, "need", 7.128, 3, "dock-lanes-fit=yes"},
		{"H-029", "dock", v("rate", "hbr2", "lanes", "2", "picture", "1080p60", "picture", "1080p60"), measure.Pass, "usable", 8.505, 3, "dock-lanes-fit=yes"},
		{"H-030", "dock", v("rate", "hbr2", "lanes", "2", "picture", "1440p60", "picture", "1440p60"), measure.Fail, "need", 11.592, 3, "dock-lanes-fit=no"},
		{"H-031: four lanes", "dock", v("rate", "hbr2", "picture", "2160p60"), measure.Pass, "lanes", 4, 0, "dock-lanes-fit-2160p60=yes"},
		{"P-009", "hdcp", v("content", "type1", "device", "source=2.2", "device", "switcher=2.2", "device", "display=1.4"), measure.Fail, "", 0, 0, "hdcp-chain-ok=no hdcp-state=one-1x"},
		{"P-008", "hdcp", v("device", "source=2.2", "device", "switcher=2.2", "device", "display=1.4"), measure.Pass, "devices_below_first_repeater", 1, 0, "hdcp-chain-ok=yes"},
		{"C-027", "cec", v("blocks", "4"), measure.Unknown, "message_time", 100.5, 3, ""},
		{"H-037", "edid-read", v(), measure.Unknown, "read_time", 23.04, 2, ""},
	})
}

func TestLinkAdvice(t *testing.T) {
	r := run(t, "link", v("format", "2160p60", "part", "source=HDMI 2.0", "part", "display=300 MHz, 4:2:0 only 2160p60/2160p50"))
	least, _ := r.Output("least_change")
	highest, _ := r.Output("highest_that_passes")
	if least.Text != "set the chroma to 4:2:0" || highest.Text != "3840x2160p60 8 bit 4:2:0" && highest.Text != "4096x2160p60 8 bit 4:2:0" {
		t.Errorf("least %q, highest %q", least.Text, highest.Text)
	}
	r = run(t, "link", v("format", "1080p60", "part", "display=HDMI 2.0"))
	if _, ok := r.Output("least_change"); ok {
		t.Error("nothing to change where all passes")
	}
}

// Source: check values section 1.8: what each EDID vector expects of the link
// arithmetic (H: 2160p60 usable only as 4:2:0 8 bit, since 594 exceeds 590).
func TestDisplayPart(t *testing.T) {
	for _, c := range []struct {
		vector, format, depth, chroma string
		want                          measure.Verdict
	}{
		{"a", "1080p60", "8", "4:4:4", measure.Pass}, {"a", "1080p60", "10", "4:4:4", measure.Fail}, {"a", "2160p30", "8", "4:4:4", measure.Fail},
		{"b", "2160p60", "8", "4:4:4", measure.Pass}, {"b", "2160p60", "10", "4:4:4", measure.Fail}, {"b", "2160p30", "12", "4:4:4", measure.Pass},
		{"b", "2160p60", "12", "4:2:2", measure.Pass}, {"b", "2160p60", "8", "4:2:0", measure.Fail},
		{"c", "2160p60", "8", "4:4:4", measure.Fail}, {"c", "2160p60", "8", "4:2:0", measure.Pass}, {"c", "2160p60", "10", "4:2:0", measure.Fail},
		{"c", "2160p30", "8", "4:4:4", measure.Pass}, {"c", "2160p30", "10", "4:4:4", measure.Fail},
		{"d", "1920x1200p60", "8", "4:4:4", measure.Pass}, {"d", "1920x1200p60 full", "8", "4:4:4", measure.Fail}, {"d", "1920x1200p60", "8", "4:2:2", measure.Fail},
		{"g", "1080i60", "8", "4:4:4", measure.Pass}, {"g", "1080p60", "8", "4:4:4", measure.Fail}, {"g", "1080i60", "10", "4:4:4", measure.Fail},
		{"h", "2160p60", "8", "4:4:4", measure.Fail}, {"h", "2160p60", "8", "4:2:0", measure.Pass}, {"h", "2160p60", "10", "4:2:0", measure.Fail}, {"h", "2160p60 RB", "8", "4:4:4", measure.Pass},
		{"j", "1440p60", "8", "4:4:4", measure.Unknown},
	} {
		text, err := os.ReadFile("testdata/edid/" + c.vector + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		found := edid.Find(text)
		if len(found) != 1 {
			t.Fatalf("vector %s: %d EDIDs", c.vector, len(found))
		}
		d, err := edid.Decode(found[0].Data)
		if err != nil {
			t.Fatal(err)
		}
		r := run(t, "link", v("format", c.format, "depth", c.depth, "chroma", c.chroma, "part", DisplayPart(d)))
		if r.Verdict != c.want {
			t.Errorf("vector %s, %s %s bit %s: got %s (%s), want %s", c.vector, c.format, c.depth, c.chroma, r.Verdict, r.Sentence, c.want)
		}
		if strings.Contains(r.Parts[0].Label, "only") {
			t.Errorf("vector %s: label %q", c.vector, r.Parts[0].Label)
		}
	}
}
