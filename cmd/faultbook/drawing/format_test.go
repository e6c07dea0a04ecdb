package drawing

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"faultbook/kb"
)

type format struct {
	suffix string
	write  func(*Tree, io.Writer) error
}

func formats() []format {
	return []format{
		{".txt", func(t *Tree, w io.Writer) error { return t.Text(w, 0) }},
		{"-80.txt", func(t *Tree, w io.Writer) error { return t.Text(w, 80) }},
		{".md", (*Tree).Markdown},
		{".svg", (*Tree).SVG},
		{".html", (*Tree).HTML},
	}
}

func drawn(t *testing.T, tree *Tree, f format) string {
	t.Helper()
	var b bytes.Buffer
	if err := f.write(tree, &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// wellFormed reads a drawing with the standard library's XML parser; the card
// is written so that it is XML as well as HTML.
func wellFormed(text string) error {
	d := xml.NewDecoder(strings.NewReader(text))
	d.Entity = xml.HTMLEntity
	for {
		if _, err := d.Token(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// TestEscaped: what the book says comes out as text, not as markup.
func TestEscaped(t *testing.T) {
	tree := build(t, tinyBook(t), Setting{Symptom: "F-90", Who: kb.WhoCaller, Cover: 1})
	for _, f := range formats()[2:] {
		text := drawn(t, tree, f)
		for _, tag := range []string{"<why>", "<this>", "<off>", "<now>", "<out>", "<visit>", "<shock>", "*that*"} {
			if strings.Contains(text, tag) && (tag[0] == '<' || f.suffix == ".md") {
				t.Errorf("%s: %s is not escaped", f.suffix, tag)
			}
		}
		if f.suffix == ".md" {
			continue
		}
		if err := wellFormed(text); err != nil {
			t.Errorf("%s: %v", f.suffix, err)
		}
	}
}

// TestReadable: every kind has its word in every drawing, nothing is fetched
// from elsewhere, and the picture can be read by who cannot see it.
func TestReadable(t *testing.T) {
	b := tinyBook(t)
	one := build(t, b, Setting{Symptom: "F-90", Who: kb.WhoCaller, Cover: 0.9})
	two := build(t, b, Setting{Symptom: "F-91", Who: kb.WhoCaller, Cover: 1})
	for _, f := range formats() {
		both := drawn(t, one, f) + drawn(t, two, f)
		for _, k := range []Kind{Ask, Try, Cured, HandOver, Stop, Cut} {
			if !strings.Contains(both, k.Word()) {
				t.Errorf("%s: the word %q is missing", f.suffix, k.Word())
			}
		}
		if m := regexp.MustCompile(`(src|href)="[^#]|url\(|@import`).FindString(both); m != "" {
			t.Errorf("%s fetches something: %s", f.suffix, m)
		}
	}
	svg := drawn(t, one, formats()[3])
	for _, want := range []string{`role="img"`, `aria-labelledby="tree-title tree-reading"`, `<title id="tree-title">`, `<desc id="tree-reading">`,
		"Step 1. Ask:", "go to 2.", "Step 2. Try:"} {
		if !strings.Contains(svg, want) {
			t.Errorf("svg: %s is missing", want)
		}
	}
}

// TestContrast: WCAG 2.2 asks 4.5:1 for text (1.4.3) and 3:1 for lines that
// carry meaning (1.4.11); the formula is that of its definition of relative
// luminance, from memory. Grey #777 is for lines alone.
func TestContrast(t *testing.T) {
	tree := build(t, tinyBook(t), Setting{Symptom: "F-90", Who: kb.WhoCaller, Cover: 1})
	if got := contrast("#777777"); math.Abs(got-4.48) > 0.01 { // a well-known pair, from memory
		t.Errorf("contrast of #777 on white: %v, want 4.48", got)
	}
	least := map[string]float64{"fill": 4.5, "color": 4.5, "stroke": 3, "solid": 3, "double": 3}
	seen := 0
	for _, f := range formats()[3:] {
		for _, m := range regexp.MustCompile(`(\w+)[=: "]+#([0-9a-f]{3})\b`).FindAllStringSubmatch(drawn(t, tree, f), -1) {
			want, ok := least[m[1]]
			if m[2] == "fff" {
				continue // the paper, or type on black
			}
			if !ok && m[1] != "background" {
				t.Errorf("%s: %s: no rule for this colour", f.suffix, m[0])
			}
			full := "#"
			for _, c := range m[2] {
				full += strings.Repeat(string(c), 2)
			}
			if got := contrast(full); got < want {
				t.Errorf("%s: %s has a contrast of %.2f, want %v", f.suffix, m[0], got, want)
			}
			seen++
		}
	}
	if seen < 10 {
		t.Errorf("only %d colours were looked at", seen)
	}
}

// contrast of a colour, #rrggbb, on white.
func contrast(colour string) float64 {
	sum := 0.0
	for i, k := range []float64{0.2126, 0.7152, 0.0722} {
		n, _ := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
		v := float64(n) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		sum += k * v
	}
	return 1.05 / (sum + 0.05)
}

func TestFigures(t *testing.T) {
	for p, want := range map[float64]string{0: "0 %", 1: "100 %", 0.5: "50 %", 0.0004: "under 0.1 %", 0.004: "0.4 %", 0.0099: "1.0 %",
		0.00999: "1 %", 0.999: "over 99 %", 0.994: "99 %"} {
		if got := plain(percent(p)); got != want {
			t.Errorf("percent(%v) = %q, want %q", p, got, want)
		}
	}
	for m, want := range map[float64]string{0: "1 min", 0.5: "1 min", 1.5: "2 min", 90: "90 min"} {
		if got := plain(minutes(m)); got != want {
			t.Errorf("minutes(%v) = %q, want %q", m, got, want)
		}
	}
}

func TestBreakLines(t *testing.T) {
	runes := func(s string) float64 { return float64(len([]rune(s))) }
	got := fmt.Sprintf("%q", breakLines("a bc  def "+noBreak+"g longest", 5, runes))
	if want := fmt.Sprintf("%q", []string{"a bc", "def", noBreak + "g", "longest"}); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
