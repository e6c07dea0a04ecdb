package page

import (
	"errors"
	"net/url"
	"strconv"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// casesPerPage is how many calls a list shows at once.
const casesPerPage = 40

// casesScreen lists past and open calls, shows one, and changes its record.
func (s *Server) casesScreen() screen {
	return screen{Path: "/cases", Label: "Cases", Routes: []route{
		{Pattern: "GET /cases", Do: s.listCases},
		{Pattern: "GET /cases/{id}", Do: s.showCase},
		{Pattern: "POST /cases/{id}/close", Do: s.closeCase},
		{Pattern: "POST /cases/{id}/reopen", Do: s.reopenCase},
		{Pattern: "POST /cases/{id}/note", Do: s.noteCase},
		{Pattern: "POST /cases/{id}/redact", Do: s.redactCase},
	}}
}

// casesPage is a list of calls with what it was narrowed to.
type casesPage struct {
	tallied
	Rows                 []caseRow
	Symptom, Cause, Room string
	Since, State         string
	Symptoms             []choice
	States               []choice
	Rooms                []string
	Total, From, To      int
	Newer, Older         string // addresses of the pages beside, "" for none
	CauseTitle           string
	StatsHref            string
}

// caseRow is a call in the list.
type caseRow struct {
	ID, Day, State, StateWord, Symptom, Cause, Room, Words string
	Minutes                                                string
}

// stateWord says how a call ended.
func stateWord(state string) string {
	switch state {
	case cases.EndOpen:
		return "Open"
	case cases.EndCured:
		return "Cured"
	case cases.EndHandover:
		return "Passed on"
	}
	return "Closed"
}

func (s *Server) listCases(v *visit) error {
	page := &casesPage{Symptom: v.value("symptom"), Cause: v.value("cause"), Room: cleanQuery(v.value("room")),
		Since: v.value("since"), State: v.value("state")}
	filter, err := s.caseFilter(page)
	if err != nil {
		return err
	}
	page.tallied = s.records()
	picked := filter.Pick(page.list)
	page.Total = len(picked)
	from, err := strconv.Atoi(v.value("from"))
	if err != nil || from < 0 || from >= len(picked) {
		from = 0
	}
	for i := len(picked) - 1 - from; i >= 0 && len(page.Rows) < casesPerPage; i-- {
		page.Rows = append(page.Rows, s.caseRow(&picked[i]))
	}
	page.From, page.To = from+1, from+len(page.Rows)
	page.neighbours(v.r.URL.Query(), from)
	page.choices(s.desk().Book, page.list)
	return s.render(v, "cases", "Cases", page)
}

// ErrCounting says that the records of past calls are being made, and that
// those that are given may be old or too few.
var ErrCounting = errors.New("past calls are being read")

// tallied are the records of all cases, how many cases cannot be read, and
// whether the records are still being made.
type tallied struct {
	list     []cases.Record
	Unread   int
	Counting bool
}

func (s *Server) records() tallied {
	if s.opt.Records == nil {
		return tallied{}
	}
	list, errs := s.opt.Records(s.desk())
	t := tallied{list: list}
	for _, err := range errs {
		switch {
		case errors.Is(err, ErrCounting):
			t.Counting = true
		case !errors.Is(err, cases.ErrNotKept):
			t.Unread++
		}
	}
	return t
}

// caseFilter reads what the list is narrowed to.
func (s *Server) caseFilter(p *casesPage) (cases.Filter, error) {
	book := s.desk().Book
	f := cases.Filter{Symptom: p.Symptom, Cause: p.Cause, Room: p.Room, Open: p.State == "open", Closed: p.State == "ended"}
	if p.Symptom != "" && kb.Get[kb.Symptom](book, p.Symptom) == nil {
		return f, wrong("There is no symptom %q.", p.Symptom)
	}
	if p.Cause != "" {
		p.CauseTitle = call.TitleOf(book, p.Cause)
	}
	if p.Since != "" {
		day, err := time.Parse(time.DateOnly, p.Since)
		if err != nil {
			return f, wrong("Write the day as 2026-11-25, not %q.", p.Since)
		}
		f.Since = day
	}
	return f, nil
}

// caseRow words a record; the words of the caller come from its file.
func (s *Server) caseRow(r *cases.Record) caseRow {
	book := s.desk().Book
	row := caseRow{ID: r.ID, Day: r.Opened.Format("2006-01-02 15:04"), State: r.End, StateWord: stateWord(r.End),
		Symptom: call.TitleOf(book, r.Symptom), Cause: call.TitleOf(book, r.Cause), Room: r.Room, Minutes: minutesText(r.Minutes)}
	if file, err := s.desk().Store.Load(r.ID); err == nil { // gone meanwhile otherwise
		row.Words = firstWords(file)
	}
	return row
}

func firstWords(file *cases.Case) string {
	for _, e := range file.Effective() {
		if e.Say != "" {
			return e.Say
		}
	}
	return ""
}

// neighbours makes the addresses of newer and older calls.
func (p *casesPage) neighbours(query url.Values, from int) {
	at := func(n int) string {
		query.Set("from", strconv.Itoa(n))
		return "/cases?" + query.Encode()
	}
	if from > 0 {
		p.Newer = at(max(0, from-casesPerPage))
	}
	if p.To < p.Total {
		p.Older = at(p.To)
	}
}

// choices fills what the form offers.
func (p *casesPage) choices(book *kb.Book, all []cases.Record) {
	p.Symptoms = []choice{{"", "Any", p.Symptom == ""}}
	for _, e := range kb.All[kb.Symptom](book) {
		p.Symptoms = append(p.Symptoms, choice{e.ID, e.ID + " " + e.Title, e.ID == p.Symptom})
	}
	for _, c := range []choice{{Value: "", Label: "Open and ended"}, {Value: "open", Label: "Open"}, {Value: "ended", Label: "Ended"}} {
		c.Picked = c.Value == p.State
		p.States = append(p.States, c)
	}
	seen := map[string]bool{"": true}
	for i := len(all) - 1; i >= 0 && len(p.Rooms) < 100; i-- {
		if room := all[i].Room; !seen[strings.ToLower(room)] {
			seen[strings.ToLower(room)] = true
			p.Rooms = append(p.Rooms, room)
		}
	}
	p.StatsHref = "/stats"
	if p.Since != "" {
		p.StatsHref += "?since=" + url.QueryEscape(p.Since)
	}
}
