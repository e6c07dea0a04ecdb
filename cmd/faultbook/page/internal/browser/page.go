package browser

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// The keys that have no character.
const (
	Enter    = kb.Enter
	Escape   = kb.Escape
	Tab      = kb.Tab
	Up       = kb.ArrowUp
	Down     = kb.ArrowDown
	Left     = kb.ArrowLeft
	Right    = kb.ArrowRight
	Home     = kb.Home
	End      = kb.End
	Space    = " "
	PageDown = kb.PageDown
)

// Page is one person's browser with one page open. Its methods fail the test
// where something does not come to pass.
type Page struct {
	t    testing.TB
	ctx  context.Context
	seen *seen
}

// Page opens an empty page in a profile of its own.
func (b *Browser) Page(o Options) *Page {
	b.t.Helper()
	ctx, cancel := chromedp.NewContext(b.ctx, chromedp.WithNewBrowserContext())
	p := &Page{t: b.t, ctx: ctx, seen: &seen{}}
	b.t.Cleanup(func() {
		p.seen.check(b.t)
		cancel()
	})
	if err := chromedp.Listen(ctx, p.seen.take); err != nil {
		b.t.Fatalf("open a page: %v", err)
	}
	p.must("listen to the network", p.seen.enable(ctx))
	p.must("set the page up", o.apply(ctx))
	return p
}

func (p *Page) must(what string, err error) {
	p.t.Helper()
	if err != nil {
		p.t.Fatalf("%s: %v", what, err)
	}
}

// do runs steps and fails the test if they take too long.
func (p *Page) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	p.must(what, chromedp.Do(ctx, steps...))
}

// Open goes to an address and waits until the page is there.
func (p *Page) Open(url string) {
	p.t.Helper()
	p.do("open "+url, chromedp.Navigate(url))
}

// Reload does what a person's reload does.
func (p *Page) Reload() {
	p.t.Helper()
	p.do("reload", chromedp.Reload())
}

// Back goes back by one page.
func (p *Page) Back() {
	p.t.Helper()
	p.do("go back", chromedp.NavigateBack())
}

// URL is where the page is.
func (p *Page) URL() string {
	p.t.Helper()
	return Eval[string](p, "location.href")
}

// Keys presses keys one after the other, whatever has the focus.
func (p *Page) Keys(keys ...string) {
	p.t.Helper()
	for _, k := range keys {
		p.do("press "+k, strokes(k))
	}
}

// Type puts the focus on a field and types text there, key by key.
func (p *Page) Type(selector, text string) {
	p.t.Helper()
	p.Wait(selector)
	p.do("type into "+selector, chromedp.Focus(chromedp.CSS(selector)), strokes(text))
}

// Click clicks the middle of an element, as a mouse does.
func (p *Page) Click(selector string) {
	p.t.Helper()
	p.Wait(selector)
	p.do("click "+selector, chromedp.Click(chromedp.CSS(selector)))
}

// Tap touches the middle of an element.
func (p *Page) Tap(selector string) {
	p.t.Helper()
	p.Wait(selector)
	p.do("tap "+selector, chromedp.ScrollIntoView(chromedp.CSS(selector)), chromedp.Tap(chromedp.CSS(selector)))
}

// Files puts files from this machine into a file field.
func (p *Page) Files(selector string, paths ...string) {
	p.t.Helper()
	p.do("choose files in "+selector, chromedp.SetUploadFiles(chromedp.CSS(selector), paths))
}

// Text is what can be read in the first element that fits, spaces joined.
func (p *Page) Text(selector string) string {
	p.t.Helper()
	return Eval[string](p, fmt.Sprintf(`(document.querySelector(%s)?.innerText ?? "").replace(/\s+/g, " ").trim()`, quote(selector)))
}

// Has reports whether an element is there and can be seen.
func (p *Page) Has(selector string) bool {
	p.t.Helper()
	return Eval[bool](p, fmt.Sprintf(`(e => !!e && e.checkVisibility())(document.querySelector(%s))`, quote(selector)))
}

// Focused is the element with the focus, as tag#id.
func (p *Page) Focused() string {
	p.t.Helper()
	return Eval[string](p, `(e => e ? e.tagName.toLowerCase() + (e.id ? "#" + e.id : "") : "")(document.activeElement)`)
}

// Wait waits until an element can be seen.
func (p *Page) Wait(selector string) {
	p.t.Helper()
	p.Until("see "+selector, func() bool { return p.Has(selector) })
}

// WaitText waits until an element says a text.
func (p *Page) WaitText(selector, text string) {
	p.t.Helper()
	p.Until(fmt.Sprintf("read %q in %s", text, selector), func() bool { return strings.Contains(p.Text(selector), text) })
}

// WaitURL waits until the address holds a text.
func (p *Page) WaitURL(part string) {
	p.t.Helper()
	p.Until("be at "+part, func() bool { return strings.Contains(p.URL(), part) })
}

// Until waits until something is so.
func (p *Page) Until(what string, so func() bool) {
	p.t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(25 * time.Millisecond) {
		if so() {
			return
		}
		if time.Now().After(end) {
			p.t.Fatalf("waited %v to %s; the page is at %s and says: %.600s", patience, what, p.URL(), p.Text("body"))
		}
	}
}

// Eval runs JavaScript in the page and gives its value. A page that is just
// being replaced by another is asked again.
func Eval[T any](p *Page, script string) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	for {
		v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
		if err == nil {
			return v
		}
		if errors.Is(err, context.DeadlineExceeded) || !replaced(err) {
			p.t.Fatalf("run %.80q: %v", script, err)
		}
		time.Sleep(25 * time.Millisecond)
	}
}

// replaced reports an error of a script whose page went away under it.
func replaced(err error) bool {
	for _, words := range []string{"context was destroyed", "Cannot find context", "Inspected target navigated", "Cannot find default execution context"} {
		if strings.Contains(err.Error(), words) {
			return true
		}
	}
	return false
}

func quote(s string) string {
	data, err := json.Marshal(s)
	if err != nil {
		return `""` // a string always marshals
	}
	return string(data)
}
