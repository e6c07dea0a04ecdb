package cases

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func chartOf(t *testing.T, s Stats) string {
	t.Helper()
	var buf bytes.Buffer
	if err := WriteChart(&buf, s, "since 2026-01-01"); err != nil {
		t.Fatal(err)
	}
	return buf.String()
}

func testStats() Stats {
	s := Stats{Calls: 70, Open: 5, OnPhone: 30, Visits: 20, Symptoms: []SymptomStat{
		{Symptom: "F-01", Title: "No picture <at all> & more", Calls: 60, OnPhone: 30, Visits: 19},
		{Symptom: "F-02", Title: strings.Repeat("very long ", 20), Calls: 9, Visits: 1},
		{Symptom: "", Title: "", Calls: 1}}}
	for i := range 15 {
		s.Causes = append(s.Causes, CauseStat{"A-" + strconv.Itoa(i), "cause \x01 title", 16 - i})
	}
	return s
}

// TestChartXML is well-formed XML with a role, a title and a description that
// says all figures.
func TestChartXML(t *testing.T) {
	text := chartOf(t, testStats())
	dec := xml.NewDecoder(strings.NewReader(text))
	dec.Strict = true
	said := map[string]string{}
	inside := ""
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			inside = tok.Name.Local
			for _, a := range tok.Attr {
				if inside == "svg" {
					said["svg "+a.Name.Local] = a.Value
				}
			}
		case xml.CharData:
			said[inside] += string(tok)
		}
	}
	if said["svg role"] != "img" || said["svg aria-labelledby"] != "fb-calls-title fb-calls-desc" || said["title"] == "" {
		t.Errorf("role %q, labelled by %q, title %q", said["svg role"], said["svg aria-labelledby"], said["title"])
	}
	for _, want := range []string{"70 calls, 65 of them ended: 30 cured on the phone (46 %), 20 visits.",
		"F-01 No picture <at all> & more: 60 calls, 30 cured on the phone, 19 visits.", "A-0 cause"} {
		if !strings.Contains(said["desc"], want) {
			t.Errorf("the description does not say %q: %s", want, said["desc"])
		}
	}
	for _, want := range []string{"F-01 No picture <at all> & more", "60 calls, 30 cured on the phone, 19 visits", "A-0 cause"} {
		if !strings.Contains(said["text"], want) {
			t.Errorf("no label says %q", want)
		}
	}
}

var barShape = regexp.MustCompile(`<rect x="([\d.]+)" y="(\d+)" width="([\d.]+)" height="16"`)
var labelShape = regexp.MustCompile(`<text x="(\d+)" y="(\d+)" font-size="\d+">([^<]*)</text>`)

// TestChartBars holds that each bar has its figures beside it, in words, and
// that bars and labels stay inside the picture: a letter of 15 units is taken
// as 9 wide, more than the average of any common face.
func TestChartBars(t *testing.T) {
	text := chartOf(t, testStats())
	labels := labelShape.FindAllStringSubmatch(text, -1)
	outlines := 0
	for _, bar := range barShape.FindAllStringSubmatch(text, -1) {
		x, y, w := atof(t, bar[1]), atof(t, bar[2]), atof(t, bar[3])
		if x+w > chartMargin+barLongest+0.2 {
			t.Errorf("bar %s ends at %g", bar[0], x+w)
		}
		if x != chartMargin || !strings.Contains(text, bar[0]+` fill="none"`) {
			continue // a part of a bar
		}
		outlines++
		found := false
		for _, l := range labels {
			lx, ly := atof(t, l[1]), atof(t, l[2])
			found = found || ly > y && ly <= y+barHeight && lx >= x+w && lx < x+w+20 && strings.Contains(l[3], "call")
		}
		if !found {
			t.Errorf("bar %s has no figures beside it", bar[0])
		}
	}
	if outlines != 3+chartCauses {
		t.Errorf("%d bars, want %d", outlines, 3+chartCauses)
	}
	for _, l := range labels {
		if end := atof(t, l[1]) + 9*float64(len([]rune(l[3]))); end > chartWidth {
			t.Errorf("label %q may end at %g of %d", l[3], end, chartWidth)
		}
	}
}

func atof(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

var paintShape = regexp.MustCompile(`(?:fill|stroke)="([^"]*)"`)

var colourShape = regexp.MustCompile(`color:(#[0-9a-f]{3,6});background:(#[0-9a-f]{3,6})`)

// TestChartContrast computes the contrast of every pair of colours as WCAG 2.2
// defines it (relative luminance and contrast ratio, from memory): at least
// 4.5:1 is asked of text (1.4.3), and black on white is 21:1. No colour stands
// outside the style, and no part differs from another in colour.
func TestChartContrast(t *testing.T) {
	if got := contrast(t, "#000", "#fff"); math.Abs(got-21) > 1e-9 {
		t.Fatalf("black on white is %g:1", got)
	}
	text := chartOf(t, testStats())
	pairs := colourShape.FindAllStringSubmatch(text, -1)
	if len(pairs) != 3 {
		t.Fatalf("%d pairs of colours, want bright, dark and print", len(pairs))
	}
	for _, p := range pairs {
		if got := contrast(t, p[1], p[2]); got < 4.5 {
			t.Errorf("%s on %s is %.1f:1", p[1], p[2], got)
		}
	}
	for _, paint := range paintShape.FindAllStringSubmatch(text, -1) {
		if p := paint[1]; p != "currentColor" && p != "none" && p != "url(#fb-calls-visit)" {
			t.Errorf("painted in %q", p)
		}
	}
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	hex := colour[1:]
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// TestChartEmpty draws no calls without a fault.
func TestChartEmpty(t *testing.T) {
	if text := chartOf(t, Stats{}); !strings.Contains(text, "0 calls") || strings.Contains(text, "NaN") {
		t.Errorf("chart of nothing:\n%s", text)
	}
}
