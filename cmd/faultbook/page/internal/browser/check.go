package browser

import (
	_ "embed"
	"fmt"
	"strings"

	"github.com/chromedp/chromedp"
)

// axeScript is axe-core; testdata/README.md says where it comes from.
//
//go:embed testdata/axe.min.js
var axeScript string

// Violation is a rule of axe-core that the page breaks.
type Violation struct {
	ID    string   `json:"id"`
	Help  string   `json:"help"`
	Where []string `json:"where"`
}

// Rules of axe-core: WCAG 2.0, 2.1 and 2.2, A and AA, and best practices; and
// of these the ones that look at colours.
const (
	allRules    = `{type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}`
	colourRules = `{type: "rule", values: ["color-contrast", "link-in-text-block"]}`
)

// Violations runs axe-core on the page as it stands.
func (p *Page) Violations() []Violation {
	p.t.Helper()
	return p.violations(allRules)
}

func (p *Page) violations(rules string) []Violation {
	p.t.Helper()
	if !Eval[bool](p, `"axe" in window`) {
		p.do("load axe-core", chromedp.Evaluate[chromedp.Void](axeScript+"\n;0"))
	}
	return Eval[[]Violation](p, `axe.run(document, {resultTypes: ["violations"], runOnly: `+rules+`})
		.then(r => r.violations.map(v => ({id: v.id, help: v.help, where: v.nodes.slice(0, 4).map(n => n.target.join(" ") + ": " + (n.any[0]?.message ?? n.all[0]?.message ?? ""))})))`)
}

// Axe fails the test for each rule that the page breaks, and where a line of it
// is wider than the window.
func (p *Page) Axe() {
	p.t.Helper()
	p.axe(allRules)
}

// AxeColours is Axe after nothing but the colours changed.
func (p *Page) AxeColours() {
	p.t.Helper()
	p.axe(colourRules)
}

func (p *Page) axe(rules string) {
	p.t.Helper()
	for _, v := range p.violations(rules) {
		p.t.Errorf("%s: %s (%s)\n  %s", p.URL(), v.Help, v.ID, strings.Join(v.Where, "\n  "))
	}
	if over := Eval[int](p, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		p.t.Errorf("%s: %d pixels too wide: %s", p.URL(), over, Eval[string](p, widest))
	}
}

// widest names elements that reach beyond the window and do not scroll.
const widest = `[...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 1 && !e.closest("[data-scroll], .scroll, svg *"))
	.slice(0, 5).map(e => e.tagName + "." + e.getAttribute("class")).join(", ")`

// Shot writes a picture of the whole page for a person to look at.
func (p *Page) Shot(name string) {
	p.t.Helper()
	if shotsFolder() == "" {
		return
	}
	data, err := chromedp.Run(p.ctx, chromedp.FullScreenshot(100))
	p.must("take a picture", err)
	writeShot(p.t, name+".png", data)
}

// Print gives the page as it is printed on A4, and keeps it beside the
// pictures under the name.
func (p *Page) Print(name string) []byte {
	p.t.Helper()
	data, err := chromedp.Run(p.ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
	p.must("print", err)
	if !strings.HasPrefix(string(data[:min(5, len(data))]), "%PDF-") {
		p.must("print", fmt.Errorf("no PDF came of it"))
	}
	if shotsFolder() != "" {
		writeShot(p.t, name+".pdf", data)
	}
	return data
}
