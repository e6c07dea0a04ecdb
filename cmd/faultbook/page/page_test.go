package page

import (
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/cmd/faultbook/page/internal/browser"
	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
)

func TestMain(m *testing.M) { browser.Main(m) }

// testPage is a page with the built-in book and a store of its own.
type testPage struct {
	*Server
	web  *httptest.Server
	home string
}

// listen hears words by the built-in book; learning it once serves all tests.
var listen = sync.OnceValue(func() *index.Opening {
	book, err := kb.Builtin()
	if err != nil {
		panic(err) // a test of the book fails, too
	}
	return index.NewOpening(book)
})

func newTestPage(t testing.TB, change ...func(*Options)) *testPage {
	t.Helper()
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	home := t.TempDir()
	opt := Options{Home: home, Now: time.Now, Desk: &call.Desk{Book: book, Listen: listen().Read,
		Store: cases.NewStore(home+"/cases", time.Now)}}
	for _, c := range change {
		c(&opt)
	}
	s, err := New(opt)
	if err != nil {
		t.Fatal(err)
	}
	p := &testPage{Server: s, web: httptest.NewServer(s.Handler()), home: home}
	t.Cleanup(p.web.Close)
	return p
}

// agent is a browser without script: it follows links and sends forms.
type agent struct {
	t    testing.TB
	page *testPage
	http *http.Client
	path string // of the page that is shown
	body string
	code int
	tok  string // of the last page that had one
}

func (p *testPage) agent(t testing.TB) *agent {
	jar, _ := cookiejar.New(nil) // never fails
	return &agent{t: t, page: p, http: &http.Client{Jar: jar, Timeout: 20 * time.Second}}
}

func (a *agent) took(r *http.Response, err error) *agent {
	a.t.Helper()
	if err != nil {
		a.t.Fatal(err)
	}
	defer r.Body.Close()
	data, err := io.ReadAll(r.Body)
	if err != nil {
		a.t.Fatal(err)
	}
	defer func() {
		if t := a.field("token"); t != "" {
			a.tok = t
		}
	}()
	a.path, a.body, a.code = r.Request.URL.Path, string(data), r.StatusCode
	return a
}

func (a *agent) get(path string) *agent {
	a.t.Helper()
	return a.took(a.http.Get(a.page.web.URL + path))
}

// post sends fields with the token of the page that is shown.
func (a *agent) post(path string, fields ...string) *agent {
	a.t.Helper()
	form := url.Values{"token": {a.tok}}
	for i := 0; i+1 < len(fields); i += 2 {
		form.Set(fields[i], fields[i+1])
	}
	return a.took(a.http.PostForm(a.page.web.URL+path, form))
}

// field is the value of the first input of that name on the page.
func (a *agent) field(name string) string {
	m := regexp.MustCompile(`name="` + name + `" value="([^"]*)"`).FindStringSubmatch(a.body)
	if m == nil {
		return ""
	}
	return m[1]
}

// begin opens a call with words.
func (a *agent) begin(words string) *agent {
	a.t.Helper()
	a.get("/")
	return a.post("/call", "words", words, "key", a.field("key")).wants(200)
}

// input sends one input for the call that is shown.
func (a *agent) input(do string, fields ...string) *agent {
	a.t.Helper()
	return a.post(a.path, append([]string{"do", do, "version", a.field("version"), "key", a.field("key")}, fields...)...)
}

// answer presses the answer with the number, as the form of the step has it.
func (a *agent) answer(n int) *agent {
	a.t.Helper()
	form := regexp.MustCompile(`(?s)<form[^>]*class="answers.*?</form>`).FindString(a.body)
	do := regexp.MustCompile(`name="do" value="([^"]*)"`).FindStringSubmatch(form)
	id := regexp.MustCompile(`name="id" value="([^"]*)"`).FindStringSubmatch(form)
	value := regexp.MustCompile(fmt.Sprintf(`name="value" value="([^"]*)"[^>]*data-key="%d"`, n)).FindStringSubmatch(form)
	if do == nil || id == nil || value == nil {
		a.t.Fatalf("no answer %d in\n%s", n, form)
	}
	return a.input(do[1], "id", id[1], "value", value[1])
}

// wants fails unless the page has the status and the texts.
func (a *agent) wants(code int, texts ...string) *agent {
	a.t.Helper()
	if a.code != code {
		a.t.Fatalf("%s: status %d, want %d: %s", a.path, a.code, code, a.text())
	}
	for _, text := range texts {
		if !strings.Contains(a.body, text) {
			a.t.Errorf("%s lacks %q: %s", a.path, text, a.text())
		}
	}
	return a
}

// text is what the page says, without markup.
func (a *agent) text() string {
	s := regexp.MustCompile(`<[^>]*>`).ReplaceAllString(a.body, " ")
	return strings.Join(strings.Fields(s), " ")
}

// id is the case that is shown.
func (a *agent) id() string { return strings.TrimPrefix(a.path, "/call/") }

// events are those in the case file.
func (p *testPage) events(t testing.TB, id string) []cases.Event {
	t.Helper()
	c, err := p.opt.Desk.Store.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	return c.Events
}
