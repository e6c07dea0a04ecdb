package timing

import (
	"strings"
	"testing"
)

func TestParseFormat(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"2160p60", "3840x2160p60"},
		{"1080p59.94", "1920x1080p59.94"},
		{"1080i50", "1920x1080i50"},
		{"1920x1200@60", "1920x1200p60"},
		{"1920 x 1200 p60", "1920x1200p60"},
		{"1024x768 60 Hz", "1024x768p60"},
		{"4K60", "3840x2160p60"},
		{"WUXGA 60", "1920x1200p60"},
		{"2160p60 rb", "3840x2160p60 CVT-RB"},
		{"2160p60 CVT RB v2", "3840x2160p60 CVT-RB2"},
		{"1366x768p60 full", "1366x768p60 full"},
		{"vic 97", "VIC 97"},
		{"DMT 0x44", "DMT 0x44"},
	} {
		f, err := ParseFormat(c.text)
		if err != nil || f.String() != c.want {
			t.Errorf("%q: got %q (%v), want %q", c.text, f, err, c.want)
		}
	}
}

func TestParseFormatErrors(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "no format given"},
		{"1080p", "has no rate"},
		{"1080", "put p or i"},
		{"1080 60", "put p or i"},
		{"1100p60", "no usual width"},
		{"99999x10p60", "out of range"},
		{"2160p999", "out of range"},
		{"2160q60", "is not a format"},
		{"2160p-60", "is not a format"},
		{"VIC 300", "CTA code"},
		{"DMT zz", "DMT id"},
		{strings.Repeat("1", 50), "too long"},
	} {
		if _, err := ParseFormat(c.text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want an error with %q", c.text, err, c.want)
		}
	}
}

func TestResolveChooses(t *testing.T) {
	for _, c := range []struct{ format, name string }{
		{"1080p60", "CTA VIC 16"}, {"2160p60", "CTA VIC 97"}, {"480i60", "CTA VIC 6"},
		{"1920x1200p60", "DMT 0x44"}, {"1920x1200p60 full", "DMT 0x45"}, {"1024x768p60", "DMT 0x10"},
		{"1440p60", "CVT-RB"}, {"3440x1440p60", "CVT-RB"}, {"VIC 39", "CTA VIC 39"}, {"4320p200", "CVT-RB"},
	} {
		f, err := ParseFormat(c.format)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := Resolve(f); err != nil || got.Name != c.name {
			t.Errorf("%s: got %q (%v), want %q", c.format, got.Name, err, c.name)
		}
	}
	for _, text := range []string{"1440i60", "1440p60 CTA", "1440p60 DMT", "1080i60 CVT"} {
		f, err := ParseFormat(text)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := Resolve(f); err == nil {
			t.Errorf("%s: got %+v, want an error", text, got)
		}
	}
}

// Rates at 1000/1001 keep the entry and scale its clock; 25 and 50 have none.
func TestNTSCTwin(t *testing.T) {
	f, _ := ParseFormat("2160p59.94")
	got, err := Resolve(f)
	if err != nil || got.VIC != 97 || !roundsTo(got.ClockMHz, 593.407, 3) {
		t.Errorf("got %s %.4f MHz (%v), want VIC 97 at 593.407", got.Name, got.ClockMHz, err)
	}
	f, _ = ParseFormat("1080p49.95")
	if got, err := Resolve(f); err != nil || got.VIC != 0 {
		t.Errorf("49.95 Hz: got %+v (%v), want no CTA entry", got, err)
	}
}

func TestVariants(t *testing.T) {
	f, _ := ParseFormat("1920x1200p60")
	var names []string
	for _, v := range Variants(f) {
		names = append(names, v.Name)
	}
	if got, want := strings.Join(names, ", "), "DMT 0x44, DMT 0x45, CVT, CVT-RB, CVT-RB v2, GTF"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// FuzzParseFormat: what is accepted is written so that it reads back the same,
// and resolves to a sound timing or to an error.
func FuzzParseFormat(f *testing.F) {
	for _, seed := range []string{"2160p60", "1080i59.94", "1920x1200@60 RB", "4k30", "vic 16", "dmt 0x44", "1366x768p60 CVT RB v2", "1x1p0", "²160p60", "2160 p 60 hz"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		format, err := ParseFormat(text)
		if err != nil {
			return
		}
		again, err := ParseFormat(format.String())
		if err != nil || again != format {
			t.Fatalf("%q gives %q, which reads back as %+v (%v)", text, format, again, err)
		}
		timing, err := Resolve(format)
		if err != nil {
			return
		}
		if timing.ClockMHz <= 0 || timing.HTotal <= timing.Width-cellPixels || timing.VTotal <= timing.Height {
			t.Fatalf("%q: unsound timing %+v", text, timing)
		}
		if rate := timing.RateHz(); rate < format.Rate*0.9 || rate > format.Rate*1.1 {
			t.Fatalf("%q: asked %g Hz, got %g Hz", text, format.Rate, rate)
		}
	})
}
