package call

import (
	"strings"
	"testing"

	"faultbook/kb/cases"
)

// TestOtherComplaint keeps the second of two complaints, offers it after the
// first is mended, goes on with it, and ends where all is well.
func TestOtherComplaint(t *testing.T) {
	d := newDesk(t)
	words := "there is no sound from the loudspeakers. And also the projector switches itself off after half an hour"
	for _, more := range []bool{true, false} {
		c := d.open(t, words)
		o := do(t, c, In{Symptom: "F-06"})
		if len(o.Also) != 1 || o.Also[0].Symptom != "F-20" {
			t.Fatalf("kept are %+v", o.Also)
		}
		o = do(t, c, In{Tried: &cases.Tried{Remedy: "unmute-room", Result: cases.Cured}})
		if o.Step.ID != AskSymptom || o.Step.Answers[0].Value != "F-20" || o.Ticket != "" {
			t.Fatalf("after the first cure the step is %s %s", o.Step.Kind, o.Step.ID)
		}
		if !more {
			if o = do(t, c, answer(AskSymptom, NothingElse)); o.Step.Kind != StepDone || strings.Contains(o.Ticket, "not looked at") {
				t.Errorf("all is well, yet the step is %s and the ticket %s", o.Step.Kind, o.Ticket)
			}
			continue
		}
		o = do(t, c, answer(AskSymptom, "F-20"))
		if o.Step.Kind == StepDone || o.Symptoms[0].ID != "F-20" || len(o.Also) != 0 || len(o.Found) != 1 || c.File().Ended() {
			t.Errorf("the other complaint is not taken up: %s %s, found %v", o.Step.Kind, o.Step.ID, o.Found)
		}
	}
}

// TestOneComplaint keeps nothing where one thing is told in several sentences.
func TestOneComplaint(t *testing.T) {
	d := newDesk(t)
	o, err := d.open(t, "the screen is black. I have a meeting in ten minutes and the guests are here").Out()
	if err != nil || len(o.Also) != 0 {
		t.Errorf("kept are %+v, %v", o.Also, err)
	}
}

// TestTired passes a call on, workaround first, where a caller can tell
// nothing, within twelve steps.
func TestTired(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "the screen is black")
	o := do(t, c, In{Symptom: "F-01"})
	offered := false
	for n := 1; o.Step.Kind != StepHandover; n++ {
		if n > 12 {
			t.Fatalf("after %d steps nothing is passed on: %s %s", n, o.Step.Kind, o.Step.ID)
		}
		if o.Step.Kind == StepTry {
			offered = offered || o.Step.ID == TryWorkaround
			o = do(t, c, In{Tried: &cases.Tried{Remedy: o.Step.ID, Result: cases.CouldNot}})
			continue
		}
		o = do(t, c, In{Unknown: o.Step.asked()})
	}
	if !offered {
		t.Error("no workaround was offered")
	}
}

// TestOneFaultExplainsBoth: what is told in two ways is mended once.
func TestOneFaultExplainsBoth(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "the laptop charges on that cable but the room screen stays dark")
	do(t, c, In{Symptom: "F-10"})
	do(t, c, answer("connection", "usb-c-cable"))
	o := do(t, c, answer("charges-on-cable", "charges"))
	if len(o.Also) != 1 || o.Also[0].Symptom != "F-01" {
		t.Fatalf("kept are %+v: this test needs words that sound like two complaints", o.Also)
	}
	if o = do(t, c, In{Tried: &cases.Tried{Remedy: "usb-c-video-way", Result: cases.Cured}}); o.Step.Kind != StepDone || strings.Contains(o.Ticket, "not looked at") {
		t.Errorf("after the cure the step is %s %s", o.Step.Kind, o.Step.ID)
	}
}
