package kb

import (
	"strings"
	"testing"
)

func TestFactValueHolds(t *testing.T) {
	for _, c := range []struct {
		want, value string
		holds       bool
	}{
		{"yes", "yes", true}, {"yes", "no", false}, {"100", "100", true}, {"100", "1000", false},
		{">=1000", "1000", true}, {">=1000", "2500", true}, {">=1000", "999.9", false},
		{"> 15.4", "15.4", false}, {">15.4", "15.5", true},
		{"<480", "12", true}, {"<480", "480", false}, {"<=150", "150", true}, {"<=150", "150.5", false},
		{"<=150", "little", false}, {"<480", "", false}, {">=-3", "-2", true},
		{"<word", "<word", true}, // no number, so a word; Check refuses it in a book
	} {
		if got := (FactValue{"f", c.want}).Holds(c.value); got != c.holds {
			t.Errorf("%q against %q: %v", c.value, c.want, got)
		}
	}
}

func TestAnswered(t *testing.T) {
	q := &Question{Answers: []Answer{{Value: "fits"}, {Value: "hub"}, {Value: "port"}}, Measured: []Measured{
		{Fact: "ok", Value: "true", Answer: "fits"},
		{Fact: "ok", Value: "false", And: []FactValue{{"current", "<=150"}}, Answer: "hub"},
		{Fact: "ok", Value: "false", Answer: "port"},
		{Fact: "gone", Value: "true", Answer: "no-such-answer"},
	}}
	for _, c := range []struct {
		facts      map[string]string
		answer, by string
	}{
		{map[string]string{"ok": "true", "current": "100"}, "fits", "ok"},
		{map[string]string{"ok": "false", "current": "100"}, "hub", "ok current"},
		{map[string]string{"ok": "false", "current": "500"}, "port", "ok"},
		{map[string]string{"ok": "false"}, "port", "ok"},
		{map[string]string{"ok": "perhaps"}, "", ""},
		{map[string]string{"current": "100"}, "", ""},
		{map[string]string{"gone": "true"}, "", ""},
		{nil, "", ""},
	} {
		answer, by, ok := q.Answered(c.facts)
		if answer != c.answer || strings.Join(by, " ") != c.by || ok != (c.answer != "") {
			t.Errorf("%v: %q by %v, %v; want %q by %q", c.facts, answer, by, ok, c.answer, c.by)
		}
	}
}

// measuredQuestion is a question with rows that are wrong in each way.
const measuredQuestion = `kind: question
id: speed
title: Speed
ask: How fast is it?
answers: [{value: slow, say: Slow}, {value: fast, say: Fast}]
who: caller
minutes: 1
sense: look
sum: thruput
measured:
  - {fact: link-speed, value: ">=1000", answer: fast}
  - {fact: link-speed, value: ">=fast", answer: fast}
  - {fact: link-sped, value: "10", answer: slow}
  - {fact: link-duplex, value: quarter, and: [{fact: link-duplex, value: ">1"}], answer: slow}
  - {fact: link-speed, value: quick, answer: quickly}
`

func TestCheckMeasured(t *testing.T) {
	b := smallBook(t)
	if err := b.Add(strings.NewReader(measuredQuestion), "speed.yaml"); err != nil {
		t.Fatal(err)
	}
	found := func(list []Finding, code, text string, line int) {
		t.Helper()
		for _, f := range list {
			if f.Code == code && strings.Contains(f.Text, text) && f.Line == line {
				return
			}
		}
		t.Errorf("no %s with %q in line %d: %v", code, text, line, list)
	}
	own := Check(b)
	found(own, "bad-comparison", `">=fast"`, 12)
	found(own, "unknown-answer", `"quickly"`, 15)
	list := CheckMeasured(b, Instruments{Sums: []string{"throughput"}, Facts: map[string]FactKind{
		"link-speed": {Number: true}, "link-duplex": {Values: []string{"full", "half"}}}})
	found(list, "unknown-sum", `no sum "thruput" (did you mean "throughput"?)`, 9)
	found(list, "unknown-fact", `"link-sped" (did you mean "link-speed"?)`, 13)
	found(list, "unknown-fact-value", `never "quarter": it is one of full, half`, 14)
	found(list, "unknown-fact-value", "no number, so nothing is >1", 14)
	found(list, "unknown-fact-value", `a number, never "quick"`, 15)
	for _, f := range list {
		if f.Level != LevelWarning {
			t.Errorf("%v must be a warning: the book still loads", f)
		}
	}
}

// TestCompileInstrument holds that a question which an instrument answered is
// trusted with r = 0.995 whatever its sense, and that others are not touched.
func TestCompileInstrument(t *testing.T) {
	c, err := Compile(smallBook(t), Setting{Symptoms: []Weighted{{"F-90", 1}}, Who: WhoCaller, Instrument: map[string]bool{"lamp": true}})
	if err != nil {
		t.Fatal(err)
	}
	// The design's r·row + (1-r)·default: 0.995·0.93 + 0.005·0.5.
	if got := c.Model.Questions[0].Given[0][1]; !near(got, 0.995*0.93+0.005*0.5) {
		t.Errorf("P(off | plug out) = %v, want %v", got, 0.995*0.93+0.005*0.5)
	}
	// A caller's word on the meter: r = 0.97 of its sense, 0.97·0.98 + 0.03·0.5.
	if got := c.Model.Questions[1].Given[1][1]; !near(got, 0.97*0.98+0.03*0.5) {
		t.Errorf("P(low | supply dead) = %v", got)
	}
}
