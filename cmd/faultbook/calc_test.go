package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/sums"

	"github.com/spf13/cobra"
)

// calc runs the command as the program does and returns its output and status.
func calc(t *testing.T, in string, args ...string) (out, errs string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	s := streams{In: strings.NewReader(in), Out: &o, Err: &e}
	root := &cobra.Command{Use: "faultbook", SilenceErrors: true, SilenceUsage: true}
	root.SetIn(s.In)
	root.SetOut(s.Out)
	root.SetErr(s.Err)
	root.AddCommand(newCalcCommand(s))
	entered := false
	markEntered(root, &entered)
	root.SetArgs(append([]string{"calc"}, args...))
	code = report(&e, root.Execute(), entered)
	return o.String(), e.String(), code
}

// words splits an example of the help as a shell does: spaces, double quotes.
func words(line string) []string {
	var out []string
	for i, piece := range strings.Split(line, `"`) {
		if i%2 == 1 {
			out = append(out, piece)
			continue
		}
		out = append(out, strings.Fields(piece)...)
	}
	return out
}

// The example of every sum runs, gives sound JSON and text with its parts.
func TestCalcExamples(t *testing.T) {
	for _, sum := range sums.All() {
		args := words(sum.Example)[2:]
		out, errs, code := calc(t, "", append(args, "--json")...)
		if code != 0 || errs != "" {
			t.Errorf("%s: status %d, %s", sum.Example, code, errs)
			continue
		}
		var r struct {
			Name, Verdict, Sentence, Formula, Source string
			CheckValue                               string `json:"check_value_id"`
			Result                                   any
			Unit                                     *string
			Inputs, Outputs, Sources, Facts          []any
			Parts, Notes                             []any
		}
		if err := json.Unmarshal([]byte(out), &r); err != nil {
			t.Errorf("%s: %v", sum.Name, err)
			continue
		}
		if r.Name != sum.Name || r.Verdict == "" || r.Sentence == "" || r.Formula == "" || r.Source == "" || r.CheckValue == "" ||
			r.Result == nil || r.Unit == nil || r.Inputs == nil || r.Facts == nil || r.Parts == nil || r.Notes == nil || len(r.Outputs) == 0 {
			t.Errorf("%s: incomplete JSON %s", sum.Name, out)
		}
		text, _, code := calc(t, "", args...)
		if code != 0 || !strings.Contains(text, r.Sentence) || !strings.Contains(text, r.Formula) || !strings.Contains(text, r.CheckValue) {
			t.Errorf("%s: text lacks something:\n%s", sum.Name, text)
		}
		help, _, code := calc(t, "", sum.Name, "--help")
		if code != 0 || strings.Contains(help, "stringArray") || strings.Contains(help, "[]") {
			t.Errorf("%s: help:\n%s", sum.Name, help)
		}
	}
}

func TestCalcLists(t *testing.T) {
	out, _, code := calc(t, "")
	for _, name := range measure.Names() {
		if !strings.Contains(out, "\n"+name+" ") && !strings.HasPrefix(out, name+" ") {
			t.Errorf("the list lacks %s", name)
		}
	}
	if code != 0 {
		t.Errorf("status %d", code)
	}
	out, _, _ = calc(t, "", "--json")
	var rows []struct{ Name, Summary, Example string }
	if err := json.Unmarshal([]byte(out), &rows); err != nil || len(rows) != len(measure.Names()) || rows[0].Example == "" {
		t.Errorf("JSON list: %v, %s", err, out)
	}
}

// Wrong use says what to do, names the flag and ends with 2.
func TestCalcWrongUse(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"lnik"}, `there is no sum "lnik"; did you mean link?`},
		{[]string{"zzzzzz"}, `there is no sum "zzzzzz" (faultbook calc lists them)`},
		{[]string{"link", "2160p60"}, `"2160p60" stands alone`},
		{[]string{"link", "--fromat", "2160p60"}, "unknown flag: --fromat"},
		{[]string{"link"}, "--format: missing"},
		{[]string{"link", "--format", "1080p60", "--format", "720p60"}, "--format: given 2 times"},
		{[]string{"voltage-drop", "--supply", "12", "--current", "3m", "--length", "-3m"},
			"--supply: \"12\" has no unit; write \"12 V\"\n  --current: \"3m\" is in a unit of length"},
		{[]string{"voltage-drop", "--supply", "12V", "--current", "3A", "--length", "-3m", "--wire", "24AWG"}, "--length: -3m is out of range"},
		{[]string{"poe", "--budget", "120 V", "--device", "class 4"}, "--budget: \"120 V\" is in a unit of voltage"},
		{[]string{"link", "--format", "1080p60", "--edid", "no-such-file"}, "--edid: open no-such-file"},
		{[]string{"link", "--format", "1080p60", "--edid", "-"}, "has no EDID"},
	} {
		out, errs, code := calc(t, "no display here", c.args...)
		if code != 2 || out != "" || !strings.Contains(errs, c.want) {
			t.Errorf("%v: status %d, out %q, errors %q, want %q", c.args, code, out, errs, c.want)
		}
	}
}

// A verdict is an answer: the status is 0 even where it is fail.
func TestCalcVerdictIsNoFailure(t *testing.T) {
	out, _, code := calc(t, "", "link", "--format", "8K200", "--part", "cable=165 MHz")
	if code != 0 || !strings.HasPrefix(out, "FAIL  ") {
		t.Errorf("status %d:\n%s", code, out)
	}
	for clock, want := range map[string]string{"340.0": "PASS", "339.99": "PASS", "338.74": "FAIL"} {
		out, _, _ := calc(t, "", "timing", "--format", "2160p30 CVT", "--limit", clock+"MHz")
		if !strings.HasPrefix(out, want) {
			t.Errorf("338.75 of %s: %s", clock, out)
		}
	}
}

// The display's own EDID is the last part, from a file or standard input.
func TestCalcEDID(t *testing.T) {
	vector := filepath.Join("..", "..", "diagnose", "measure", "sums", "testdata", "edid", "h.txt")
	data, err := os.ReadFile(vector)
	if err != nil {
		t.Fatal(err)
	}
	want := "display (TEST-H MAP): it carries 590 MHz and 594 MHz is needed"
	for _, file := range []string{vector, "-"} {
		out, errs, code := calc(t, string(data), "link", "--format", "2160p60", "--part", "source=HDMI 2.0", "--edid", file)
		if code != 0 || !strings.Contains(out, want) {
			t.Errorf("--edid %s: status %d, %s%s", file, code, out, errs)
		}
	}
}

func TestChart(t *testing.T) {
	for _, c := range []struct {
		part measure.Part
		want string
	}{
		{measure.Part{Need: 340, Capacity: 340, OK: true, Judged: true}, "[####################] 100 %  ok"},
		{measure.Part{Need: 339.9, Capacity: 340, OK: true, Judged: true}, "[###################.] 100 %  ok"},
		{measure.Part{Need: 340.01, Capacity: 340, Judged: true}, "[####################> over 100 %  OVER"},
		{measure.Part{Need: 170, Capacity: 340, OK: true, Judged: true}, "[##########..........] 50 %  ok"},
		{measure.Part{Need: 9999, Capacity: 1, Judged: true}, "[####################>>>>>>>>>>>>>>>>>>>> 99999 %  OVER"},
		{measure.Part{Need: 340, Note: "not known"}, "[????????????????????]  not known"},
		{measure.Part{Need: 1, Capacity: 2, OK: true, Judged: true, Note: "long"}, "[##########..........] 50 %  tight: long"},
	} {
		if got := bar(c.part); got != c.want {
			t.Errorf("%+v: got %q, want %q", c.part, got, c.want)
		}
	}
}

func TestHang(t *testing.T) {
	if got := hang("  a  ", "one two three four five six", 27); got != "  a  one two three four\n     five six\n" {
		t.Errorf("got %q", got)
	}
	if got := hang("  a  ", "one two", 0); got != "  a  one two\n" {
		t.Errorf("got %q", got)
	}
}

// BenchmarkCalcLink is the slowest sum from command line to text; a call of
// calc may take 60 ms from start to output.
func BenchmarkCalcLink(b *testing.B) {
	for b.Loop() {
		s := streams{In: strings.NewReader(""), Out: &bytes.Buffer{}, Err: &bytes.Buffer{}}
		cmd := newCalcCommand(s)
		cmd.SetArgs([]string{"link", "--format", "2160p60", "--depth", "12", "--part", "source=HDMI 2.0", "--part", "cable=High Speed, 7 m", "--part", "display=300 MHz"})
		if err := cmd.Execute(); err != nil {
			b.Fatal(err)
		}
	}
}
