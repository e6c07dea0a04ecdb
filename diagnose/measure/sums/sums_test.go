package sums

import (
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"faultbook/diagnose/measure"
)

// The list of names and the sums are alike, and every sum is described.
func TestRegistry(t *testing.T) {
	var names []string
	for _, s := range All() {
		names = append(names, s.Name)
		if s.Summary == "" || s.Run == nil || len(s.Inputs) == 0 || !strings.HasPrefix(s.Example, "faultbook calc "+s.Name+" ") {
			t.Errorf("%s: not fully described", s.Name)
		}
		seen := map[string]bool{}
		for _, in := range s.Inputs {
			if seen[in.Name] || in.Help == "" || in.Required && in.Default != "" {
				t.Errorf("%s: input %s is wrong", s.Name, in.Name)
			}
			seen[in.Name] = true
			if in.Kind == measure.KindWord && in.Default != "" && !slices.Contains(in.Words, in.Default) {
				t.Errorf("%s: default %q of %s is not one of its words", s.Name, in.Default, in.Name)
			}
			if (in.Kind == measure.KindFigure || in.Kind == measure.KindCount) && in.Max <= in.Min {
				t.Errorf("%s: input %s has no range", s.Name, in.Name)
			}
		}
	}
	if !slices.Equal(names, measure.Names()) {
		t.Errorf("sums %v, names %v", names, measure.Names())
	}
	if _, ok := Find("nothing"); ok {
		t.Error("found a sum that is not there")
	}
}

// run works a sum out or fails the test.
func run(t *testing.T, name string, v measure.Values) measure.Result {
	t.Helper()
	s, ok := Find(name)
	if !ok {
		t.Fatalf("no sum %q", name)
	}
	r, err := s.Run(v)
	if err != nil {
		t.Fatalf("%s %v: %v", name, v, err)
	}
	sound(t, s, r)
	return r
}

var idPattern = regexp.MustCompile(`^[A-Z]-\d{3}$`)

// sound checks what every result promises: a sentence, a formula, sources with
// check values, facts that the sum declared, finite figures, no null list.
func sound(t *testing.T, s measure.Sum, r measure.Result) {
	t.Helper()
	if r.Name != s.Name || r.Sentence == "" || !strings.HasSuffix(r.Sentence, ".") || r.Formula == "" || r.Rounding == "" ||
		len(r.Outputs) == 0 || len(r.Sources) == 0 {
		t.Errorf("%s: incomplete result %+v", s.Name, r)
	}
	for _, src := range r.Sources {
		if !idPattern.MatchString(src.CheckValue) || src.Words == "" {
			t.Errorf("%s: source %+v", s.Name, src)
		}
	}
	for _, f := range r.Facts {
		i := slices.IndexFunc(s.Facts, func(d measure.FactName) bool { return d.Name == f.Name })
		if i < 0 || !slices.Contains(s.Facts[i].Values, f.Value) {
			t.Errorf("%s: fact %s = %s is not declared", s.Name, f.Name, f.Value)
		}
	}
	for _, q := range r.Outputs {
		if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || strings.Contains(q.Text, "NaN") || strings.Contains(q.Text, "Inf") {
			t.Errorf("%s: output %+v", s.Name, q)
		}
	}
	data, err := json.Marshal(r)
	if err != nil || strings.Contains(string(data), `:null,"`) && !strings.Contains(string(data), `"value":null`) {
		t.Errorf("%s: JSON %s, %v", s.Name, data, err)
	}
}

// expect is one call of a sum with what it must say.
type expect struct {
	name    string
	sum     string
	values  measure.Values
	verdict measure.Verdict
	output  string  // name of an output
	value   float64 // its value, to the places of want
	places  int
	facts   string // "a=yes b=no"
}

func check(t *testing.T, list []expect) {
	t.Helper()
	for _, c := range list {
		r := run(t, c.sum, c.values)
		if r.Verdict != c.verdict {
			t.Errorf("%s: got %s (%s), want %s", c.name, r.Verdict, r.Sentence, c.verdict)
		}
		if c.output != "" {
			q, ok := r.Output(c.output)
			if !ok || math.Abs(q.Value-c.value) > 0.5000001*math.Pow(10, -float64(c.places)) {
				t.Errorf("%s: %s is %+v, want %g", c.name, c.output, q, c.value)
			}
		}
		for want := range strings.FieldsSeq(c.facts) {
			name, value, _ := strings.Cut(want, "=")
			if got := r.Fact(name); got != value {
				t.Errorf("%s: fact %s is %q, want %q", c.name, name, got, value)
			}
		}
	}
}

// v builds values from pairs; a name may come more than once.
func v(pairs ...string) measure.Values {
	out := measure.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		out[pairs[i]] = append(out[pairs[i]], pairs[i+1])
	}
	return out
}

// Every sum says which input is missing or wrong.
func TestErrors(t *testing.T) {
	for _, c := range []struct {
		sum    string
		values measure.Values
		want   string
	}{
		{"link", v(), "format: missing"},
		{"link", v("format", "2160p60", "part", "cable=-3 m"), "part: "},
		{"link", v("format", "2160p60", "depth", "9 bit"), "depth: 9 bit is not one of"},
		{"link", v("format", "2160p60", "chroma", "5:5:5"), "chroma: "},
		{"link", v("format", "1440i60"), "format: 2560x1440i60"},
		{"timing", v("format", "1080p60", "limit", "5 W"), "limit: "},
		{"dock", v("rate", "HBR2", "picture", "2160p60, blue"), "picture: "},
		{"dock", v("rate", "HBR9", "picture", "2160p60"), `rate: "HBR9" is not one of`},
		{"hdcp", v("device", "source=2.2"), "device: a chain has a source"},
		{"usb-power", v("device", "camera=5 V"), "device: "},
		{"usb-power", v("device", "500"), "has no unit"},
		{"usb-power", v("hub", "bus-powered", "device", "1mA", "device", "1mA", "device", "1mA", "device", "1mA", "device", "1mA"), "at most 4 ports"},
		{"usb-bandwidth", v("stream", "1080p30"), "is not a stream"},
		{"usb-tiers", v("hub", "dock"), "hub: "},
		{"usb-tiers", v("cable", "-5 m"), "cable: "},
		{"poe", v("device", "class 9"), "class 9 does not exist"},
		{"poe", v("device", "80 W"), "more than any class"},
		{"subnet", v("host", "192.168.1.5"), "has no mask"},
		{"subnet", v("host", "192.168.1.5/24", "gateway", "x"), "gateway: "},
		{"throughput", v("link", "100 MB"), "link: "},
		{"multicast", v("group", "192.168.1.1"), "not an IPv4 multicast group"},
		{"audio-level", v("level", "4 dB"), "is not a level"},
		{"audio-level", v("level", "+3 dBFS"), "above digital full scale"},
		{"audio-level", v("level", "-1 V"), "above 0"},
		{"audio-mix", v("level", "1 dB"), "at least two"},
		{"lip-sync", v(), "picture: missing"},
		{"speaker-line", v(), "give either the taps"},
		{"speaker-line", v("speaker", "6W x 0"), "at least one"},
		{"speaker-line", v("speaker", "6W", "length", "5m"), "needs both"},
		{"serial", v("baud", "9600", "frame", "9N9"), "frame: "},
		{"parity", v("hex", "5Z"), "is not hex"},
		{"parity", v("text", "A", "hex", "41"), "either as --text"},
		{"voltage-drop", v("supply", "12V", "current", "3A", "length", "-3m", "wire", "24AWG"), "length: -3m is out of range"},
		{"voltage-drop", v("supply", "5V", "current", "3A", "length", "3m", "wire", "24AWG", "least", "6V"), "more than the supply has"},
		{"heat", v("load", "-5 W"), "load: "},
		{"rack", v("size", "12 m", "device", "1U"), "size: "},
		{"picture", v(), "give either the diagonal"},
		{"picture", v("diagonal", "85in", "aspect", "0:9"), "aspect: "},
		{"luminance", v("lumens", "5000lm"), "give either the diagonal"},
		{"legibility", v("letter", "10mm"), "distance: missing"},
		{"frame-rate", v("rate", "0 Hz"), "out of range"},
		{"cec", v("blocks", "17"), "out of range"},
	} {
		s, _ := Find(c.sum)
		if r, err := s.Run(c.values); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %v: got %q, %v, want an error with %q", c.sum, c.values, r.Sentence, err, c.want)
		}
	}
}

// Rules of thumb and values from memory are labelled so.
func TestLabels(t *testing.T) {
	for _, c := range []struct {
		sum    string
		values measure.Values
		id     string
		words  string
	}{
		{"link", v("format", "2160p60", "part", "cable=Premium High Speed, 10 m"), "H-039", "common practice, no source"},
		{"dock", v("rate", "hbr2", "picture", "1080p60"), "H-021", "from memory"},
		{"voltage-drop", v("supply", "12V", "current", "3A", "length", "15m", "wire", "24AWG"), "W-012", "common practice, no source"},
		{"speaker-line", v("speaker", "6W", "amplifier", "10W"), "A-035", "common practice, no source"},
		{"multicast", v("group", "239.1.1.1"), "N-037", "from memory (RFC 1112 §6.4)"},
	} {
		r := run(t, c.sum, c.values)
		i := slices.IndexFunc(r.Sources, func(s measure.Source) bool { return s.CheckValue == c.id })
		if i < 0 || !strings.Contains(r.Sources[i].Words, c.words) {
			t.Errorf("%s: sources %+v, want %s with %q", c.sum, r.Sources, c.id, c.words)
		}
	}
}
