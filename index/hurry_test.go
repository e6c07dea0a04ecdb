package index

import (
	"strings"
	"testing"
)

// TestHurryTellsNothing: what a caller says of his hurry, before or after the
// fault, changes neither the symptom that is heard first nor what is heard
// besides.
func TestHurryTellsNothing(t *testing.T) {
	o := builtinOpening()
	faults := []string{"no sound", "there is no picture", "nobody can hear us", "the camera is dead", "the touch panel does not react",
		"the picture flickers", "my laptop does not find the projector", "the keyboard does nothing", "the remote people hear an echo",
		"the room computer has no network", "everything in here is dead", "the colours are green", "the wireless sharing does not connect"}
	hurry := []string{"meeting in five minutes", "the meeting starts in a minute", "the meeting starts in ten minutes", "we start in a minute",
		"our board meeting begins in 5 minutes", "the meeting has already started", "the board is waiting", "twenty people are sitting here",
		"the client arrives in ten minutes", "I present in ten", "we go live in two minutes", "I have a meeting in half an hour",
		"in five minutes we start", "in ten minutes the board comes in", "we should have started five minutes ago", "five minutes to go",
		"the presentation is about to start", "everybody is waiting for us", "we've got a call any minute now", "the webinar starts at nine",
		"meeting soon", "the customers are already here", "my talk is in a few minutes"}
	for _, fault := range faults {
		want := o.Read(fault)
		for _, h := range hurry {
			for _, said := range []string{h + ", " + fault, fault + " and " + h, h + " and " + fault} {
				got := o.Read(said)
				if got.Symptoms[0].ID != want.Symptoms[0].ID || got.Symptoms[0].Chance < want.Symptoms[0].Chance-0.15 {
					t.Errorf("%q: %s %.2f, without the hurry %s %.2f", said, got.Symptoms[0].ID, got.Symptoms[0].Chance, want.Symptoms[0].ID, want.Symptoms[0].Chance)
				}
				if len(got.Facts) > len(want.Facts) {
					t.Errorf("%q: heard %v besides", said, got.Facts)
				}
			}
		}
	}
}

// TestNoHurry: what belongs to the fault stays.
func TestNoHurry(t *testing.T) {
	for _, said := range []string{"it goes black in five minutes", "the projector starts in a minute and goes off again", "the meeting does not start",
		"the picture is from ten minutes ago", "after ten minutes it cuts out", "every five minutes the sound drops", "people at home cannot hear us",
		"people watching from home see nothing", "the client could not understand a word", "I press start and nothing happens",
		"we start the room and it stays dark", "the camera takes a minute to come", "two minutes and it is gone", "people in the back hear nothing",
		"the meeting on the screen is the wrong one", "start video does nothing", "we cannot join the meeting", "the presentation does not appear"} {
		words := cut(nil, said)
		before := textsOf(words)
		if after := textsOf(hurries.calm(words)); after != before {
			t.Errorf("%q became %q", before, after)
		}
	}
}

func textsOf(words []raw) string {
	var list []string
	for _, w := range words {
		list = append(list, w.text)
	}
	return strings.Join(list, " ")
}
