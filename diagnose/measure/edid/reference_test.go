package edid

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// The reference is edid-decode of Debian (0.1~git20220315): an independent
// decoder. Its text is cut into sections of lines; the same sections are made
// from a Display (expect_*_test.go) and both are compared line by line.
//
// Where the two differ on purpose, the difference is named here:
//
//   - latency: it prints 1 + 2 x value ms, 3 ms more than the HDMI rule
//     (check value E-048); 3 is added to ours before comparing;
//   - other formula: for a standard timing that DMT does not list, it prints
//     the GTF form beside the CVT one; only the one a source of that EDID
//     version takes is listed here;
//   - few lines: below some 680 lines CVT 1.1 and 1.2 differ by a line of back
//     porch; formulas are compared above that;
//   - tiny formats: below a pixel clock of 5 MHz no formula is applied here;
//   - type II polarity: it takes the vertical polarity from a byte behind the
//     entry; the polarity of type II timings is not compared;
//   - type X, formula 3: it computes reduced blanking version 3, we list size
//     and rate only;
//   - video format data block: it stops at one ("invalid input 0"); that block
//     is checked by hand-worked cases instead;
//   - spaces: it keeps spaces at the end of a text, we drop them;
//   - audio block of a length not divisible by three: it drops the whole block,
//     we read the whole descriptors; not made by the generator;
//   - reserved bits of the colorimetry block: it lists them, we do not;
//   - fillers: it lists empty and dummy descriptors, we do not;
//   - vendor blocks: it knows some vendors' own blocks; payload bytes are
//     compared for vendors it does not know;
//   - format names: it names two audio formats (8 and 14) by their makers;
//   - VIC 39: it takes a detailed timing with the figures of VIC 39 for it only
//     if VIC 39 is listed too, we always do; not compared;
//   - borders: for an interlaced timing it leaves borders out of the total.
const referenceTool = "edid-decode"

// toolPath finds the reference tool; its absence is a failure, not a skip: the
// comparison is what the decoder is judged by.
func toolPath(t testing.TB) string {
	t.Helper()
	path, err := exec.LookPath(referenceTool)
	if err != nil {
		t.Fatalf("%s is missing: install the Debian package of that name (apt-get install edid-decode)", referenceTool)
	}
	return path
}

// runTool runs the tool on one EDID.
func runTool(t testing.TB, tool, dir string, data []byte) string {
	t.Helper()
	file := filepath.Join(dir, "edid.bin")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(tool, "--skip-hex-dump", "--skip-sha", "--preferred-timings", file)
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Run(); err != nil {
		text := out.String()
		t.Fatalf("%s: %v\n%x\n…%s", referenceTool, err, data, text[max(0, len(text)-2000):])
	}
	return out.String()
}

// sections maps a section name to its lines.
type sections map[string][]string

func (s sections) add(name, line string) { s[name] = append(s[name], line) }

var (
	timingLine = regexp.MustCompile(`^(.*?):\s+(\d+)x(\d+)(i?)\s+(\S+) Hz\s+(\d+):(\d+)\s+(\S+) kHz\s+(\S+) MHz(?: \((.*)\))?$`)
	blockLine  = regexp.MustCompile(`^Block (\d+), (.*):$`)
	checkLine  = regexp.MustCompile(`^Checksum: 0x(..)(?: \(should be 0x(..)\))?$`)
)

// timingText writes the figures of a timing the same way for both sides. Rates
// to a thousandth: the last of the tool's six places is a matter of rounding.
func timingText(kind string, width, height int, interlaced bool, hz, khz, mhz float64) string {
	scan := "p"
	if interlaced {
		scan = "i"
	}
	f := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
	return strings.Join([]string{kind, strconv.Itoa(width), strconv.Itoa(height) + scan, f(hz), f(khz), f(mhz)}, " ")
}

// parseReference cuts the tool's text into sections.
func parseReference(t testing.TB, text string) sections {
	t.Helper()
	p := &referenceParser{out: sections{}}
	for _, line := range strings.Split(text, "\n") {
		p.line(line)
	}
	return p.out
}

type referenceParser struct {
	out     sections
	block   string // "0", "1" …
	kind    string // "Base EDID"
	section string
}

func (p *referenceParser) line(line string) {
	trimmed := strings.TrimSpace(line)
	if trimmed == "" || strings.HasPrefix(trimmed, "-----") {
		return
	}
	if strings.HasPrefix(line, "Preferred Video Timing") {
		p.kind, p.section = "preferred", "preferred by block 0"
		if !strings.Contains(line, "only Block 0") {
			p.section = "preferred otherwise"
		}
		return
	}
	if p.kind == "preferred" {
		if m := timingLine.FindStringSubmatch(trimmed); m != nil {
			p.timing(m)
		}
		return
	}
	if m := blockLine.FindStringSubmatch(line); m != nil {
		p.block, p.kind, p.section = m[1], m[2], m[2]
		p.out.add("blocks", m[1])
		return
	}
	if m := checkLine.FindStringSubmatch(line); m != nil {
		p.out.add("checksum", m[1]+" "+m[2])
		return
	}
	indent := len(line) - len(strings.TrimLeft(line, " "))
	if indent == 2 {
		p.heading(trimmed)
		return
	}
	p.leaf(indent, trimmed)
}

// heading handles a line of the first level: a section or a single statement.
func (p *referenceParser) heading(s string) {
	if timingLine.MatchString(s) {
		p.section = p.kind
		p.leaf(2, s)
		return
	}
	if name, ok := strings.CutSuffix(s, ":"); ok {
		p.section = name
		return
	}
	p.out.add(p.kind, s)
	p.section = p.kind
}

// leaf files a line of a deeper level. Timings are written in the common form;
// descriptors of the base block become sections of their own.
func (p *referenceParser) leaf(indent int, s string) {
	if m := timingLine.FindStringSubmatch(s); m != nil {
		p.timing(m)
		return
	}
	if strings.HasPrefix(s, "Hfront") || strings.HasPrefix(s, "Vfront") {
		if !strings.Contains(s, "Even Field") {
			p.out.add(p.section+"/porches", porches(s))
		}
		return
	}
	if indent == 4 && strings.HasPrefix(p.section, "Detailed Timing") || strings.HasPrefix(p.section, "descriptor ") && indent == 4 {
		name, value, _ := strings.Cut(s, ":")
		p.section = "descriptor " + name
		if value != "" {
			p.out.add(p.section, strings.TrimSpace(value))
		}
		return
	}
	p.out.add(p.section, s)
}

func (p *referenceParser) timing(m []string) {
	if strings.Contains(m[10], "EDID 1.3 source") {
		return // the other formula, see the differences
	}
	num := func(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }
	kind := strings.Join(strings.Fields(m[1]), " ")
	section := p.section
	if strings.HasPrefix(section, "descriptor ") && strings.HasPrefix(kind, "DTD") {
		section = "Detailed Timing Descriptors"
		p.section = section
	}
	p.out.add(section, timingText(kind, int(num(m[2])), int(num(m[3])), m[4] == "i", num(m[5]), num(m[8]), num(m[9])))
	if m[10] != "" {
		p.out.add(section+"/flags", m[10])
	}
	if section == "Video Data Block" && m[10] == "native" {
		p.out.add("native VICs", vicNumber.FindStringSubmatch(kind)[1])
	}
}

// porches keeps the figures and polarity of a line of porches.
func porches(s string) string {
	s, _, _ = strings.Cut(s, " Vfront +")
	s, _, _ = strings.Cut(s, " Both")
	return strings.Join(strings.Fields(s), " ")
}
