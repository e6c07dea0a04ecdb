package browser

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

func TestMain(m *testing.M) { Main(m) }

const sample = `<!DOCTYPE html><html lang="en"><head><title>A page</title><meta name="viewport" content="width=device-width, initial-scale=1"></head><body><main><h1>A page</h1>
<label for="a">A field</label> <input id="a"><p id="out"></p>%s
<button id="b" type="button">Copy</button></main><script src="/s.js"></script></body></html>`

// serve runs a page under the policy that the program's own pages have.
func serve(t *testing.T, more string) string {
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; connect-src 'self'")
		if r.URL.Path == "/s.js" {
			w.Header().Set("Content-Type", "text/javascript")
			io.WriteString(w, `b.onclick = () => { out.textContent = "said: " + a.value; };`)
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		io.WriteString(w, strings.Replace(sample, "%s", more, 1))
	}))
	t.Cleanup(srv.Close)
	return srv.URL
}

func TestTypeAndClick(t *testing.T) {
	p := Start(t).Page(Desk())
	p.Open(serve(t, ""))
	p.Type("#a", "two words")
	p.Keys(Tab, Enter)
	p.WaitText("#out", "said: two words")
	p.Axe()
	if got := p.Focused(); got != "button#b" {
		t.Errorf("focus on %s", got)
	}
}

// TestFindsFaults holds the harness to what it is for: it must see a page that
// breaks the rules.
func TestFindsFaults(t *testing.T) {
	p := Start(t).Page(Phone().InDark())
	p.Open(serve(t, `<input id="bare">`))
	list := p.Violations()
	if len(list) != 1 || list[0].ID != "label" {
		t.Errorf("violations %+v, want label alone", list)
	}
	if !Eval[bool](p, `matchMedia("(prefers-color-scheme: dark)").matches && innerWidth === 360`) {
		t.Error("no dark phone")
	}
}

// TestFindsFaintColours: what is looked at after a change of colours sees them,
// and them alone.
func TestFindsFaintColours(t *testing.T) {
	p := Start(t).Page(Desk())
	p.Open(serve(t, `<input id="bare"><p><font color="#bbbbbb">faint on white</font></p>`))
	list := p.violations(colourRules)
	if len(list) != 1 || list[0].ID != "color-contrast" {
		t.Errorf("violations %+v, want color-contrast alone", list)
	}
}

func TestStays(t *testing.T) {
	for address, want := range map[string]bool{
		"http://127.0.0.1:8080/x": true, "http://[::1]:1/": true, "http://localhost/": true, "data:,x": true,
		"http://192.0.2.1/": false, "https://example.org/": false, "ws://198.51.100.7/": false, "http://127.0.0.1.example.org/": false,
	} {
		if stays(address) != want {
			t.Errorf("stays(%q) = %v", address, !want)
		}
	}
}

// TestSeesErrors lets a page break its policy.
func TestSeesErrors(t *testing.T) {
	p := Start(t).Page(Desk())
	p.Open(serve(t, `<img src="http://192.0.2.1/a.png" alt="">`))
	p.Until("hear of the breach", func() bool {
		p.seen.mu.Lock()
		defer p.seen.mu.Unlock()
		return len(p.seen.errors) > 0
	})
	p.seen.mu.Lock()
	defer p.seen.mu.Unlock()
	if !strings.Contains(p.seen.errors[0], "Content Security Policy") {
		t.Errorf("errors %q", p.seen.errors)
	}
	p.seen.errors, p.seen.requests = nil, nil // as it should be
}
