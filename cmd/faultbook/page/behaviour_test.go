package page

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"faultbook/cmd/faultbook/page/internal/browser"
	"faultbook/diagnose/measure/sums"
)

// TestFindByKeyboard types, goes down to a hit and opens it.
func TestFindByKeyboard(t *testing.T) {
	s, _ := withCases(t)
	p := browser.Start(t).Page(browser.Desk())
	p.Open(s.URL + "/find")
	p.Until("have the focus on the words from the start", func() bool { return p.Focused() == "input#words" })
	p.Keys("2160p60 sparkles")
	p.WaitText("#hits", "Causes")
	p.WaitURL("words=2160p60")
	first := p.Text("#hits a")
	p.Keys(browser.Down)
	if got := browser.Eval[string](p, `document.activeElement.innerText.replace(/\s+/g, " ").trim()`); got != first {
		t.Errorf("focus on %q, want %q", got, first)
	}
	p.Keys(browser.Enter)
	p.WaitURL("/book/")
	p.Back()
	p.WaitText("#hits", first)
	p.Type("#words", " telly dead")
	p.WaitText("#hits", "the telly is dead")
}

// TestFindWithoutScript looks up by the button alone.
func TestFindWithoutScript(t *testing.T) {
	s, _ := withCases(t)
	p := browser.Start(t).Page(browser.Options{Width: 1280, Height: 800, NoScript: true})
	p.Open(s.URL + "/find")
	p.Keys("telly dead", browser.Enter)
	p.WaitText("#hits", "the telly is dead")
}

// TestTreeByKeyboard makes the picture larger, smaller, fits it and moves it.
func TestTreeByKeyboard(t *testing.T) {
	s := newSite(t)
	p := browser.Start(t).Page(browser.Desk())
	p.Open(s.URL + "/tree/F-18")
	width := func() float64 {
		return browser.Eval[float64](p, `document.querySelector(".tree-picture svg").width.baseVal.value`)
	}
	at := func() float64 { return browser.Eval[float64](p, `document.querySelector(".tree-picture").scrollTop`) }
	p.Wait("[data-zoom=in]")
	browser.Eval[bool](p, `document.querySelector(".tree-picture").focus() || true`)
	before := width()
	p.Keys("+", "+")
	if got := width() / before; got < 1.5 || got > 1.6 {
		t.Errorf("two steps larger make %.2f times the width", got)
	}
	p.Keys(browser.Down, browser.Down)
	p.Until("see the picture move", func() bool { return at() > 0 })
	p.Keys("-", "0")
	if got, room := width(), browser.Eval[float64](p, `document.querySelector(".tree-picture").clientWidth`); got > room || got < room-5 {
		t.Errorf("the picture is %.0f wide in a room of %.0f", got, room)
	}
	if text := p.Text(".tree-steps"); !strings.Contains(text, "1 Ask:") {
		t.Errorf("the text begins %.80q", text)
	}
	p.Open(s.URL + "/tree/F-18/card?who=technician")
	p.Axe()
	p.Print("tree-card")
}

// TestEverySumHasAForm opens the form of each sum with its example, which must
// give a result with its source.
func TestEverySumHasAForm(t *testing.T) {
	s := newSite(t)
	p := browser.Start(t).Page(browser.Phone())
	for _, sum := range sums.All() {
		p.Open(s.URL + exampleHref(sum))
		for _, in := range sum.Inputs {
			if !p.Has("#in-" + in.Name) {
				t.Errorf("%s: no field for %s", sum.Name, in.Name)
			}
		}
		text := p.Text("#result")
		if !strings.Contains(text, "Formula") || !strings.Contains(text, "Source") || p.Has(".wanting") {
			t.Errorf("%s: %.200q", sum.Name, text)
		}
		p.Axe()
	}
}

// TestSumIntoCall types a sum, corrects it and takes it into an open call.
func TestSumIntoCall(t *testing.T) {
	s := newSite(t)
	id := s.take(t, "the picture flickers at 2160p60")
	p := browser.Start(t).Page(browser.Desk())
	p.Open(s.URL + "/sums/link")
	p.Type("#in-format", "2160q60")
	p.WaitText("#result", "Not yet")
	p.Axe()
	p.Open(s.URL + "/sums/link")
	p.Type("#in-format", "2160p60")
	p.Type("#in-part", "source=HDMI 2.0\rcable=High Speed, 7 m\rdisplay=300 MHz")
	p.WaitText("#result", "It does not fit")
	p.WaitText(".parts", "display")
	p.Shot("sum-typed")
	p.Keys(browser.Enter) // a line more is no send
	p.Click(".sum-form button.main")
	p.Wait("#case")
	p.Click("#result form button")
	p.WaitURL("/call/" + id)
	p.WaitText("main", "link")
}

// TestReadFile chooses, pastes and drops a file, and takes one into a call.
func TestReadFile(t *testing.T) {
	s := newSite(t)
	id := s.take(t, "the network is slow")
	const folder = "../../../diagnose/measure/reading/testdata/"
	file, err := filepath.Abs(folder + "ethtool-100.txt")
	if err != nil {
		t.Fatal(err)
	}
	ping, err := os.ReadFile(folder + "ping-loss.txt")
	if err != nil {
		t.Fatal(err)
	}
	p := browser.Start(t).Page(browser.Desk())
	p.Open(s.URL + "/read")
	p.Files("#file", file)
	p.Click("button.main")
	p.WaitText(".reading", "Network port")
	p.WaitText("main", "ethtool-100.txt")
	p.Axe()
	p.Shot("read-file")
	browser.Eval[bool](p, `(() => { const d = new DataTransfer(); d.items.add(new File([`+"`"+string(ping)+"`"+`], "ping.txt"));
		return document.dispatchEvent(new DragEvent("drop", {dataTransfer: d, cancelable: true})); })()`)
	p.WaitText(".reading", "Answers to ping")
	p.WaitText("main", "ping.txt")
	p.Type("#text", hostileText)
	p.Click("button.main")
	p.WaitText(".notice", "not recognised")
	p.Axe()
	p.Files("#file", file)
	browser.Eval[string](p, `document.querySelector("#case").value = "`+id+`"`)
	p.Click("button.main")
	p.WaitURL("/call/" + id)
	p.WaitText("main", "ethtool-100.txt")
}

// TestChangeCase closes a case, notes on it, takes a text out and opens it
// again, by touch.
func TestChangeCase(t *testing.T) {
	s := newSite(t)
	id := s.take(t, "the telly of Florbel is dead")
	p := browser.Start(t).Page(browser.Phone())
	p.Open(s.URL + "/cases/" + id)
	p.Type("#cause", "PW-01")
	p.Tap("form[action$=close] button")
	p.WaitText(".done", "Closed")
	p.WaitText(".pairs", "Mains plug out")
	p.Tap("details:has(#note) summary")
	p.Type("#note", "told Florbel twice")
	p.Tap("form[action$=note] button")
	p.WaitText(".done", "Noted")
	p.Tap("details:has(#redact) summary")
	p.Type("#redact", "Florbel")
	p.Tap("form[action$=redact] button")
	p.WaitText(".done", "Removed")
	if text := p.Text("main"); strings.Contains(text, "Florbel") || !strings.Contains(text, "[removed]") {
		t.Errorf("after the removal: %s", text)
	}
	p.Tap("details:has([action$=redact]) summary")
	p.Type("#redact", "Florbel")
	p.Tap("form[action$=redact] button")
	p.WaitText(".notice", "nowhere")
	p.Axe()
	p.Tap("details:has([action$=reopen]) summary")
	p.Tap("form[action$=reopen] button")
	p.WaitText(".done", "Open again")
	p.WaitText(".state", "Open")
	p.Tap("a[href='/call/" + id + "']")
	p.WaitURL("/call/" + id)
}
