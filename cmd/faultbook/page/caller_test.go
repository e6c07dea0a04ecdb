package page

import (
	"fmt"
	"regexp"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/cmd/faultbook/page/internal/browser"
)

// deadTelly are the first words of a caller whose display is unplugged. The
// tests follow whatever the desk asks next: which steps come is for the engine
// and the book to say, not for the page.
const deadTelly = "the telly is dead, there is no light on it at all"

// seatPlug is the remedy that mends it.
const seatPlug = "seat-mains-plug"

// reply is what that caller says to a step.
func reply(kind, id string) string {
	known := map[string]string{"display-lamp": "off", "display-shows": "nothing", "devices-dark": "one", "wall-plug": "out-or-off",
		"what-changed": "moved-or-cleaned", "sources-alike": "all", "display-menu": "none", "strip-lamp": "lit",
		"display-kind": "flat-screen", "display-input": "not-shown", "adapter-lamp": "no-lamp", call.AskSymptom: "F-01"}
	switch {
	case kind == call.StepTry && id == seatPlug:
		return "cured"
	case kind == call.StepTry:
		return "same"
	case known[id] != "":
		return known[id]
	}
	return "unknown"
}

// mostSteps is how many steps a call may take before a test gives up on it.
const mostSteps = 25

// step is the kind and the id of the step that the page without script shows.
func (a *agent) step() (kind, id string) {
	a.t.Helper()
	form := regexp.MustCompile(`(?s)<form[^>]*class="answers.*?</form>`).FindString(a.body)
	m := regexp.MustCompile(`name="do" value="([^"]*)"><input type="hidden" name="id" value="([^"]*)"`).FindStringSubmatch(form)
	if m == nil {
		a.t.Fatalf("no step on %s: %s", a.path, a.text())
	}
	return m[1], m[2]
}

// reply gives the caller's answer to the step that is shown.
func (a *agent) reply() *agent {
	a.t.Helper()
	kind, id := a.step()
	return a.input(kind, "id", id, "value", reply(kind, id)).wants(200)
}

// other is another answer of the step than the caller's.
func (a *agent) other() string {
	kind, id := a.step()
	for _, m := range regexp.MustCompile(`name="value" value="([^"]*)" data-key="[1-9]"`).FindAllStringSubmatch(a.body, -1) {
		if m[1] != reply(kind, id) {
			return m[1]
		}
	}
	return "unknown"
}

// shown is a step in a browser: the version of the call, -1 between two pages,
// kind and id.
type shown struct {
	Version  int
	Kind, ID string
	Say      string
}

func stepIn(p *browser.Page) shown {
	return browser.Eval[shown](p, `(c => !c ? {Version: -1} : ({Version: Number(c.dataset.version), Kind: c.dataset.kind,
		ID: c.querySelector(".answers [name=id]")?.value ?? "", Say: c.querySelector(".say").textContent}))(document.getElementById("call"))`)
}

// press answers the step for the caller, by its key or with a finger, and
// waits for the next.
func press(p *browser.Page, touch bool) shown {
	was := stepIn(p)
	selector := fmt.Sprintf(`.answers button[value="%s"]`, reply(was.Kind, was.ID))
	if touch {
		p.Tap(selector)
	} else {
		p.Keys(browser.Eval[string](p, fmt.Sprintf(`document.querySelector(%q).dataset.key`, selector)))
	}
	return after(p, was)
}

// after waits until the call has gone on.
func after(p *browser.Page, was shown) shown {
	p.Until("see the call go on", func() bool { return stepIn(p).Version > was.Version })
	return stepIn(p)
}

// ring opens a call in a browser by typing the words.
func ring(p *browser.Page, at *testPage, words string) {
	p.Open(at.web.URL + "/")
	p.Type("#words", words)
	p.Keys(browser.Enter)
	p.WaitURL("/call/")
	p.Wait("#step .say")
	p.Until("have all scripts", func() bool { return browser.Eval[string](p, `document.readyState`) == "complete" })
}

func lastPart(url string) string { return url[strings.LastIndex(url, "/")+1:] }
