package page

import (
	"bufio"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"faultbook/cmd/faultbook/call"
)

// fuzzSite is a site with a call, a closed case, an entry and a room, whose
// clock moves on with every request so that no rate is reached.
type fuzzSite struct {
	*testPage
	session, token string
	open           string // id of a call that goes on
}

func newFuzzSite(f *testing.F) *fuzzSite {
	at := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	p := newTestPage(f, func(o *Options) {
		o.Now = func() time.Time { at = at.Add(time.Second); return at }
		desk := o.Desk
		o.Reload = func() (*call.Desk, error) { return desk, nil }
	})
	a := p.agent(f)
	a.begin("the screen is black")
	s := &fuzzSite{testPage: p, token: a.tok, open: a.id()}
	a.input("note", "text", "ring 0555 0100")
	for _, c := range a.http.Jar.Cookies(&url.URL{Scheme: "http", Host: p.web.Listener.Addr().String()}) {
		if c.Name == sessionCookie {
			s.session = c.Value
		}
	}
	p.web.Close()
	return s
}

// ask sends a request as it stands in the text; TOKEN, SESSION and CALL stand
// for those of the site. False where the text is no request.
func (s *fuzzSite) ask(raw string) (w *httptest.ResponseRecorder, ok bool) {
	raw = strings.NewReplacer("TOKEN", s.token, "SESSION", s.session, "CALL", s.open).Replace(raw)
	head, body, found := strings.Cut(raw, "\n\n")
	if !found {
		return nil, false
	}
	head = strings.ReplaceAll(head, "\n", "\r\n")
	r, err := http.ReadRequest(bufio.NewReader(strings.NewReader(head + "\r\nContent-Length: " + fmt.Sprint(len(body)) + "\r\n\r\n" + body)))
	if err != nil {
		return nil, false
	}
	r.RemoteAddr = "127.0.0.1:40000"
	w = httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	return w, true
}

// print is the content of the data folder.
func (s *fuzzSite) print(t testing.TB) string {
	h := sha256.New()
	err := filepath.WalkDir(s.home, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(p)
		fmt.Fprintf(h, "%s %d\n%s\n", p, len(data), data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return string(h.Sum(nil))
}

// FuzzRequest sends the page any request: it answers without a fault of its
// own, with its protecting headers, and without the token it writes nothing.
func FuzzRequest(f *testing.F) {
	s := newFuzzSite(f)
	head := " HTTP/1.1\nHost: 127.0.0.1:8737\nCookie: faultbook-session=SESSION\n"
	form := head + "Content-Type: application/x-www-form-urlencoded\n\ntoken=TOKEN&"
	for _, sc := range s.screens {
		for _, rt := range sc.Routes {
			method, path, _ := strings.Cut(rt.Pattern, " ")
			path = strings.NewReplacer("{$}", "", "{id}", "CALL", "{kind}", "cause", "{symptom}", "F-99", "{name}", "dock", "{digest}", "x").Replace(path)
			if method == "GET" {
				f.Add("GET " + path + head + "\n")
				f.Add("GET " + path + "?words=%ff%00&id=..%2f..&case=CALL&kind=case&limit=-1&page=99999999999&why=1&since=x" + head + "X-Part: 1\n\n")
				f.Add("GET " + strings.Replace(path, "CALL", "PW-01", 1) + head + "Accept: application/json\n\n")
				continue
			}
			f.Add("POST " + path + form + "do=say&text=no+sound&version=1&key=k&value=x&id=PW-01&title=x&why=y&fix=z&by=ab&yaml=kind:+cause")
			f.Add("POST " + path + head + "\ntoken=wrong&do=note&text=x")
			f.Add("POST " + path + head + "Content-Type: multipart/form-data; boundary=b\n\n--b\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\nTOKEN\r\n--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"../x\"\r\n\r\n00 FF FF FF FF FF FF 00\r\n--b--\r\n")
		}
	}
	for _, do := range []string{"say", "note", "meeting", "read", "sum-of", "ask", "sum", "confirm", "try", "handover", "stop", "symptom", "who", "room", "workaround", "undo", "close", "shout"} {
		f.Add("POST /call/CALL" + form + "do=" + do + "&id=display-lamp&value=off&text=5&version=2&key=" + do)
	}
	f.Add("POST /call/CALL" + form + "do=note&text=%zz")
	f.Add("POST /call/CALL" + head + "Content-Type: multipart/form-data\n\nx")
	f.Add("POST /call/CALL" + head + "Content-Type: multipart/form-data; boundary=b\n\n--b\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\nTOKEN")
	f.Add("GET /%2e%2e/%2e%2e/etc/passwd" + head + "\n")
	f.Add("GET /call/20260105-090000-%00%ff" + head + "\n")
	f.Add("PUT /call/CALL HTTP/1.1\nHost: attacker.example\nOrigin: null\n\n")
	f.Fuzz(func(t *testing.T, raw string) {
		if len(raw) > 1<<16 || strings.Contains(raw, "/tree/F-0") || strings.Contains(raw, "/tree/F-1") || strings.Contains(raw, "/tree/F-2") {
			return // planning a tree takes the time of a hundred others
		}
		carries := strings.Contains(raw, "TOKEN") || strings.Contains(raw, s.token)
		before := ""
		if !carries {
			before = s.print(t)
		}
		w, ok := s.ask(raw)
		if !ok {
			return
		}
		if w.Code >= 500 || w.Code < 200 {
			t.Fatalf("status %d: %s", w.Code, w.Body)
		}
		if p := w.Header().Get("Content-Security-Policy"); !strings.HasPrefix(p, "default-src 'none'; ") || strings.Contains(p, "unsafe") {
			t.Fatalf("headers %v", w.Header())
		}
		if !carries && s.print(t) != before {
			t.Fatal("written without the token")
		}
	})
}
