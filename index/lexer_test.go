package index

import (
	"strings"
	"testing"
)

// shown writes tokens as words, "!" before what is denied and "+" before what
// is said to be fine.
func shown(tokens []token) string {
	var list []string
	for _, t := range tokens {
		list = append(list, map[mood]string{plain: "", denied: "!", fine: "+"}[t.mood]+t.text)
	}
	return strings.Join(list, " ")
}

func TestLexMoods(t *testing.T) {
	for text, want := range map[string]string{
		"There is no sound":                            "!sound",
		"The picture is fine but there is no sound":    "+picture !sound",
		"no picture, sound is ok":                      "!picture +sound",
		"It doesn't react":                             "!react",
		"it doesnt react":                              "!react",
		"we can't hear them":                           "!hear",
		"nobody can hear us":                           "!hear",
		"we hear nothing":                              "!hear nothing",
		"nothing works":                                "nothing !works",
		"the camera stopped working":                   "camera !working",
		"it does not stop humming":                     "humming",
		"no idea why, the screen is black":             "screen black",
		"not sure if it matters, smells of burning":    "matters smells burning",
		"it no longer works":                           "!works",
		"a longer cable":                               "longer cable",
		"the mouse works":                              "+mouse +works",
		"it works when I touch the plug":               "works touch plug",
		"it only works on the other laptop":            "only works other laptop",
		"no picture and the fan is loud":               "!picture fan loud",
		"there is no picture or sound":                 "!picture !sound",
		"The lamp is on. The lamp on the front blinks": "lamp on lamp front blinks",
	} {
		if got := shown(lex(text)); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}

func TestLexKeepsFiguresWhole(t *testing.T) {
	for text, want := range map[string]string{
		"500 mA":                    "500ma",
		"500mA":                     "500ma",
		"2160p60":                   "2160p60",
		"2160p 60 Hz":               "2160p60",
		"4K60":                      "4k60",
		"4k at 60 Hz":               "4k60",
		"at 4k at the table":        "4k table",
		"4k @ 60":                   "4k60",
		"at 60 Hz":                  "60hz",
		"169.254.10.7":              "169.254.10.7",
		"169.254 address":           "169.254 address",
		"4:2:0":                     "4:2:0",
		"10 Gbit/s":                 "10gbit",
		"18 Gbps":                   "18gbit",
		"5 volts":                   "5v",
		"USB-C":                     "usbc",
		"usb c":                     "usbc",
		"VL-03 and f-12":            "vl-03 f-12",
		"rows of 12, then 13":       "rows 12 13",
		"1920x1080":                 "1920x1080",
		"a plugged-in cable":        "plugged in cable",
		"somebody’s laptop's lid":   "laptop lid",
		"Größe der Anzeige":         "größe der anzeige",
		"\x00\xff broken \xc3 text": "broken text",
	} {
		if got := shown(lex(text)); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}

func TestLexPlacesAreInTheText(t *testing.T) {
	text := "The BIG screen isn't at 500 mA, usb c cable"
	lower := strings.ToLower(text)
	want := []string{"big", "screen", "500 ma", "usb c", "cable"}
	var got []string
	for _, tok := range lex(text) {
		got = append(got, lower[tok.from:tok.to])
	}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("got %q, want %q", got, want)
	}
}

func FuzzLex(f *testing.F) {
	for _, s := range []string{"no sound", "4k 60hz usb c", "don't ’’ 1.,:2", "İ ß ǅ 12ſ", "-/-'s"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		lower := strings.ToLower(text)
		for _, tok := range lex(text) {
			if tok.text == "" || tok.from < 0 || tok.from >= tok.to || tok.to > len(lower) {
				t.Fatalf("%q: token %+v", text, tok)
			}
		}
	})
}

func TestStems(t *testing.T) {
	for _, same := range [][]string{
		{"flicker", "flickers", "flickering", "flickered"},
		{"burn", "burnt", "burned", "burning"},
		{"freeze", "frozen", "froze"},
		{"colour", "color", "colours"},
		{"spill", "spilt", "spilled"},
	} {
		for _, w := range same[1:] {
			if stemOf(w) != stemOf(same[0]) {
				t.Errorf("%s and %s have different stems %q, %q", same[0], w, stemOf(same[0]), stemOf(w))
			}
		}
	}
	if stemOf("2160p60") != "2160p60" {
		t.Error("a figure was stemmed")
	}
}
