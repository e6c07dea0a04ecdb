package kb

import (
	"math"
	"strings"
	"testing"

	"faultbook/diagnose"

	"github.com/google/go-cmp/cmp"
)

// small is a book of two causes, worked by hand in the tests below.
const small = `
kind: symptom
id: F-90
title: Nothing works
words: [it is dead]
workarounds: [Use paper.]
---
kind: question
id: lamp
title: Lamp
ask: Is the lamp on?
answers:
  - {value: "on", say: It is on, default: 0.5}
  - {value: "off", say: It is off, default: 0.5}
who: caller
minutes: 1
place: table
sense: look
---
kind: question
id: meter
title: Meter
ask: What does the meter say?
technical: Voltage at the plug.
answers: [{value: ok, say: Fine}, {value: low, say: Low}]
who: technician
minutes: 2
sense: technician
---
kind: cause
id: A-1
title: Plug out
plain: The plug is out.
why: It was pulled.
frequency: common
symptoms: [F-90]
tells: {lamp: {"off": nearly always}}
remedies: [{id: push, cures: nearly always}]
owner: visit
---
kind: cause
id: A-2
title: Supply dead
plain: The supply is dead.
why: Age.
frequency: occasional
symptoms: [F-90]
tells: {lamp: {"off": usually}, meter: {low: always}}
remedies: [{id: swap, cures: always}]
owner: visit
parts: [supply]
---
kind: remedy
id: push
title: Push the plug in
say: Push it in.
steps: [Push.]
check: Does it work?
who: caller
minutes: 1
place: table
---
kind: remedy
id: swap
title: Swap the supply
say: Swap it.
steps: [Swap.]
check: Does it work?
who: technician
minutes: 10
place: rack
---
kind: handover
id: visit
title: Visit
say: Somebody comes.
minutes: 90
wrong: 60
visit: true
---
kind: part
id: supply
title: A supply
`

func smallBook(t *testing.T) *Book {
	t.Helper()
	b := Empty()
	for _, doc := range strings.Split(small, "\n---\n") {
		if err := b.Add(strings.NewReader(doc), "small.yaml"); err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range Check(b) {
		if f.Level == LevelError {
			t.Fatal(f)
		}
	}
	return b
}

func TestCompile(t *testing.T) {
	b := smallBook(t)
	c, err := Compile(b, Setting{Symptoms: []Weighted{{"F-90", 1}}, Who: WhoCaller})
	if err != nil {
		t.Fatal(err)
	}
	// Weights 4, 1 and 5 % of 5, never below 0.5: 0.5. Shares of 5.5.
	for i, want := range []float64{4 / 5.5, 1 / 5.5, 0.5 / 5.5} {
		if got := c.Model.Causes[i].Prior; !near(got, want) {
			t.Errorf("prior of %s: %v, want %v", c.Model.Causes[i].ID, got, want)
		}
	}
	// r·row + (1-r)·default with r = 0.9: 0.9·0.93 + 0.1·0.5 = 0.887.
	lamp := c.Model.Questions[0]
	if got := lamp.Given[0][1]; !near(got, 0.887) {
		t.Errorf("P(off | plug out) = %v, want 0.887", got)
	}
	if got := lamp.Given[2][1]; got != 0.5 {
		t.Errorf("P(off | something else) = %v, want the default row's 0.5", got)
	}
	if !c.Model.Questions[1].Silent {
		t.Error("a caller would be asked for a meter")
	}
	if len(c.Remedies) != 1 || c.Remedies[0].ID != "push" {
		t.Errorf("a caller is offered %d remedies, want push alone", len(c.Remedies))
	}
	visit := c.Model.Finals[0]
	if visit.Cost[0] != 90 || visit.Cost[2] != 150 {
		t.Errorf("visit costs %v", visit.Cost)
	}
	// The part of the second cause, then the two causes that the ticket names.
	for i, want := range []diagnose.Extra{{ID: "supply", Take: 2, Miss: []float64{0, 90, 0}},
		{ID: "look-at-A-1", Take: lookAt, Miss: []float64{searchFor, 0, 0}}, {ID: "look-at-A-2", Take: lookAt, Miss: []float64{0, searchFor, 0}}} {
		if diff := cmp.Diff(want, visit.Extras[i]); diff != "" {
			t.Errorf("extra %d (-want +got):\n%s", i, diff)
		}
	}
}

func TestCompileTechnician(t *testing.T) {
	c, err := Compile(smallBook(t), Setting{Symptoms: []Weighted{{"F-90", 1}}, Who: WhoTechnician})
	if err != nil {
		t.Fatal(err)
	}
	if c.Model.Questions[1].Silent || len(c.Remedies) != 2 {
		t.Errorf("a technician gets question silent %v and %d remedies, want both", c.Model.Questions[1].Silent, len(c.Remedies))
	}
	// r = 0.97 for a technician's look: 0.97·0.98 + 0.03·0.5 = 0.9656.
	if got := c.Model.Questions[1].Given[1][1]; !near(got, 0.97*0.98+0.03*0.5) {
		t.Errorf("P(low | supply dead) = %v", got)
	}
}

func TestPriorsWithCounts(t *testing.T) {
	counts := func(_, cause string) float64 { return map[string]float64{"A-2": 60}[cause] }
	list := Priors(smallBook(t), "F-90", counts)
	// 20 pseudo-calls of the book and 60 of the site: (20/5.5 + 60) / 80.
	if want := (20/5.5 + 60) / 80; !near(list[1].Chance, want) {
		t.Errorf("P(A-2) = %v, want %v", list[1].Chance, want)
	}
	sum := 0.0
	for _, w := range list {
		sum += w.Chance
	}
	if math.Abs(sum-1) > 1e-12 {
		t.Errorf("priors sum to %v", sum)
	}
}

func TestCompileExcluded(t *testing.T) {
	c, err := Compile(smallBook(t), Setting{Symptoms: []Weighted{{"F-90", 1}}, Who: WhoCaller, Excluded: map[string]bool{"A-1": true}})
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Hypotheses) != 2 || c.Hypotheses[0].Cause != "A-2" {
		t.Errorf("hypotheses: %v", c.Hypotheses)
	}
	if _, err := Compile(smallBook(t), Setting{Symptoms: []Weighted{{"F-09", 1}}}); err == nil || !strings.Contains(err.Error(), `did you mean "F-90"`) {
		t.Errorf("unknown symptom: %v", err)
	}
}
