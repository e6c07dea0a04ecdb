package index

import (
	"strings"
	"testing"
)

// TestAskedForOnly: who wants to know how to do a thing is heard so; who only
// tells of it, or looks for words, is not.
func TestAskedForOnly(t *testing.T) {
	o := NewOpening(builtin())
	for words, want := range map[string]bool{
		"how do I connect my laptop":                                                       true,
		"could somebody show me how to start a meeting":                                    true,
		"I need to know how to join the meeting":                                           true,
		"not sure how to start the meeting":                                                true,
		"where do I find an adapter":                                                       true,
		"please tell me where I find an adapter":                                           true,
		"can you tell me where to find a cable":                                            true,
		"the person before me showed how to connect and now no sound":                      false,
		"no idea how I should say this, I connect my laptop and the picture is green":      false,
		"I don't know how to describe it, my laptop is connected and the sound hums":       false,
		"they told us how to start the meeting but the panel is frozen":                    false,
		"the card says how to connect a laptop, I did that, and the screen is black":       false,
		"I know how to join the meeting, I do it every day, but they cannot hear us":       false,
		"I found the remote where it always is, next to the cable, and the sound crackles": false,
		"how can it be that I join the meeting and nobody hears us":                        false,
	} {
		got := false
		for _, f := range o.Read(words).Facts {
			got = got || strings.HasPrefix(f.Question, "how-to-what") || f.Question == "wanted" && f.Value == "how-to"
		}
		if got != want {
			t.Errorf("%q: asks for a way to do it: %v, want %v; facts %v", words, got, want, o.Read(words).Facts)
		}
		if first := o.Read(words).Symptoms[0]; (first.ID == "F-25") != want {
			t.Errorf("%q: %s %.2f", words, first.ID, first.Chance)
		}
	}
}

// TestWishAndFault: a wish with a fault behind it is about the fault.
func TestWishAndFault(t *testing.T) {
	o := builtinOpening()
	for said, want := range map[string]string{
		"I want to start the meeting and the panel is frozen":            "F-15",
		"we need to join the meeting and the camera is black":            "F-13",
		"I need to present and the laptop does not find the screen":      "F-10",
		"I would like my notes on the laptop and the slides on the wall": "F-25",
		"we want to show two laptops and the camera at once":             "F-25",
	} {
		if got := o.Read(said).Symptoms[0]; got.ID != want {
			t.Errorf("%q: %s %.2f, want %s", said, got.ID, got.Chance, want)
		}
	}
}
