package page

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/exchange"
)

// casePage is one case: what it came to, what happened, the ticket, and the
// forms that add to its record.
type casePage struct {
	caseRow
	CauseID, SymptomID, CauseFrom string
	Events                        []eventRow
	Ticket                        string
	Lost                          string // an entry that the book does not have any more
	Open                          bool
	Causes                        []choice
	Made                          []string // files of entries made from it
	Done                          string   // what the last change did
	Notice                        string   // why it did not
}

type eventRow struct {
	Day, Time, Text string
	Taken           bool // taken back later
}

// caseLocked runs a function on a case while nobody else changes it.
func (s *Server) caseLocked(id string, do func(o *openCall) error) error {
	o, err := s.calls.get(id)
	if err != nil {
		return err
	}
	o.mutex.Lock()
	defer o.mutex.Unlock()
	o.refresh(s.desk())
	return do(o)
}

func (s *Server) showCase(v *visit) error {
	return s.answerCase(v, v.value("done"), nil)
}

// answerCase shows the case with what a change did to it, or why it did not.
func (s *Server) answerCase(v *visit, done string, fault error) error {
	status, notice := http.StatusOK, ""
	var p problem
	if errors.As(fault, &p) {
		status, notice = p.status, p.text
	} else if fault != nil {
		return fault
	}
	var page *casePage
	err := s.caseLocked(v.r.PathValue("id"), func(o *openCall) error {
		page = s.casePage(o.call)
		return nil
	})
	if err != nil {
		return err
	}
	page.Done, page.Notice = doneText(done), notice
	return s.renderStatus(v, status, "case", "Case "+page.ID, page)
}

// doneText says what a change did; the address holds a word of ours, so that
// nobody can put words on the page through a link.
func doneText(done string) string {
	switch done {
	case "closed":
		return "Closed. The book learns from the cause, where one is named."
	case "reopened":
		return "Open again. What ended the call is taken back; all else stays."
	case "noted":
		return "Noted."
	case "redacted":
		return "Removed from the record, and elsewhere with the next exchange. Copies that were handed over or exported are not reached."
	}
	return ""
}

func (s *Server) casePage(c *call.Call) *casePage {
	desk, file := s.desk(), c.File()
	r := call.NewJudge(desk).Record(file)
	p := &casePage{caseRow: s.caseRow(&r), CauseID: r.Cause, SymptomID: r.Symptom, Open: !r.Ended(), Made: call.MadeFrom(desk, r.ID)}
	switch r.CauseFrom {
	case cases.CauseClosed:
		p.CauseFrom = "as closed"
	case cases.CauseFound:
		p.CauseFrom = "mended in the call"
	}
	if p.Lost = call.NotInBook(desk.Book, file); p.Lost == "" {
		p.Ticket = c.Ticket()
	}
	day := file.Opened.Format(time.DateOnly)
	for _, e := range file.Events {
		row := eventRow{Time: e.At.Format("15:04:05"), Text: call.EventText(desk.Book, e)}
		if d := e.At.Format(time.DateOnly); d != day {
			row.Day, day = d, d
		}
		p.Events = append(p.Events, row)
	}
	p.Causes = causeChoices(desk.Book, r.Symptom)
	return p
}

// causeChoices lists the causes of the symptom first, then all others.
func causeChoices(book *kb.Book, symptom string) []choice {
	var list, rest []choice
	for _, c := range kb.All[kb.Cause](book) {
		x := choice{Value: c.ID, Label: c.Title}
		here := false
		for _, ref := range c.Symptoms {
			here = here || ref.ID == symptom
		}
		if here {
			list = append(list, x)
		} else {
			rest = append(rest, x)
		}
	}
	return append(append(list, choice{Value: kb.SomethingElse, Label: "Something else, not in the book"}), rest...)
}

// changed sends the browser back to the case after a change, or shows why
// there was none.
func (s *Server) changed(v *visit, done string, err error) error {
	if err != nil {
		return s.answerCase(v, "", err)
	}
	s.ended()
	return v.redirect("/cases/" + v.r.PathValue("id") + "?done=" + done)
}

func (s *Server) closeCase(v *visit) error {
	end := cases.Close{Cause: causeID(v.value("cause")), Note: v.value("note")}
	err := s.caseLocked(v.r.PathValue("id"), func(o *openCall) error {
		if err := s.inBook(o); err != nil {
			return err
		}
		return o.do(s.desk(), v, input{in: call.In{Close: &end}, anyTime: true})
	})
	return s.changed(v, "closed", err)
}

// causeID takes the id from what a list offers, as "VL-03 title" or the bare id.
func causeID(text string) string {
	id, _, _ := strings.Cut(strings.TrimSpace(text), " ")
	return id
}

// inBook refuses a case that speaks of entries that the book has lost.
func (s *Server) inBook(o *openCall) error {
	if id := call.NotInBook(s.desk().Book, o.call.File()); id != "" {
		return problem{http.StatusConflict, fmt.Sprintf("The case speaks of %s, which the book does not have any more. Lay that entry back into your own book.", id)}
	}
	return nil
}

func (s *Server) noteCase(v *visit) error {
	err := s.caseLocked(v.r.PathValue("id"), func(o *openCall) error {
		if err := s.inBook(o); err != nil {
			return err
		}
		return o.do(s.desk(), v, input{in: call.In{Note: v.value("note")}, anyTime: true})
	})
	return s.changed(v, "noted", err)
}

func (s *Server) reopenCase(v *visit) error {
	err := s.caseLocked(v.r.PathValue("id"), func(o *openCall) error {
		if !o.call.File().Ended() {
			return problem{http.StatusConflict, "The case is open already."}
		}
		if err := s.desk().Store.Append(o.call.File(), cases.Event{Reopen: true}); err != nil {
			return fmt.Errorf("reopen the case: %w", err)
		}
		o.stateAt = -1
		o.look()
		return nil
	})
	return s.changed(v, "reopened", err)
}

func (s *Server) redactCase(v *visit) error {
	err := s.caseLocked(v.r.PathValue("id"), func(o *openCall) error {
		done, err := exchange.Redact(s.opt.Home, s.desk().Store, o.call.ID(), v.value("text"), s.opt.Now)
		if errors.Is(err, cases.ErrShort) {
			return wrong("Give at least two characters to remove.")
		}
		if done.Places > 0 {
			o.refresh(s.desk())
			if s.opt.Forget != nil { // what is derived from the record goes even if tidying it failed
				err = errors.Join(err, s.opt.Forget(s.desk()))
			}
		}
		if err == nil && done.Places == 0 {
			err = problem{http.StatusConflict, "That text is nowhere in the case; nothing was changed."}
		}
		return err
	})
	return s.changed(v, "redacted", err)
}
