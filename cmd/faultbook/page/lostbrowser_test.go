package page

import (
	"net/http"
	"net/http/httptest"
	"sync/atomic"
	"testing"
	"time"

	"faultbook/cmd/faultbook/page/internal/browser"
)

// Nothing is lost: reload, back, a connection that goes, a restart.

// TestReloadAndBack in the middle of a call lose nothing, not even words that
// were typed and not sent.
func TestReloadAndBack(t *testing.T) {
	at := newTestPage(t)
	p := browser.Start(t).Page(browser.Desk())
	ring(p, at, deadTelly)
	now := press(p, false)
	same := func() bool {
		return stepIn(p) == now && browser.Eval[string](p, `words.value`) == "half a sent"
	}
	p.Type("#words", "half a sent")
	p.Reload()
	p.Until("see the step and the words again", same)
	p.Open(at.web.URL + "/help")
	p.Back()
	p.Wait("#call")
	p.Until("see the step and the words again", same)
	p.Keys(browser.Escape)
	p.Click("h1")
	press(p, false)
	if n := len(at.events(t, lastPart(p.URL()))); n != 3 {
		t.Errorf("%d events, want words and two answers", n)
	}
}

// TestOfflineMinute: the connection goes in the middle of a call. What is
// typed and answered then is kept, shown as not sent, sent when the connection
// is back, and counts once; a reload meanwhile is not needed and does no harm.
func TestOfflineMinute(t *testing.T) {
	at := newTestPage(t)
	p := browser.Start(t).Page(browser.Phone())
	ring(p, at, deadTelly)
	p.Offline(true)
	p.Type("#words", "it was fine this morning")
	p.Keys(browser.Enter)
	p.WaitText("#waiting", "it was fine this morning")
	p.WaitText("#link", "No connection to the desk")
	p.Axe()
	p.Shot("call-offline-phone")
	p.Type("#words", "and the lamp is off")
	p.Keys(browser.Enter)
	p.WaitText("#waiting", "and the lamp is off")
	time.Sleep(2 * time.Second) // several tries fail meanwhile
	id := lastPart(p.URL())
	if n := len(at.events(t, id)); n != 1 {
		t.Fatalf("%d events while the connection was away", n)
	}
	p.Offline(false)
	p.WaitText("#facts", "and the lamp is off")
	p.Until("see that nothing waits", func() bool { return !p.Has("#waiting") && !p.Has("#link") })
	time.Sleep(300 * time.Millisecond) // for a second sending that must not come
	e := at.events(t, id)
	if len(e) != 3 || e[1].Say != "it was fine this morning" || e[2].Say != "and the lamp is off" {
		t.Errorf("events %+v", e)
	}
}

// TestLeftOffline: somebody leaves a call with words that were not sent. They
// arrive from the next page that is opened.
func TestLeftOffline(t *testing.T) {
	at := newTestPage(t)
	p := browser.Start(t).Page(browser.Desk())
	ring(p, at, deadTelly)
	id := lastPart(p.URL())
	p.Offline(true)
	p.Type("#words", "and the lamp is off")
	p.Keys(browser.Enter)
	p.WaitText("#waiting", "and the lamp is off")
	p.Offline(false)
	p.Open(at.web.URL + "/calls")
	p.Until("have the words arrive", func() bool { return len(at.events(t, id)) == 2 })
	time.Sleep(300 * time.Millisecond) // for a second sending that must not come
	if e := at.events(t, id); len(e) != 2 || e[1].Say != "and the lamp is off" {
		t.Errorf("events %+v", e)
	}
}

// TestBeginOffline: the first words of a call are typed while the connection is
// away. They stay, and open one call once it is back.
func TestBeginOffline(t *testing.T) {
	at := newTestPage(t)
	p := browser.Start(t).Page(browser.Phone())
	p.Open(at.web.URL + "/")
	p.Offline(true)
	p.Type("#words", deadTelly)
	p.Keys(browser.Enter)
	p.WaitText("#link", "No connection to the desk")
	time.Sleep(2 * time.Second) // several tries fail meanwhile
	p.Offline(false)
	p.WaitURL("/call/")
	p.WaitText("#facts", deadTelly)
	if ids, err := at.opt.Desk.Store.IDs(); err != nil || len(ids) != 1 {
		t.Errorf("%d cases, %v", len(ids), err)
	}
}

// TestAnswerOffline: an answer that is given while the connection is away is
// sent once it is back.
func TestAnswerOffline(t *testing.T) {
	at := newTestPage(t)
	p := browser.Start(t).Page(browser.Desk())
	ring(p, at, deadTelly)
	was := stepIn(p)
	chosen := browser.Eval[string](p, `document.querySelector('.answers [data-key="2"]').value`)
	p.Offline(true)
	p.Keys("2")
	p.Wait("#waiting")
	p.Keys("1", "0") // answers to a step that is answered already
	p.Offline(false)
	after(p, was)
	if e := at.events(t, lastPart(p.URL())); len(e) != 2 || e[1].Answer.Value != chosen {
		t.Errorf("events %+v", e)
	}
}

// TestRestart: the program is started anew in the middle of a call, so that
// every token of the page is out of date and nobody holds the call. The next
// answer goes through all the same.
func TestRestart(t *testing.T) {
	at := newTestPage(t)
	var desk atomic.Pointer[Server]
	desk.Store(at.Server)
	web := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { desk.Load().Handler().ServeHTTP(w, r) }))
	t.Cleanup(web.Close)
	p := browser.Start(t).Page(browser.Desk())
	at.web.Close()
	at.web = web
	ring(p, at, deadTelly)
	again, err := New(at.opt)
	if err != nil {
		t.Fatal(err)
	}
	desk.Store(again)
	press(p, false)
	if e := at.events(t, lastPart(p.URL())); len(e) != 2 {
		t.Errorf("events %+v", e)
	}
}
