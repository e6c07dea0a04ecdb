package kb

import (
	"testing"

	"faultbook/diagnose"
)

// TestClosed holds what facts and failed remedies settle, on the built-in book.
func TestClosed(t *testing.T) {
	b, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	c, err := Compile(b, Setting{Symptoms: []Weighted{{"F-10", 0.5}, {"F-12", 0.5}}, Who: WhoCaller})
	if err != nil {
		t.Fatal(err)
	}
	remedy := func(id string) int {
		for i, r := range c.Remedies {
			if r.ID == id {
				return i
			}
		}
		t.Fatalf("no remedy %s", id)
		return -1
	}
	set := func(s diagnose.State, question, value string) {
		q := c.question(question)
		s.Answers[q] = int16(c.Answer(q, value))
	}

	s := c.Model.NewState()
	set(s, "film-which", "some-titles")
	if got := c.Closed(s).Answers[c.question("film-black")]; got != int16(c.Answer(c.question("film-black"), "film-only")) {
		t.Errorf("which films are black does not imply that only films are: %d", got)
	}
	if s.Answers[c.question("film-black")] != diagnose.Open {
		t.Error("the state that was given has changed")
	}

	s = c.Model.NewState()
	set(s, "connection", "hdmi-cable")
	for _, id := range []string{"swap-adapter", "bypass-dock", "share-by-cable"} {
		if got := c.Closed(s).Trials[remedy(id)]; got != diagnose.CouldNot {
			t.Errorf("%s is proposed to somebody with a plain cable: %d", id, got)
		}
	}
	if got := c.Closed(s).Trials[remedy("swap-video-cable")]; got != diagnose.Untried {
		t.Errorf("a cable is not swapped any more: %d", got)
	}

	s = c.Model.NewState()
	s.Trials[remedy("lower-format")] = diagnose.Failed
	if got := c.Closed(s).Answers[c.question("lower-format")]; got != diagnose.Unknown {
		t.Errorf("after 1920 by 1080 was tried it is asked whether 1920 by 1080 works: %d", got)
	}
	before, after := c.Model.Believe(s), c.Model.Believe(c.Closed(s))
	for i := range before.P {
		if before.P[i] != after.P[i] {
			t.Fatalf("what a remedy settles counted as evidence: %v, %v", before.P[i], after.P[i])
		}
	}
}

// TestTold: (2·0.9 + answered) / (2 + answered + unknown), what was put
// elsewhere counted a quarter; never above the book's own chance.
func TestTold(t *testing.T) {
	for _, x := range []struct {
		told  Told
		place string
		want  float64
	}{
		{Told{}, "display", 0.9},
		{Told{Answered: map[string]int{"desk": 9}}, "display", 0.9},
		{Told{Unknown: map[string]int{"display": 4}}, "display", 1.8 / 6},
		{Told{Unknown: map[string]int{"display": 4}}, "desk", 1.8 / 3},
		{Told{Unknown: map[string]int{"display": 2}, Answered: map[string]int{"display": 1, "desk": 4}}, "display", 3.8 / 6},
	} {
		if got := x.told.chance(0.9, x.place); !near(got, x.want) {
			t.Errorf("%+v at %s: %v, want %v", x.told, x.place, got, x.want)
		}
	}
	if got := (Told{Unknown: map[string]int{"desk": 2, "": 1}}).talk(); !near(got, 1) {
		t.Errorf("talk after three that could not be told: %v, want 1 minute", got)
	}
}
