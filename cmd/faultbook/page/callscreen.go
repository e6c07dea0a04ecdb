package page

import (
	"crypto/rand"
	"encoding/hex"
	"net/http"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"
)

// callScreen is one call on one screen.
func (s *Server) callScreen() screen {
	return screen{Path: "/", Label: "Call", Routes: []route{
		{Pattern: "GET /{$}", Do: s.newCall},
		{Pattern: "POST /call", Do: s.beginCall},
		{Pattern: "GET /call/{id}", Do: s.showCall},
		{Pattern: "POST /call/{id}", Do: s.inputCall},
		{Pattern: "POST /call/{id}/read", Do: s.inputCall, MaxBody: mostEvidence},
		{Pattern: "GET /call/{id}/ticket", Do: s.ticket},
		{Pattern: "POST /hear", Do: s.hear},
	}}
}

// callPage is what the templates of a call show.
type callPage struct {
	call.Out
	Opened    string // day and time
	Version   int
	Key       string // goes with every input of this page
	Mine      bool   // the inputs of this browser are taken
	Holder    string
	Offered   bool
	Words     []string
	Who       string
	Notice    string // what went wrong with the last input
	Typed     string // words that were not taken, to be sent again
	Why       []call.Row
	Sways     []call.Sway
	LongWhy   bool
	Swayed    bool // Sways were looked for
	Ruler     ruler
	Ended     bool
	Symptom   []call.Option // all symptoms of the book
	Handover  []call.Option
	Rooms     []call.Option            // rooms with a sheet, the first of many
	ManyRooms bool                     // there are more
	Changes   map[string][]call.Option // answers of the questions that are known
}

func (s *Server) newCall(v *visit) error {
	open, _ := s.calls.counts()
	return s.render(v, "newcall", "New call", map[string]any{"Key": newKey(), "Open": open})
}

// beginCall opens a case with the first words.
func (s *Server) beginCall(v *visit) error {
	o, err := s.calls.begin(v.value("words"), v.value("who"), v)
	if err != nil {
		return err
	}
	return v.redirect("/call/" + o.call.ID())
}

func (s *Server) showCall(v *visit) error {
	o, err := s.calls.get(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	o.mutex.Lock()
	defer o.mutex.Unlock()
	o.refresh(s.desk())
	return s.answerCall(v, o, nil)
}

// inputCall takes one input and shows the call after it.
func (s *Server) inputCall(v *visit) error {
	o, err := s.calls.get(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	o.mutex.Lock()
	defer o.mutex.Unlock()
	wasEnded := o.call.File().Ended()
	p, err := readInput(v)
	if err == nil {
		err = o.do(s.desk(), v, p)
	}
	if !wasEnded && o.call.File().Ended() {
		s.ended()
	}
	if err == nil && !v.part() {
		return v.redirect("/call/" + o.call.ID())
	}
	return s.answerCall(v, o, err)
}

// answerCall shows the call, whole or the part that changes, with what went
// wrong with an input. The lock of the call is held.
func (s *Server) answerCall(v *visit, o *openCall, fault error) error {
	status, notice := http.StatusOK, ""
	if p, ok := fault.(problem); ok {
		status, notice = p.status, p.text
	} else if fault != nil {
		return fault
	}
	page, err := s.callPage(v, o)
	if err != nil {
		return err
	}
	page.Notice = notice
	if notice != "" && v.value("do") == "say" {
		page.Typed = v.value("text")
	}
	if v.part() {
		return s.renderPart(v, status, "call", "call", page)
	}
	return s.renderStatus(v, status, "call", callTitle(page), page)
}

func callTitle(p *callPage) string {
	if len(p.Symptoms) > 0 {
		return p.Symptoms[0].Title
	}
	return "Call"
}

// callPage gathers what is shown.
func (s *Server) callPage(v *visit, o *openCall) (*callPage, error) {
	out, err := o.out()
	if err != nil {
		return nil, err
	}
	file := o.call.File()
	p := &callPage{Out: out, Opened: file.Opened.Format("2006-01-02 15:04"), Version: o.version(), Key: newKey(),
		Mine: o.holder == "" || o.holder == v.browser, Holder: o.holderName(), Offered: o.offered,
		Who: string(kb.WhoCaller), Ended: out.Step.Kind == call.StepDone,
		Changes: map[string][]call.Option{}}
	if !p.Ended {
		p.Minutes = minutesNow(out.Minutes, file, s.opt.Now())
	}
	p.Ruler = newRuler(p.Minutes)
	for _, e := range file.Effective() {
		if e.Say != "" {
			p.Words = append(p.Words, e.Say)
		}
		if e.Who != "" {
			p.Who = e.Who
		}
	}
	p.choices(s.desk().Book, o.call.Rooms())
	if v.value("why") != "" {
		p.LongWhy, p.Swayed = true, v.value("why") == "figures"
		p.Why, p.Sways = s.reasons(o, p.Swayed)
	}
	return p, nil
}

// mostRooms is how many rooms are offered to choose from; of more, the name is
// typed, so that the page stays small.
const mostRooms = 60

// choices fills what the forms offer.
func (p *callPage) choices(book *kb.Book, rooms []*room.Sheet) {
	for _, e := range kb.All[kb.Symptom](book) {
		p.Symptom = append(p.Symptom, call.Option{Value: e.ID, Label: e.Title})
	}
	p.ManyRooms = len(rooms) > mostRooms
	for _, r := range rooms[:min(len(rooms), mostRooms)] {
		p.Rooms = append(p.Rooms, call.Option{Value: r.ID, Label: r.Title})
	}
	for _, e := range kb.All[kb.Handover](book) {
		p.Handover = append(p.Handover, call.Option{Value: e.ID, Label: e.Title})
	}
	for _, f := range p.Facts {
		if q := kb.Get[kb.Question](book, f.Question); q != nil {
			for _, a := range q.Answers {
				p.Changes[f.Question] = append(p.Changes[f.Question], call.Option{Value: a.Value, Label: a.Say})
			}
		}
	}
}

// minutesNow moves the clock of a call from its last event to now.
func minutesNow(m call.Minutes, file *cases.Case, now time.Time) call.Minutes {
	passed := max(0, now.Sub(file.Opened).Minutes()-m.Spent)
	m.Spent += passed
	for _, until := range []**float64{&m.Meeting, &m.Heard} {
		if *until != nil {
			left := max(0, **until-passed)
			*until = &left
		}
	}
	return m
}

// reasons are the long reasons of the step, computed once a version: figures
// take many plans, so one browser at a time has them made.
func (s *Server) reasons(o *openCall, figures bool) ([]call.Row, []call.Sway) {
	s.reasoning.Lock()
	defer s.reasoning.Unlock()
	if o.whyAt != o.version()+1 {
		o.whyAt, o.why, o.sways, o.swayed = o.version()+1, o.call.Table(), nil, false
	}
	if figures && !o.swayed {
		o.sways, o.swayed = o.call.Sensitivity(), true
	}
	return o.why, o.sways
}

// newKey names the inputs of one page.
func newKey() string {
	raw := make([]byte, 9)
	rand.Read(raw) // never fails
	return hex.EncodeToString(raw)
}

// sentence makes a sentence of an error text.
func sentence(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:] + "."
}

// ticket is the ticket as the call stands, alone, to print or to copy.
func (s *Server) ticket(v *visit) error {
	o, err := s.calls.get(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	o.mutex.Lock()
	text := o.call.Ticket()
	o.mutex.Unlock()
	return s.render(v, "ticket", "Ticket", map[string]any{"Text": text, "Case": v.r.PathValue("id")})
}
