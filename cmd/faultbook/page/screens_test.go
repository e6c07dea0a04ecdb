package page

import (
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/cmd/faultbook/page/internal/browser"
	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// hostileText is what somebody may type anywhere: it must be shown as it is.
const hostileText = `"><script>alert(1)</script><img src=x onerror=alert(2)> ${7*7} {{.}} ` + "\u202e" + `'; DROP`

// site is a page on a folder of its own, with an index that is read anew for
// every search.
type site struct {
	*httptest.Server
	page  *Server
	home  string
	first *kb.Book // as it was at the start

	mutex sync.Mutex
	desk  *call.Desk // as it was last read
}

// clock goes on by a second whenever it is asked.
func clock() func() time.Time {
	var mutex sync.Mutex
	at := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	return func() time.Time {
		mutex.Lock()
		defer mutex.Unlock()
		at = at.Add(time.Second)
		return at
	}
}

// newSite serves the page on the built-in book.
func newSite(t *testing.T) *site {
	t.Helper()
	home, cache := t.TempDir(), t.TempDir()
	now := clock()
	var n atomic.Int32
	suffix := func() string { return fmt.Sprintf("t%03d", n.Add(1)) }
	load := func() (*call.Desk, error) {
		book, err := kb.Builtin()
		if err != nil {
			return nil, err
		}
		own := filepath.Join(home, "book")
		if _, err := os.Stat(own); err == nil {
			over, _ := kb.Load(os.DirFS(own), own)
			book, _ = kb.Usable(book, over)
		}
		hear := index.NewOpening(book)
		return &call.Desk{Book: book, Store: cases.NewStore(filepath.Join(home, "cases"), now).WithSuffix(suffix), Listen: hear.Read}, nil
	}
	desk, err := load()
	if err != nil {
		t.Fatal(err)
	}
	s := &site{home: home, desk: desk, first: desk.Book}
	server, err := New(Options{Desk: desk, Home: home, Now: now,
		Find: func(words string, o index.Options) (index.Results, error) { return s.find(cache, words, o) },
		Records: func(d *call.Desk) ([]cases.Record, []error) {
			return cases.NewLedger("", d.Store, "test", call.NewJudge(d).Record).Records()
		},
		Reload: func() (*call.Desk, error) {
			d, err := load()
			s.mutex.Lock()
			defer s.mutex.Unlock()
			s.desk = d
			return d, err
		}})
	if err != nil {
		t.Fatal(err)
	}
	s.page, s.Server = server, httptest.NewServer(server.Handler())
	t.Cleanup(s.Close)
	return s
}

func (s *site) find(cache, words string, o index.Options) (index.Results, error) {
	s.mutex.Lock()
	desk := s.desk
	s.mutex.Unlock()
	src, err := index.FromStore(desk.Book, desk.Store)
	if err != nil {
		return index.Results{}, err
	}
	x, err := index.Open(cache, src)
	if err != nil {
		return index.Results{}, err
	}
	defer x.Close()
	return x.Search(words, o)
}

// take plays a call and gives its id.
func (s *site) take(t *testing.T, words string, inputs ...call.In) string {
	t.Helper()
	c, err := call.New(s.desk, words, "")
	if err != nil {
		t.Fatal(err)
	}
	for _, in := range inputs {
		if _, err := c.Do(in); err != nil {
			t.Fatalf("%+v: %v", in, err)
		}
	}
	return c.ID()
}

// withCases fills a site with some calls, one of them with hostileText words.
func withCases(t *testing.T) (s *site, ids []string) {
	s = newSite(t)
	ids = append(ids,
		s.take(t, "the telly is dead, there is no light on it at all", call.In{Tried: &cases.Tried{Remedy: "seat-mains-plug", Result: cases.Cured}}),
		s.take(t, "nobody hears us in the meeting", call.In{Handover: "visit"}, call.In{Note: "the table box is loose"}),
		s.take(t, hostileText, call.In{Note: hostileText}, call.In{Close: &cases.Close{Note: hostileText}}),
		s.take(t, "the picture flickers at 2160p60"))
	withRoom(t, s)
	return s, ids
}

// screens are the addresses of all screens that only show something.
func screens(ids []string) map[string]string {
	list := map[string]string{
		"find": "/find", "find-hits": "/find?words=no+picture+at+all", "find-none": "/find?words=qqqqqqqq",
		"find-hostile": "/find?words=" + strings.ReplaceAll(hostileText, " ", "+"),
		"shelf":        "/book/cause", "cause": "/book/cause/PW-01", "symptom": "/book/symptom/F-01", "question": "/book/question/display-lamp",
		"remedy": "/book/remedy/seat-mains-plug", "practice": "/book/practice/before-a-visit", "caution": "/book/caution/height",
		"value": "/book/value/N-002", "term": "/book/term", "rule": "/book/rule", "handover": "/book/handover/visit",
		"cases": "/cases", "cases-none": "/cases?state=open&since=2027-01-01", "stats": "/stats", "trees": "/tree", "tree": "/tree/F-18",
		"help": "/help", "calls": "/calls", "new-call": "/", "call": "/call/" + ids[3], "call-hostile": "/call/" + ids[2], "sums": "/sums", "sum": "/sums/usb-power", "sum-done": "/sums/link?format=2160p60&part=source%3DHDMI+2.0%0Acable%3DHigh+Speed,+7+m%0Adisplay%3D300+MHz",
		"sum-hostile": "/sums/link?format=" + strings.ReplaceAll(hostileText, " ", "+"), "read": "/read",
		"write": "/write", "write-case": "/write?case=" + ids[0], "write-hostile": "/write?case=" + ids[2], "review": "/review", "edit": "/edit/cause/PW-01", "rooms": "/rooms", "room": "/rooms/harbour", "visit": "/rooms/harbour/visit",
		"missing": "/book/cause/XX-99",
	}
	for i, id := range ids {
		list[fmt.Sprintf("case-%d", i+1)] = "/cases/" + id
	}
	return list
}

// TestScreens looks at every screen in a window and on a telephone, in light,
// in dark and in high contrast: no fault that axe-core finds, no line wider
// than the window, no request to another machine, no error, and no more than
// 150 kB.
func TestScreens(t *testing.T) {
	s, ids := withCases(t)
	b := browser.Start(t)
	for name, o := range map[string]browser.Options{"desk": browser.Desk(), "phone": browser.Phone()} {
		p := b.Page(o)
		for screen, path := range screens(ids) {
			before := p.Bytes()
			p.Open(s.URL + path)
			if n := p.Bytes() - before; n > 150_000 {
				t.Errorf("%s: %d bytes", path, n)
			}
			p.Axe()
			p.Shot(screen + "-" + name)
			p.Prefer(true, false)
			p.AxeColours()
			p.Shot(screen + "-" + name + "-dark")
			p.Prefer(false, name == "desk")
			if name == "desk" {
				p.AxeColours()
				p.Prefer(false, false)
			}
			if p.Has("img[src=x]") || strings.Contains(p.Text("main"), "49 {{") {
				t.Errorf("%s: hostile text was taken for code", path)
			}
		}
	}
}

// TestZoomAndPaper looks at the long screens at twice the size, and prints
// them: nothing that is only for pressing is on the paper.
func TestZoomAndPaper(t *testing.T) {
	s, ids := withCases(t)
	all := screens(ids)
	p := browser.Start(t).Page(browser.Options{Width: 1280, Height: 800, Zoom: 2})
	for _, screen := range []string{"find-hits", "cause", "practice", "cases", "case-2", "stats", "tree", "sum-done", "room"} {
		p.Open(s.URL + all[screen])
		p.Axe()
		p.Shot(screen + "-zoom")
		p.OnPaper(true)
		for _, control := range []string{"button", "header.top", "nav", "select", ".zoom-keys"} {
			if p.Has(control) {
				t.Errorf("%s: %s is printed", all[screen], control)
			}
		}
		p.OnPaper(false)
		p.Print(screen)
	}
}
