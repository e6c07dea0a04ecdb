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

// TestMeetingIn reads how long it is until the meeting.
func TestMeetingIn(t *testing.T) {
	for said, want := range map[string]float64{
		"no sound, meeting in five minutes":                        5,
		"the client arrives in ten minutes and nobody can hear us": 10,
		"our meeting starts in half an hour, the screen is black":  30,
		"I have a call in a quarter of an hour":                    15,
		"we present in 5 min and there is no picture":              5,
		"I present in ten":                                          10,
		"the board meeting begins in an hour":                       60,
		"we go live in a couple of minutes":                         2,
		"the meeting has already started":                           0,
		"we should have started ten minutes ago":                    0,
		"the presentation is about to start":                        1,
		"any minute now the guests arrive":                          1,
		"five minutes to go and the projector is dead":              5,
		"the webinar starts in twenty five minutes":                 25,
		"it goes black in five minutes":                             -1,
		"every ten minutes the picture is gone":                     -1,
		"the picture is from ten minutes ago":                       -1,
		"the screen takes two minutes to come on":                   -1,
		"meeting soon, no picture":                                  -1,
		"the board is waiting":                                      -1,
		"the projector goes off half an hour into the meeting":      -1,
		"we had the first of two meetings today and now no picture": -1,
	} {
		got, ok := MeetingIn(said)
		if !ok {
			got = -1
		}
		if got != want {
			t.Errorf("%q: %v minutes, want %v", said, got, want)
		}
	}
}
