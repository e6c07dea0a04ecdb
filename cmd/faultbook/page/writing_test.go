package page

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"faultbook/cmd/faultbook/call"
	"faultbook/cmd/faultbook/page/internal/browser"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// TestWriteFromCase makes an entry of a case with live checks, finds it at
// once, and has it checked by somebody else.
func TestWriteFromCase(t *testing.T) {
	s := newSite(t)
	id := s.take(t, "the hub in the lectern is dead", call.In{Answer: &cases.Answer{Question: "display-lamp", Value: "off"}},
		call.In{Close: &cases.Close{Note: "Plug the supply of the hub into the lectern strip."}})
	b := browser.Start(t)
	p := b.Page(browser.Desk())
	p.Open(s.URL + "/cases/" + id)
	p.Click("main a[href^='/write']")
	p.WaitText("h1", "Write an entry")
	p.Axe()
	if fix := browser.Eval[string](p, `document.querySelector("#fix").value`); !strings.Contains(fix, "lectern strip") {
		t.Errorf("the fix of the case is %q", fix)
	}
	p.Type("#title", "Hub in the lectern lost its supply")
	p.WaitText("#findings", "passes the check")
	p.WaitText("#findings", "Is it one of these?")
	p.Type("input[name=question][list]", "usb-all-or-one"+browser.Tab)
	p.Until("see the answers", func() bool {
		return browser.Eval[int](p, `document.querySelector("input[name=question][list]").parentElement.querySelectorAll("select[name=answer] option").length`) > 2
	})
	browser.Eval[string](p, `(s => { s.selectedIndex = 1; s.dispatchEvent(new Event("input", {bubbles: true})); return s.value; })(document.querySelector("input[name=question][list]").parentElement.querySelector("select[name=answer]"))`)
	p.Type("#by", "ab")
	p.Axe()
	p.Shot("write-filled")
	p.Click("button[value=save]")
	p.WaitURL("/book/cause/own-hub-in-the-lectern")
	p.WaitText("main", "A draft")
	entry := p.URL()
	if _, err := os.Stat(filepath.Join(s.home, "book/own/cause", filepath.Base(entry)+".yaml")); err != nil {
		t.Error(err)
	}
	p.Open(s.URL + "/find?words=hub+lectern+supply")
	p.WaitText("#hits", "Hub in the lectern lost its supply")
	p.Open(s.URL + "/review")
	p.WaitText("main", "Hub in the lectern lost its supply")
	p.Axe()
	p.Open(entry)
	p.Type("#by", "AB")
	p.Click(".check-form button")
	p.WaitText("main", "somebody else must check it")
	p.Open(entry)
	p.Type("#by", "cd")
	p.Click(".check-form button")
	p.WaitText("main", "Checked by cd 2026-11-25; written by ab 2026-11-25; revision 2")
	p.Open(s.URL + "/review")
	p.WaitText("li:has(a[href*=\"/cause/\"]) .state", "Checked")
}

// TestEditEntry changes a built-in entry as text; the change lies in the
// user's own book and is used at once.
func TestEditEntry(t *testing.T) {
	s := newSite(t)
	p := browser.Start(t).Page(browser.Phone())
	p.Open(s.URL + "/edit/term/" + s.desk.Book.IDs(kb.KindTerm)[0])
	p.WaitText("#findings", "passes the check")
	p.Axe()
	p.Type("#text", browser.End+"nonsense: 1\n")
	p.WaitText("#findings", "To be mended")
	p.Shot("edit-phone")
	p.Reload()
	browser.Eval[string](p, `(a => { a.value = a.value.replace(/^text: .*/m, "text: What we call it here. "); a.dispatchEvent(new Event("input", {bubbles: true})); return a.value; })(document.querySelector("#text"))`)
	p.WaitText("#findings", "passes the check")
	p.Tap("button[value=save]")
	p.WaitText(".notice", "Initials are needed")
	p.Type("#by", "ab")
	p.Tap("button[value=save]")
	p.WaitURL("/book/term/")
	p.WaitText("main", "What we call it here.")
	p.WaitText("main", "your own book")
	p.Tap("a[href^='/edit/']")
	p.WaitURL("/edit/")
	p.Wait("#text")
	browser.Eval[string](p, `(a => a.value = a.value.replace("call it here", "call it there"))(document.querySelector("#text"))`)
	p.Type("#by", "ab")
	p.Tap("button[value=save]")
	p.WaitText("main", "What we call it there.")
	p.Tap("a[href^='/history/']")
	p.Wait("details + details, section + section")
	p.Tap("section:nth-of-type(2) summary")
	p.WaitText("main", "What we call it here.")
	p.Axe()
}

// TestWriteHostile types hostile texts everywhere: they are kept as they are,
// or refused, and never taken for code.
func TestWriteHostile(t *testing.T) {
	s := newSite(t)
	p := browser.Start(t).Page(browser.Desk())
	p.Open(s.URL + "/write")
	for _, field := range []string{"#title", "#why", "#plain", "#words", "#fix"} {
		browser.Eval[string](p, `document.querySelector("`+field+`").value = `+"String.raw`"+strings.ReplaceAll(hostileText, "${7*7}", "")+"`")
	}
	browser.Eval[string](p, `document.querySelector("#symptom").value = "F-14"`)
	p.Click("button[value=save]")
	p.WaitURL("/book/cause/own-")
	if p.Has("main img") || p.Has("main script") || !strings.Contains(p.Text("h1"), "<script>alert(1)</script>") {
		t.Errorf("the title is %q", p.Text("h1"))
	}
	p.Axe()
}
