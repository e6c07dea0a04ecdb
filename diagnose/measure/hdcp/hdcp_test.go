package hdcp

import (
	"strings"
	"testing"

	"faultbook/diagnose/measure"
)

func devices(t *testing.T, texts ...string) []Device {
	t.Helper()
	var out []Device
	for _, text := range texts {
		d, err := ParseDevice(text)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, d)
	}
	return out
}

// Source: check values P-001 to P-011 (read in open kernel and driver headers;
// from memory HDCP 1.4 and 2.2; P-005 common practice, no source).
func TestJudge(t *testing.T) {
	repeaters := func(n int, version string) []string {
		out := []string{"source=" + version}
		for range n {
			out = append(out, "switcher="+version)
		}
		return append(out, "display="+version)
	}
	for _, c := range []struct {
		name    string
		content Content
		chain   []string
		want    measure.Verdict
		why     string
	}{
		{"P-008: type 0 to a 1.4 display", Type0, []string{"source=2.2", "switcher=2.2", "display=1.4"}, measure.Pass, "common version"},
		{"P-009: type 1 to a 1.4 display", Type1, []string{"source=2.2", "switcher=2.2", "display=1.4"}, measure.Fail, "display has 1.4"},
		{"P-007: type 1 through a 1.4 switcher", Type1, []string{"source=2.2", "switcher=1.4", "display=2.2"}, measure.Fail, "switcher has 1.4"},
		{"P-007: type 1 all the way", Type1, []string{"source=2.2", "switcher=2.3", "display=2.2"}, measure.Pass, ""},
		{"P-010: 1.4 source on a 2.2-only input", Type0, []string{"source=1.4", "switcher=2.2 only", "display=2.2"}, measure.Fail, "no version in common"},
		{"P-011: unprotected", Unprotected, []string{"source=1.4", "recorder=none"}, measure.Pass, "needs no HDCP"},
		{"P-012: recorder without HDCP", Type0, []string{"source=1.4", "recorder=none"}, measure.Fail, "recorder has no HDCP"},
		{"transparent extender", Type1, []string{"source=2.2", "extender=transparent", "display=2.2"}, measure.Pass, ""},
		{"P-002: seven levels of 1.x", Type0, repeaters(7, "1.4"), measure.Tight, "many sources stop"},
		{"P-002: eight levels of 1.x", Type0, repeaters(8, "1.4"), measure.Fail, "8 levels"},
		{"P-003: four levels of 2.x", Type0, repeaters(4, "2.2"), measure.Tight, "many sources stop"},
		{"P-003: five levels of 2.x", Type0, repeaters(5, "2.2"), measure.Fail, "5 levels"},
		{"P-002: 127 devices", Type0, []string{"source=1.4, max 200 sinks", "splitter=1.4", "display=1.4, x 127"}, measure.Pass, "within"},
		{"P-002: 128 devices", Type0, []string{"source=1.4", "splitter=1.4", "display=1.4, x 128"}, measure.Fail, "128 devices"},
		{"P-003: 31 devices", Type0, []string{"source=2.2, max 200 sinks", "splitter=2.2", "display=2.2, x 31"}, measure.Pass, "within"},
		{"P-003: 32 devices", Type0, []string{"source=2.2", "splitter=2.2", "display=2.2, x 32"}, measure.Fail, "32 devices"},
		{"P-005: a source that stops at four", Type0, []string{"source=2.2, max 4 sinks", "splitter=2.2", "display=2.2, x 4"}, measure.Fail, "takes"},
		{"P-005: exactly four", Type0, []string{"source=2.2, max 4 sinks", "splitter=2.2", "display=2.2, x 3"}, measure.Pass, "within"},
	} {
		r, err := Judge(c.content, devices(t, c.chain...))
		if err != nil || r.Verdict != c.want || !strings.Contains(r.Why, c.why) {
			t.Errorf("%s: got %s %q (%v), want %s %q", c.name, r.Verdict, r.Why, err, c.want, c.why)
		}
	}
}

// Source: check value P-004: the reporting repeater does not count itself.
func TestCounts(t *testing.T) {
	r, err := Judge(Type0, devices(t, "source=2.2", "switcher=2.2", "splitter=2.2", "display=2.2, x 3"))
	if err != nil || r.Devices != 4 || r.Levels != 2 || r.sinks() != 5 {
		t.Errorf("got %d devices, %d levels, %d sinks (%v), want 4, 2, 5", r.Devices, r.Levels, r.sinks(), err)
	}
}

func TestErrors(t *testing.T) {
	for _, text := range []string{"", "display", "=1.4", "display=", "display=9.9", "display=1.4, 2.2", "display=1.4, x 0", "display=1.4, blue"} {
		if d, err := ParseDevice(text); err == nil {
			t.Errorf("%q: got %+v, want an error", text, d)
		}
	}
	for _, chain := range [][]string{{"source=2.2"}, {"source=2.2", "extender=transparent"}} {
		if r, err := Judge(Type0, devices(t, chain...)); err == nil {
			t.Errorf("%v: got %+v, want an error", chain, r)
		}
	}
}

// FuzzParseDevice: no text may panic; what is accepted takes part in a chain.
func FuzzParseDevice(f *testing.F) {
	for _, seed := range []string{"source=2.2, max 4 sinks", "display=1.4, x 12", "a=none", "b=transparent, repeater"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDevice(text)
		if err != nil {
			return
		}
		if d.Copies < 1 || d.Label == "" {
			t.Fatalf("%q gives %+v", text, d)
		}
		Judge(Type1, []Device{{Label: "source", Family: Family{V1: true, V2: true}, Copies: 1}, d, d})
	})
}
