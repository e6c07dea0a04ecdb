package cases

import (
	"strings"
	"time"
)

// How a call ended. A call that was cured counts as cured however it went
// before and whatever was noted after; one that was passed on and later closed
// with its cause counts as passed on.
const (
	EndOpen     = "open"     // it goes on
	EndCured    = "cured"    // a remedy cured it
	EndHandover = "handover" // it was passed on
	EndClosed   = "closed"   // the agent closed it
)

// Where the cause of a record comes from.
const (
	CauseClosed = "closed" // named when the case was closed
	CauseFound  = "found"  // mended by a remedy in the call
)

// How an answer was come by.
const (
	ByCaller     = "caller"
	ByTechnician = "technician"
	ByInstrument = "instrument" // a reading or a sum
)

// Record is what a case comes to: what lists, statistics and learning want to
// know of it. It holds ids, figures and the room, none of the words that were
// said or typed.
//
// The cause of a case is the one that it was closed with, else the last one
// that a remedy mended in the call. Case.Record knows the first; the second,
// and the symptom where nobody set it, follow from belief and are filled in by
// call.Judge. A case without either has no cause and is not learnt from.
type Record struct {
	ID        string
	Opened    time.Time
	End       string // EndOpen, EndCured, EndHandover, EndClosed
	Symptom   string // "" where nothing was understood
	Cause     string // "" where none is known
	CauseFrom string // CauseClosed, CauseFound, "" without a cause
	Room      string
	OnSite    bool   // a technician was on the line at some time
	Handover  string // the handover that it was passed on to
	Started   bool   // a workaround got the meeting going
	Minutes   float64
	Answers   []Given
	Unknown   []string // questions that could not be told
	Tried     []Tried
	// Judged says that the book was needed to tell the symptom or the cause.
	Judged bool
}

// Given is the answer that counts for a question at the end of a call.
type Given struct {
	Question string
	Value    string
	By       string // ByCaller, ByTechnician, ByInstrument
}

// Ended reports whether the call is over.
func (r *Record) Ended() bool { return r.End != EndOpen }

// OnPhone reports whether the call was cured by telephone alone.
func (r *Record) OnPhone() bool { return r.End == EndCured && r.Handover == "" && !r.OnSite }

// Record is what the events of the case say by themselves.
func (c *Case) Record() Record {
	r := Record{ID: c.ID, Opened: c.Opened, End: EndOpen, Minutes: c.Minutes()}
	w := recorder{&r, ByCaller}
	for _, e := range c.Effective() {
		w.take(e)
	}
	return r
}

type recorder struct {
	*Record
	who string
}

func (r *recorder) take(e Event) {
	switch {
	case e.Symptom != "":
		r.Symptom = e.Symptom
		if r.End == EndCured { // another complaint was taken up
			r.End = EndOpen
		}
	case e.Answer != nil:
		r.answer(e.Answer.Question, e.Answer.Value, r.by(e.Answer.From))
	case e.Evidence != nil:
		for _, a := range e.Evidence.Answers {
			r.answer(a.Question, a.Value, ByInstrument)
		}
	case e.Unknown != "":
		r.drop(e.Unknown)
		r.Unknown = append(r.Unknown, e.Unknown)
	case e.Tried != nil:
		r.Tried = append(r.Tried, *e.Tried)
		if e.Tried.Result == Cured {
			r.End = EndCured
		}
	case e.Handover != "":
		r.Handover = e.Handover
		r.end(EndHandover)
	case e.Close != nil:
		r.close(*e.Close)
	case e.Who != "":
		r.who = e.Who
		r.OnSite = r.OnSite || e.Who == ByTechnician
	case e.Workaround != "":
		r.Started = e.Workaround == "works"
	case e.Room != "":
		r.Room = e.Room
	}
}

// by is how an answer with that source was come by.
func (r *recorder) by(from string) string {
	if from == FromRead || from == FromSum {
		return ByInstrument
	}
	return r.who
}

func (r *recorder) answer(question, value, by string) {
	r.drop(question)
	r.Answers = append(r.Answers, Given{question, value, by})
}

// drop forgets an earlier answer to the question.
func (r *recorder) drop(question string) {
	for i, a := range r.Answers {
		if a.Question == question {
			r.Answers = append(r.Answers[:i:i], r.Answers[i+1:]...)
			break
		}
	}
	for i, id := range r.Unknown {
		if id == question {
			r.Unknown = append(r.Unknown[:i:i], r.Unknown[i+1:]...)
			break
		}
	}
}

// end notes an ending unless a weightier one is noted already.
func (r *recorder) end(how string) {
	if r.End == EndOpen || r.End == EndClosed {
		r.End = how
	}
}

// close takes the cause that is named; closing again without one keeps it.
func (r *recorder) close(c Close) {
	if r.End == EndOpen {
		r.End = EndClosed
	}
	if c.Cause != "" {
		r.Cause, r.CauseFrom = c.Cause, CauseClosed
	}
}

// pause is the gap between two events from which on nobody was on the line: a
// call that was left and resumed, or noted on later.
const pause = time.Hour

// Minutes is the time on the line: the gaps between the events until the call
// ended, without gaps of more than an hour. A clock that was set back in
// between counts as no time.
func (c *Case) Minutes() float64 {
	last, ended := c.Opened, false
	var sum time.Duration
	for i, e := range c.Events {
		if gap := e.At.Sub(last); !ended && gap > 0 && gap <= pause {
			sum += gap
		}
		last = e.At
		if e.Undo || e.Reopen || e.ends() || e.Symptom != "" {
			ended = (&Case{Events: c.Events[:i+1]}).Ended()
		}
	}
	return sum.Minutes()
}

// ends reports whether the event ends a call.
func (e *Event) ends() bool {
	return e.Close != nil || e.Handover != "" || e.Tried != nil && e.Tried.Result == Cured
}

// amend gives the events that still count after e, which is about the record
// itself: a reopening takes out what ended the call; that a text was removed
// changes nothing.
func (e *Event) amend(kept []Event) []Event {
	if !e.Reopen {
		return kept
	}
	var open []Event
	for i := range kept {
		if !kept[i].ends() {
			open = append(open, kept[i])
		}
	}
	return open
}

// Filter picks records; what is empty picks all.
type Filter struct {
	Symptom string
	Cause   string
	Room    string    // whole name, letter case aside
	Since   time.Time // opened then or later
	Open    bool      // only calls that go on
	Closed  bool      // only calls that have ended
}

// Match reports whether the record is picked.
func (f Filter) Match(r *Record) bool {
	switch {
	case f.Symptom != "" && f.Symptom != r.Symptom,
		f.Cause != "" && f.Cause != r.Cause,
		f.Room != "" && !strings.EqualFold(f.Room, r.Room),
		!f.Since.IsZero() && r.Opened.Before(f.Since),
		f.Open && r.Ended(),
		f.Closed && !r.Ended():
		return false
	}
	return true
}

// Pick gives the records that match, in their order.
func (f Filter) Pick(list []Record) []Record {
	var picked []Record
	for i := range list {
		if f.Match(&list[i]) {
			picked = append(picked, list[i])
		}
	}
	return picked
}
