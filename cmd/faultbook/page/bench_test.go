package page

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// part sends an input as the script does and gives the part that comes back.
func (a *agent) part(fields ...string) int {
	form := url.Values{"version": {a.field("version")}}
	for i := 0; i+1 < len(fields); i += 2 {
		form.Set(fields[i], fields[i+1])
	}
	r := httptest.NewRequest("POST", a.path, strings.NewReader(form.Encode()))
	r.Host = "127.0.0.1"
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("X-Part", "1")
	r.Header.Set("X-Token", a.tok)
	u, _ := url.Parse(a.page.web.URL) // made by the test
	for _, c := range a.http.Jar.Cookies(u) {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	a.page.Handler().ServeHTTP(w, r)
	a.body, a.code = w.Body.String(), w.Code
	return w.Body.Len()
}

// BenchmarkNextStep is what the desk does for one key, with fifty calls open:
// the answer, its file, the next step, the part of the page.
func BenchmarkNextStep(b *testing.B) {
	p := newTestPage(b)
	p.rates.perSecond = 1e9 // one agent for all
	var agents []*agent
	for i := range fifty {
		a := p.agent(b)
		a.begin(fmt.Sprintf("the telly in room %d is dead, there is no light on it at all", i))
		agents = append(agents, a)
	}
	bytes := 0
	for i := 0; b.Loop(); i++ {
		a := agents[i%fifty]
		bytes = a.part("do", "ask", "id", "devices-dark", "value", []string{"one", "several", "all"}[i/fifty%3])
		if a.code != http.StatusOK {
			b.Fatal(a.code, a.text())
		}
	}
	b.ReportMetric(float64(bytes), "bytes-of-page")
}

// BenchmarkHear is what the desk does while a caller's words are typed.
func BenchmarkHear(b *testing.B) {
	p := newTestPage(b)
	p.rates.perSecond, p.addresses.perSecond = 1e9, 1e9
	a := p.agent(b)
	a.get("/")
	a.path = "/hear"
	for b.Loop() {
		if a.part("text", "the telly is dead, there is no light on it at all"); a.code != http.StatusOK {
			b.Fatal(a.code)
		}
	}
}
