package page

import (
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// ask sends one request to the handler itself, with all that a browser would
// not let a page choose.
func (p *testPage) ask(method, path string, change func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, nil)
	r.Host = "127.0.0.1:8737"
	if change != nil {
		change(r)
	}
	w := httptest.NewRecorder()
	p.Handler().ServeHTTP(w, r)
	return w
}

// TestHost: names that somebody pointed at this machine do not open the page
// (DNS rebinding); addresses of this machine and its usual name do.
func TestHost(t *testing.T) {
	closed := newTestPage(t)
	open := newTestPage(t, func(o *Options) { o.Key, o.Hosts = "key", []string{"desk.example"} })
	for host, want := range map[string][2]int{
		"127.0.0.1:8737":        {200, 401},
		"localhost:8737":        {200, 401},
		"LOCALHOST":             {200, 401},
		"[::1]:8737":            {200, 401},
		"192.0.2.10:8737":       {421, 401}, // an address, where the page is open to a network
		"desk.example:8737":     {421, 401},
		"attacker.example":      {421, 421},
		"localhost.example":     {421, 421},
		"127.0.0.1.example":     {421, 421},
		"":                      {421, 421},
		"localhost:8737@evil.x": {421, 421},
	} {
		for i, p := range []*testPage{closed, open} {
			if got := p.ask("GET", "/", func(r *http.Request) { r.Host = host }).Code; got != want[i] {
				t.Errorf("host %q, open %v: %d, want %d", host, i == 1, got, want[i])
			}
		}
	}
}

// TestHeaders: every answer forbids the browser all but our own files, and no
// page holds code or styles of its own.
func TestHeaders(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the screen is black")
	inline := regexp.MustCompile(`(?i)<script(?:[^>]*)>[^<]|\son[a-z]+=|\sstyle=|<style|javascript:`)
	far := regexp.MustCompile(`(?:src|href|action)="(?:https?:)?//`)
	for _, path := range []string{"/", a.path, a.path + "?why=1", a.path + "/ticket", "/calls", "/help", "/nowhere"} {
		r, err := a.http.Get(a.page.web.URL + path)
		if err != nil {
			t.Fatal(err)
		}
		body, _ := io.ReadAll(r.Body) // checked by what is in it
		r.Body.Close()
		if got := r.Header.Get("Content-Security-Policy"); got != policy || strings.Contains(got, "unsafe") {
			t.Errorf("%s: policy %q", path, got)
		}
		if r.Header.Get("X-Content-Type-Options") != "nosniff" || r.Header.Get("Cache-Control") != "no-store" || r.Header.Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s: headers %v", path, r.Header)
		}
		if found := inline.Find(body); found != nil {
			t.Errorf("%s: inline code %q", path, found)
		}
		if found := far.Find(body); found != nil {
			t.Errorf("%s: leads elsewhere: %q", path, found)
		}
	}
}

// TestChangesNeedTheToken: no changing request is taken without the token of
// its own session, or from another page.
func TestChangesNeedTheToken(t *testing.T) {
	p := newTestPage(t)
	a, b := p.agent(t), p.agent(t)
	a.begin("the screen is black")
	b.get("/")
	path, mine := a.path, a.tok
	form := func(token string) url.Values {
		return url.Values{"token": {token}, "do": {"note"}, "text": {"x"}, "version": {"1"}}
	}
	for name, token := range map[string]string{"none": "", "another session's": b.tok, "garbage": strings.Repeat("x", len(mine))} {
		a.took(a.http.PostForm(p.web.URL+path, form(token)))
		if a.code != http.StatusForbidden {
			t.Errorf("token %s: status %d", name, a.code)
		}
	}
	for name, header := range map[string][2]string{"site": {"Sec-Fetch-Site", "cross-site"}, "sub-domain": {"Sec-Fetch-Site", "same-site"}, "origin": {"Origin", "http://attacker.example"}, "opaque": {"Origin", "null"}} {
		r, _ := http.NewRequest("POST", p.web.URL+path, strings.NewReader(form(mine).Encode())) // a fixed address
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set(header[0], header[1])
		if a.took(a.http.Do(r)); a.code != http.StatusForbidden {
			t.Errorf("from another %s: status %d", name, a.code)
		}
	}
	if n := len(p.events(t, strings.TrimPrefix(path, "/call/"))); n != 1 {
		t.Errorf("%d events: something was taken", n)
	}
	if a.took(a.http.PostForm(p.web.URL+path, form(mine))); a.code != 200 {
		t.Errorf("the right token: status %d", a.code)
	}
}

// TestKey: open to a network, nothing is shown before the key is given, tries
// are few, and the key itself is not kept by the browser.
func TestKey(t *testing.T) {
	now := time.Now()
	p := newTestPage(t, func(o *Options) { o.Key = NewKey(); o.Now = func() time.Time { return now } })
	a := p.agent(t)
	if a.get("/calls").wants(401, "The key of this desk"); strings.Contains(a.body, "<h1>Open calls") || strings.Count(a.body, "</html>") != 1 {
		t.Error("the page is shown behind the question for the key")
	}
	a.get("/call/20260101-000000-abc").wants(401)
	a.get("/live").wants(401)
	for range entriesAtOnce {
		a.post("/enter", "key", "wrong").wants(401, "That is not the key")
	}
	a.post("/enter", "key", p.opt.Key).wants(429)
	now = now.Add(time.Minute)
	a.post("/enter", "key", " "+strings.ToUpper(p.opt.Key)+" ").wants(200, "What does the caller say?")
	u, _ := url.Parse(p.web.URL) // made by the test
	for _, c := range a.http.Jar.Cookies(u) {
		if strings.Contains(c.Value, p.opt.Key) {
			t.Errorf("cookie %s holds the key", c.Name)
		}
	}
	if b := p.agent(t); b.get("/").code != 401 {
		t.Error("another browser came in without the key")
	}
	if one, other := NewKey(), NewKey(); len(one) < 19 || one == other {
		t.Error("keys are short or alike")
	}
}

// TestSizes: what is too large is refused in plain words, and nothing is kept.
func TestSizes(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the screen is black")
	path := a.path
	a.input("note", "text", strings.Repeat("x", defaultBody)).wants(413, "too large")
	a.get(path)
	a.input("note", "text", strings.Repeat("y", 10000)).wants(200)
	if e := a.page.events(t, a.id()); len(e) != 2 || len(e[1].Note) > 4000 {
		t.Errorf("%d events, %d bytes kept", len(e), len(e[len(e)-1].Note))
	}
	if got := a.page.ask("GET", "/"+strings.Repeat("x", 20000), nil).Code; got != 404 {
		t.Errorf("a long address: %d", got)
	}
}

// TestRates: one browser that floods is told to wait; another is not.
func TestRates(t *testing.T) {
	now := time.Now()
	p := newTestPage(t, func(o *Options) { o.Now = func() time.Time { return now } })
	a, b := p.agent(t), p.agent(t)
	a.get("/")
	b.get("/")
	refused := 0
	for range requestsAtOnce + 20 {
		if a.get("/help").code == http.StatusTooManyRequests {
			refused++
		}
	}
	if refused < 20 {
		t.Errorf("%d of %d refused", refused, requestsAtOnce+20)
	}
	b.get("/help").wants(200)
	now = now.Add(time.Second)
	a.get("/help").wants(200)
}

func TestRatesStayBounded(t *testing.T) {
	at := time.Now()
	r := newRates(func() time.Time { return at }, 1, 2)
	for i := range 3 * mostBuckets {
		r.allow(string(rune(i)))
	}
	if len(r.buckets) > mostBuckets {
		t.Errorf("%d buckets", len(r.buckets))
	}
}

// hostile are texts that break pages which do not escape.
var hostile = []string{
	`<script>alert(1)</script>`,
	`"><img src=x onerror=alert(1)>`,
	`'"--></title></textarea><svg onload=alert(1)>`,
	`{{.Token}} ${7*7} <%= 7*7 %>`,
	`javascript:alert(1)`,
	"a\x00b\x1b[31mred\u202egnp.exe",
	"\xff\xfe not UTF-8",
	strings.Repeat("W", 3900),
	`</pre><form action="//attacker.example">`,
	`../../../../etc/passwd`,
}

// TestHostileTexts: whatever a caller or an agent says is shown as text, on
// every screen that shows it.
func TestHostileTexts(t *testing.T) {
	p := newTestPage(t)
	for _, text := range hostile {
		a := p.agent(t)
		a.get("/calls")
		a.post("/agent", "name", text).wants(200)
		a.begin("the screen is black " + text)
		a.input("note", "text", text).wants(200)
		a.input("ask", "id", text, "value", text).wants(422)
		path := a.path
		a.get(path)
		a.input("close", "value", "", "text", text).wants(200)
		for _, at := range []string{path, path + "/ticket", "/calls", path + "?why=" + url.QueryEscape(text), "/find?q=" + url.QueryEscape(text), "/call/" + url.PathEscape(text)} {
			a.get(at)
			for _, bad := range []string{"<script>alert", "<img src=x", "<svg onload", `<form action="//`, "\x00", "\x1b"} {
				if strings.Contains(a.body, bad) {
					t.Errorf("%q comes back as markup on %s: %q", text, at, bad)
				}
			}
			if strings.Contains(a.body, "49 <") || strings.Count(a.body, "</title>") > 1 {
				t.Errorf("%q was run or broke out on %s", text, at)
			}
		}
	}
}

// TestPaths: no address and no field leads out of the data folder.
func TestPaths(t *testing.T) {
	p := newTestPage(t)
	outside := filepath.Join(filepath.Dir(p.home), "20260101-000000-abc.jsonl")
	if err := os.WriteFile(outside, []byte(`{"faultbook_case":1,"id":"20260101-000000-abc","opened":"2026-01-01T00:00:00Z"}`+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{
		"/call/../../20260101-000000-abc", "/call/..%2f..%2f20260101-000000-abc", "/call/%2e%2e%2f20260101-000000-abc",
		"/assets/x/..%2fpage.go", "/assets/x/%2e%2e", "/assets/..%2f..%2fgo.mod/x", "/assets/x/call.html",
		"/call/C:%5cx", "/call/20260101-000000-abc%00", "/call/20260101-000000-abc/../../x",
	} {
		if got := p.ask("GET", "/", func(r *http.Request) { r.URL, _ = url.ParseRequestURI(path) }); got.Code == 200 {
			t.Errorf("%s: %d %.80s", path, got.Code, got.Body)
		}
	}
}

// TestEveryPlaceholder: no part of an address of any screen is taken for a path.
func TestEveryPlaceholder(t *testing.T) {
	p := newTestPage(t)
	secret := "secret-" + filepath.Base(p.home)
	if err := os.WriteFile(filepath.Join(filepath.Dir(p.home), "x.yaml"), []byte(secret), 0o600); err != nil {
		t.Fatal(err)
	}
	place := regexp.MustCompile(`\{[a-z]+\}`)
	asked := 0
	for _, sc := range p.screens {
		for _, rt := range sc.Routes {
			method, path, _ := strings.Cut(rt.Pattern, " ")
			if method != "GET" || !place.MatchString(path) {
				continue
			}
			for _, bad := range []string{"..%2fx", "..%2f..%2fx.yaml", "%2e%2e%2fx.yaml", "%2fetc%2fpasswd", "x%00.yaml", "..%5cx", "%3Cscript%3Ealert(1)"} {
				asked++
				address := place.ReplaceAllLiteralString(path, bad)
				got := p.ask("GET", "/", func(r *http.Request) { r.URL, _ = url.ParseRequestURI(address) })
				if body := got.Body.String(); got.Code < 300 || got.Code >= 500 || strings.Contains(body, secret) || strings.Contains(body, "<script>alert") {
					t.Errorf("%s: %d %.200s", address, got.Code, body)
				}
			}
		}
	}
	if asked < 40 {
		t.Errorf("only %d addresses were tried", asked)
	}
}

// TestMethods: only what a screen offers.
func TestMethods(t *testing.T) {
	p := newTestPage(t)
	for _, c := range []struct{ method, path string }{{"PUT", "/"}, {"DELETE", "/calls"}, {"TRACE", "/"}, {"GET", "/call/x/take"}, {"POST", "/calls"}} {
		if got := p.ask(c.method, c.path, nil).Code; got < 400 {
			t.Errorf("%s %s: %d", c.method, c.path, got)
		}
	}
}

// TestBrokenForms: a form that is cut off or garbled is refused in words, is no
// fault of the program, and changes nothing.
func TestBrokenForms(t *testing.T) {
	p := newTestPage(t)
	a := p.agent(t)
	a.begin("the screen is black")
	path := a.path
	field := "--b\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\n" + a.tok
	for name, c := range map[string]struct {
		kind, body string
		want       int
	}{
		"broken escape":    {"application/x-www-form-urlencoded", "token=" + a.tok + "&do=note&text=%zz", http.StatusBadRequest},
		"no boundary":      {"multipart/form-data", field, http.StatusBadRequest},
		"cut off":          {"multipart/form-data; boundary=b", field, http.StatusBadRequest},
		"wrong header":     {"multipart/form-data; boundary=b", "--b\r\nContent-Disposition\r\n\r\nx\r\n--b--\r\n", http.StatusBadRequest},
		"another kind":     {"application/json", `{"do":"note"}`, http.StatusForbidden},
		"too large":        {"application/x-www-form-urlencoded", "token=" + a.tok + "&text=" + strings.Repeat("x", 2*defaultBody), http.StatusRequestEntityTooLarge},
		"too large, parts": {"multipart/form-data; boundary=b", field + strings.Repeat("x", 2*defaultBody), http.StatusRequestEntityTooLarge},
	} {
		if a.took(a.http.Post(p.web.URL+path, c.kind, strings.NewReader(c.body))); a.code != c.want {
			t.Errorf("%s: status %d, want %d: %s", name, a.code, c.want, a.text())
		}
	}
	if n := len(p.events(t, strings.TrimPrefix(path, "/call/"))); n != 1 {
		t.Errorf("%d events: something was taken", n)
	}
}
