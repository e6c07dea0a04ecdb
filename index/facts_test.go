package index

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"faultbook/kb"
)

// smallBook is a book with a few questions, for tests that must not depend on
// what authors write.
func smallBook(t testing.TB) *kb.Book {
	t.Helper()
	files := fstest.MapFS{}
	add := func(kind, id, text string) {
		files[kind+"/"+id+".yaml"] = &fstest.MapFile{Data: []byte(fmt.Sprintf("kind: %s\nid: %s\n%s", kind, id, text))}
	}
	add("words", "screen", "title: Screen\nsame: [screen, telly, big screen, display]\n")
	add("words", "camera", "title: Camera\nsame: [camera, webcam]\n")
	add("words", "uhd", "title: 2160 lines\nsame: [\"4k\", uhd, \"2160p\"]\n")
	add("question", "lamp", `title: Lamp of the screen
ask: Is the lamp on?
answers:
  - {value: "on", say: It is on, words: ["light is on", "lamp on the screen is green"]}
  - {value: "off", say: It is off, words: ["lamp is off", "no light at all"]}
who: caller
minutes: 1
sense: look
`)
	add("question", "restarts", `title: Camera restarts
ask: Does the camera restart?
answers:
  - {value: "yes", say: "Yes, it restarts", words: ["camera keeps restarting", "webcam restarts when it moves"]}
  - {value: "no", say: "No, it stays on"}
who: caller
minutes: 1
sense: look
`)
	add("question", "danger", `title: Danger
ask: Is there smoke?
answers:
  - {value: "none", say: "No"}
  - {value: smoke, say: "Smoke or a smell", words: ["there is smoke", "burning smell"]}
who: caller
minutes: 1
sense: look
`)
	add("caution", "fire", "title: Smoke\nsay: Leave the room.\ndefer: local fire rules\n")
	add("handover", "facilities", "title: Facilities\nsay: I send somebody.\nminutes: 30\nwrong: 10\n")
	add("rule", "stop", `title: Smoke ends the questions
when: [{question: danger, is: [smoke]}]
stop: {caution: fire, handover: facilities, say: Leave the room.}
`)
	add("symptom", "F-01", "title: No picture\nwords: [the screen is black, no picture on the telly]\nworkarounds: [Use another room.]\n")
	add("symptom", "F-13", "title: Camera does not work\nwords: [camera is dead, webcam keeps dropping out]\nworkarounds: [Use the laptop's camera.]\n")
	book, findings := kb.Load(files, "")
	if n := kb.CountErrors(findings); n > 0 {
		t.Fatalf("%d findings: %v", n, findings)
	}
	return book
}

func TestFacts(t *testing.T) {
	o := NewOpening(smallBook(t))
	for _, c := range []struct{ say, want string }{
		{"the lamp is off", "lamp=off [lamp off]"},
		{"the lamp is not off", ""},
		{"the light on the front is red", ""}, // "on" belongs to the front
		{"the green lamp on the telly is lit", "lamp=on [green lamp telly]"},
		{"off it went, the lamp", ""}, // not side by side
		{"there is no light at all", "lamp=off [light all]"},
		{"lamp is of course dark, off", ""},
		{"the webcam keeps restarting", "restarts=yes [webcam keeps restarting]"},
		{"the webcam kept on restarting", "restarts=yes [webcam kept restarting]"},
		{"the kamera restarts when someone moves it", "restarts=yes [kamera restarts moves]"},
		{"camera. the panel keeps restarting", ""}, // another sentence
		{"somewhere in the room there is smoke", "danger=smoke [smoke] safety"},
		{"there is no smoke", ""},
		{"a smell of something that is burning", "danger=smoke [smell burning] safety"},
		{"smells burnt", "danger=smoke [smells burnt] safety"},
		{"the screen is black and there is a burnig smel", "danger=smoke [burnig smel] safety"},
	} {
		var got []string
		for _, f := range o.Read(c.say).Facts {
			text := fmt.Sprintf("%s=%s %v", f.Question, f.Value, f.Words)
			if f.Safety {
				text += " safety"
			}
			if f.Score <= 0 || f.Score > 1 || f.Label == "" {
				t.Errorf("%q: %+v", c.say, f)
			}
			got = append(got, text)
		}
		if strings.Join(got, "; ") != c.want {
			t.Errorf("%q: heard %q, want %q", c.say, got, c.want)
		}
	}
}

// TestFactsSafetyFirst: safety comes before all else, and before another
// answer to the same question.
func TestFactsSafetyFirst(t *testing.T) {
	o := NewOpening(smallBook(t))
	facts := o.Read("the lamp is off and the camera keeps restarting and there is a burning smell").Facts
	if len(facts) != 3 || !facts[0].Safety || facts[0].Question != "danger" {
		t.Errorf("%+v", facts)
	}
}

// TestOpeningOfAnEmptyBook: nothing to go by, nothing claimed.
func TestOpeningOfAnEmptyBook(t *testing.T) {
	book, _ := kb.Load(fstest.MapFS{}, "")
	if h := NewOpening(book).Read("the screen is black"); len(h.Symptoms) != 0 || len(h.Facts) != 0 {
		t.Errorf("%+v", h)
	}
}

// TestHowIsAsked: what somebody wants to know how to do is heard where somebody
// asks, not where he tells of it.
func TestHowIsAsked(t *testing.T) {
	o := builtinOpening()
	for said, want := range map[string]string{
		"how do i connect my laptop":                                                 "show",
		"hello, can you tell me how do i start a meeting in here please":             "meeting",
		"where do i find an adapter":                                                 "find-part",
		"the one before me showed how to connect my laptop and now it is black":      "",
		"my laptop is connected but i do not see my notes":                           "",
		"i connected my laptop as always and the screen stays dark":                  "",
		"I have the remote in my hand and it does nothing":                           "",
		"no idea how to say this, the picture on the screen from my laptop is green": "",
	} {
		got := ""
		for _, f := range o.Read(said).Facts {
			if f.Question == "how-to-what" {
				got = f.Value
			}
		}
		if got != want {
			t.Errorf("%q: how-to-what %q, want %q", said, got, want)
		}
	}
}

// TestDrinksAsCompany: coffee that somebody fetches or sits with stops no call;
// wherever it may have got into something, it does.
func TestDrinksAsCompany(t *testing.T) {
	o := builtinOpening()
	for said, want := range map[string]bool{
		"we are sitting here with our coffee and the screen is black":                false,
		"we have coffee and cake here but no picture":                                false,
		"I was getting a glass of water and when I came back the picture was gone":   false,
		"the boss is fuming because there is no sound":                               false,
		"I was having a coffee and it went all over the keyboard":                    true,
		"I was getting a coffee and spilled it over the table box":                   true,
		"with my coffee in one hand I knocked the glass over and now the box is wet": true,
		"my colleague knocked his coffee over, it ran into the sockets in the table": true,
		"the box under the table is fuming":                                          true,
	} {
		stops := false
		for _, f := range o.Read(said).Facts {
			stops = stops || f.Safety
		}
		if stops != want {
			t.Errorf("%q: stops %v", said, stops)
		}
	}
}
