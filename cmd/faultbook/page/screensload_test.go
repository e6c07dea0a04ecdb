package page

import (
	"bytes"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// withScreens is a page on which entries can be saved and cases are counted.
func withScreens(t *testing.T) (*testPage, *site) {
	s := newSite(t)
	return &testPage{Server: s.page, web: s.Server, home: s.home}, s
}

// TestAgentsWhileBookChanges reads every screen from several browsers while
// entries are written: nobody meets an error, and the race detector sees what
// is shared.
func TestAgentsWhileBookChanges(t *testing.T) {
	p, s := withScreens(t)
	withRoom(t, s)
	ids := []string{s.take(t, "the telly is dead"), s.take(t, "nobody hears us"), s.take(t, "no sound"), s.take(t, "the picture flickers")}
	all := screens(ids)
	for _, slow := range []string{"missing", "tree", "find-none", "find-hostile"} { // planned or indexed anew each time
		delete(all, slow)
	}
	patient := func() *agent {
		a := p.agent(t)
		a.http.Timeout = 2 * time.Minute // the race detector takes its time
		return a
	}
	var wait sync.WaitGroup
	for range 3 {
		wait.Add(1)
		go func() {
			defer wait.Done()
			a := patient()
			for name, path := range all {
				if a.get(path); a.code != http.StatusOK {
					t.Errorf("%s: %d", name, a.code)
				}
			}
		}()
	}
	a := patient()
	for _, title := range []string{"Hub lost its supply", "Strip under the lectern is off", "Trunk socket is dead"} {
		a.get("/write").post("/write", "do", "save", "title", title, "symptom", "F-14", "why", "It is so.", "fix", "Plug it in.", "by", "ab")
		a.wants(http.StatusOK, title)
	}
	wait.Wait()
	if n := len(p.desk().Book.IDs(kb.KindCause)); n != len(s.first.IDs(kb.KindCause))+3 {
		t.Errorf("the book has %d causes", n)
	}
}

// TestHostileScreens sends what no page of ours sends. Nothing of it is an
// error of the program, and nothing outside the data folder is read.
func TestHostileScreens(t *testing.T) {
	p, s := withScreens(t)
	a := p.agent(t).get("/find")
	for _, path := range []string{
		"/find?kind=secrets", "/find?words=" + strings.Repeat("a", 5000), "/book/cause/..%2f..%2fetc%2fpasswd", "/book/%2e%2e/x", "/book/x/y",
		"/cases/..%2f..%2fetc", "/cases?since=yesterday", "/cases?from=-7", "/cases?from=99999999999999999999", "/cases?symptom=" + url.QueryEscape(hostileText),
		"/stats?since=" + url.QueryEscape(hostileText), "/tree/F-99", "/tree/..%2fF-01", "/sums/none", "/sums/link?format=" + strings.Repeat("9", 6000),
		"/rooms/..%2fbook", "/write?case=nothing", "/write/answers?question=nothing", "/edit/cause/nothing", "/history/cause/nothing",
	} {
		if a.get(path); a.code >= 500 {
			t.Errorf("%s: %d %s", path, a.code, a.text())
		}
	}
	id := s.take(t, "the telly is dead")
	for path, fields := range map[string][]string{
		"/cases/" + id + "/close":       {"cause", hostileText},
		"/cases/" + id + "/redact":      {"text", "x"},
		"/cases/" + id + "/note":        {"note", ""},
		"/cases/" + id + "/reopen":      {},
		"/cases/nothing/note":           {"note", "x"},
		"/sums/link":                    {"case", "nothing", "format", "2160p60"},
		"/write":                        {"do", "save", "question", "nothing", "answer", "x", "likelihood", "now and then"},
		"/edit/cause/PW-01":             {"do", "save", "by", "ab", "text", "kind: cause\nid: ../../x\ntitle: x"},
		"/review/cause/PW-01":           {"by", "ab"},
		"/edit/cause/" + "VL-03" + "?x": {"do", "save", "by", "ab", "text", "a: &a [*a]"},
	} {
		if a.post(path, fields...); a.code < 400 || a.code >= 500 {
			t.Errorf("%s: %d %.200s", path, a.code, a.text())
		}
	}
	if _, err := os.Stat(s.home + "/book"); !os.IsNotExist(err) {
		t.Errorf("something was saved: %v", err)
	}
}

// TestReadLimits sends files that are too large or no files at all.
func TestReadLimits(t *testing.T) {
	p, _ := withScreens(t)
	a := p.agent(t).get("/read")
	send := func(name string, data []byte) int {
		var body bytes.Buffer
		w := multipart.NewWriter(&body)
		w.WriteField("token", a.tok)
		f, err := w.CreateFormFile("file", name)
		if err != nil {
			t.Fatal(err)
		}
		f.Write(data)
		w.Close()
		r, err := a.http.Post(p.web.URL+"/read", w.FormDataContentType(), &body)
		if err != nil {
			return http.StatusRequestEntityTooLarge // the server hung up
		}
		defer r.Body.Close()
		io.Copy(io.Discard, r.Body)
		return r.StatusCode
	}
	for name, want := range map[string]int{"../../x": 422, hostileText: 422} {
		if got := send(name, []byte("\x00\x01 nothing known")); got != want {
			t.Errorf("%q: %d, want %d", name, got, want)
		}
	}
	if got := send("large", make([]byte, mostEvidence+1)); got != http.StatusRequestEntityTooLarge {
		t.Errorf("too large: %d", got)
	}
}

// TestFindWithoutIndex looks for words while there is no index.
func TestFindWithoutIndex(t *testing.T) {
	p := newTestPage(t, func(o *Options) {
		o.Find = func(string, index.Options) (index.Results, error) { return index.Results{}, errors.New("damaged") }
	})
	p.agent(t).get("/find?words=no+picture").wants(http.StatusOK, "cannot be used now", "Causes")
	newTestPage(t).agent(t).get("/find?words=no+picture").wants(http.StatusOK, "cannot be used now", "Causes")
}

// TestCounting looks at cases and statistics while the records are being made.
func TestCounting(t *testing.T) {
	p := newTestPage(t, func(o *Options) {
		o.Records = func(*call.Desk) ([]cases.Record, []error) {
			return []cases.Record{{ID: "20261125-090000-abc", End: cases.EndOpen}}, []error{ErrCounting, errors.New("one cannot be read")}
		}
	})
	p.agent(t).get("/cases").wants(http.StatusOK, "being read", "left out: 1", "20261125-090000-abc")
	p.agent(t).get("/stats").wants(http.StatusOK, "being read", "left out: 1")
}
