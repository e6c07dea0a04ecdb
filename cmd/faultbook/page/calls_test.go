package page

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"
)

// TestHandOver: a call goes from one browser to another, both see it, and the
// first can no longer answer.
func TestHandOver(t *testing.T) {
	p := newTestPage(t)
	ann, ben := p.agent(t), p.agent(t)
	ann.get("/calls")
	ann.post("/agent", "name", "Desk 1").wants(200)
	ben.get("/calls")
	ben.post("/agent", "name", "Desk 2").wants(200)
	ann.begin("the screen is black")
	path := ann.path
	ann.post(path+"/offer").wants(200, "Keep the call after all")
	ben.get("/calls").wants(200, "“the screen is black”", "Desk 1 has it", "waits for somebody to take it")
	ben.get(path).wants(200, "Desk 1 has this call", "disabled")
	ben.input("symptom", "value", "F-01").wants(409, "Desk 1 has this call now", "Take the call over")
	ben.get(path)
	ben.post(path+"/take").wants(200, "Undo the last step")
	ann.input("symptom", "value", "F-02").wants(409, "Desk 2 has this call now")
	ben.input("symptom", "value", "F-01").wants(200)
	if e := p.events(t, ben.id()); len(e) != 2 || e[1].Symptom != "F-01" {
		t.Errorf("events %+v", e)
	}
	ann.get(path)
	ann.input("note", "text", "the door code is with the porter").wants(200, "Desk 2 has this call")
	if e := p.events(t, ben.id()); len(e) != 3 || e[2].Note == "" {
		t.Errorf("a note of the agent who gave the call away is lost: %+v", e)
	}
	ann.post(path+"/offer").wants(409, "Desk 2 has this call")
}

// TestTwoTabs: an answer for an older state of the call is not taken; words
// and notes are, because they hold in any state.
func TestTwoTabs(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the telly is dead, there is no light on it at all")
	old := a.body
	other := a.other()
	kind, id := a.step()
	a.reply()
	now := a.body
	a.body = old
	a.input(kind, "id", id, "value", other).wants(409, "gone on in another window")
	a.body = old
	a.input("note", "text", "typed in the other tab").wants(200, "typed in the other tab")
	if now == a.body {
		t.Error("the note does not show")
	}
	e := a.page.events(t, a.id())
	if len(e) != 3 || e[1].Answer.Value != reply(kind, id) || e[2].Note == "" {
		t.Errorf("events %+v", e)
	}
}

// TestSentTwice: an input that comes again, as after a lost answer, counts
// once; another one with the same key of the page counts too.
func TestSentTwice(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the screen is black")
	old := a.body
	for range 3 {
		a.body = old
		a.input("symptom", "value", "F-01").wants(200)
	}
	for range 3 {
		a.body = old
		a.input("note", "text", "one").wants(200)
	}
	a.body = old
	a.input("note", "text", "two").wants(200)
	if n := len(a.page.events(t, a.id())); n != 4 {
		t.Errorf("%d events, want words, symptom and two notes: %+v", n, a.page.events(t, a.id()))
	}
	// The same words after a new start of the program, which knows no keys.
	path, id := a.path, a.id()
	a.page.calls.mutex.Lock()
	delete(a.page.calls.open, id)
	a.page.calls.mutex.Unlock()
	a.path, a.body = path, old
	a.input("note", "text", "two").wants(200)
	if n := len(a.page.events(t, id)); n != 4 {
		t.Errorf("%d events: the last note was taken twice", n)
	}
}

// TestBegunTwice: the form of the first words, sent twice, opens one case; the
// same form with other words opens another.
func TestBegunTwice(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.get("/")
	key := a.field("key")
	first := a.post("/call", "words", "black screen", "key", key).path
	if again := a.post("/call", "words", "black screen", "key", key).path; again != first {
		t.Errorf("%s and %s", first, again)
	}
	if other := a.post("/call", "words", "no sound", "key", key).path; other == first {
		t.Error("other words went into the first call")
	}
}

// liveOf asks how the desk stands.
func (a *agent) liveOf(id string) alive {
	a.t.Helper()
	a.get("/live?case=" + id).wants(200)
	var s alive
	if err := json.Unmarshal([]byte(a.body), &s); err != nil {
		a.t.Fatal(err)
	}
	return s
}

func TestLive(t *testing.T) {
	p := newTestPage(t)
	ann, ben := p.agent(t), p.agent(t)
	ann.begin("the screen is black")
	id := ann.id()
	time.Sleep(liveFor) // counts are kept for a moment
	if got := ann.liveOf(id); got.Open != 1 || got.Version != 1 || !got.Mine || got.Offered != 0 {
		t.Errorf("%+v", got)
	}
	ann.get("/call/" + id)
	ann.input("note", "text", "x")
	ann.post("/call/" + id + "/offer")
	time.Sleep(liveFor)
	if got := ben.liveOf(id); got.Open != 1 || got.Version != 2 || got.Mine || got.Offered != 1 {
		t.Errorf("%+v", got)
	}
}

// fifty is how many agents the desk is built for.
const fifty = 50

// TestFiftyAgents: fifty calls at once, each answered by its own agent; each
// ends with its own words and answers alone.
func TestFiftyAgents(t *testing.T) {
	p := newTestPage(t)
	var wait sync.WaitGroup
	for i := range fifty {
		wait.Go(func() {
			a := p.agent(t)
			words := fmt.Sprintf("the telly in room %d is dead, there is no light on it at all", i)
			a.begin(words)
			note := fmt.Sprintf("note of agent %d", i)
			a.input("note", "text", note).wants(200, note)
			for range 3 {
				if !strings.Contains(a.body, `data-key="1"`) {
					break
				}
				a.answer(1).wants(200, words, note)
			}
			for _, e := range p.events(t, a.id()) {
				if e.Say != "" && e.Say != words || e.Note != "" && e.Note != note {
					t.Errorf("agent %d has another's input: %+v", i, e)
				}
			}
		})
	}
	wait.Wait()
	ids, err := p.opt.Desk.Store.IDs()
	if err != nil || len(ids) != fifty {
		t.Errorf("%d cases, %v", len(ids), err)
	}
}

// TestOneCallManyAtOnce: many inputs for the same state of one call; one is
// taken, the others are told.
func TestOneCallManyAtOnce(t *testing.T) {
	a := newTestPage(t).agent(t)
	a.begin("the telly is dead, there is no light on it at all")
	body, path := a.body, a.path
	codes := make([]int, 12)
	var wait sync.WaitGroup
	for i := range codes {
		wait.Go(func() {
			b := &agent{t: t, page: a.page, http: a.http, tok: a.tok, body: body, path: path}
			codes[i] = b.input("meeting", "text", fmt.Sprint(100+i)).code
		})
	}
	wait.Wait()
	taken := 0
	for _, c := range codes {
		if c == http.StatusOK {
			taken++
		} else if c != http.StatusConflict {
			t.Errorf("status %d", c)
		}
	}
	if n := len(a.page.events(t, a.id())); taken != 1 || n != 2 {
		t.Errorf("%d taken, %d events", taken, n)
	}
}

// TestManyCallsStayBounded: memory holds the calls that were used last; older
// ones come from their files.
func TestManyCallsStayBounded(t *testing.T) {
	p := newTestPage(t)
	first := ""
	for range mostOpen + 30 {
		file, err := p.opt.Desk.Store.Create()
		if err != nil {
			t.Fatal(err)
		}
		if first == "" {
			first = file.ID
		}
		if _, err := p.calls.get(file.ID); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(p.calls.open); n > mostOpen {
		t.Errorf("%d calls in memory", n)
	}
	if _, err := p.calls.get(first); err != nil {
		t.Error(err)
	}
}
