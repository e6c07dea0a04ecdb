package call

import (
	"fmt"
	"strings"

	"faultbook/index"
	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"
)

// Desk is what every call of one program needs. It is read only and may be
// shared.
type Desk struct {
	Book  *kb.Book
	Store *cases.Store
	// Listen hears symptoms and facts in a caller's words.
	Listen func(words string) index.Heard
	// Similar finds entries and past cases; nil where there is no index.
	Similar func(words string) []Similar
	// Counts gives closed calls by symptom and cause; nil to go by the book.
	Counts func(symptom, cause string) float64
	// Rooms gives the sheets of rooms; nil where there are none.
	Rooms func() []*room.Sheet
	// Library finds single sheets faster than Rooms gives all; nil to use Rooms.
	Library *room.Library
	// RoomCounts gives the closed calls of one room by its id; nil for none.
	RoomCounts func(id string) func(symptom, cause string) float64
	// Begun is told once a call, when its first state is worked out; what can
	// wait until the agent has something to read waits for it. May be nil.
	Begun func()
}

// Call is one open call. It is not safe for several goroutines at once.
type Call struct {
	desk  *Desk
	file  *cases.Case
	model modelCache
	heard map[string]index.Heard
	// shown is the question of the step that was last given out, when the case
	// had that many events.
	shown   string
	shownAt int
	// rooms that were looked for, by name or by what was said.
	rooms map[string]*room.Sheet
	// bearings of sheets on the day of the case.
	bearings map[string]*room.Bearing
	groups   map[string]groupCounts
	begun    bool
}

// New opens a case with the caller's first words ("" for none) and who is on
// the line ("" for a caller).
func New(d *Desk, words, who string) (*Call, error) {
	var events []cases.Event
	if who != "" && who != string(kb.WhoCaller) {
		e, err := whoEvent(who)
		if err != nil {
			return nil, err
		}
		events = append(events, e)
	}
	if words = cleanText(words); words != "" {
		if s := d.heardRoom(words); s != nil {
			events = append(events, cases.Event{Room: s.ID})
		}
		events = append(events, cases.Event{Say: words})
	}
	file, err := d.Store.Create(events...)
	if err != nil {
		return nil, err
	}
	return &Call{desk: d, file: file}, nil
}

// Resume goes on with a stored case.
func Resume(d *Desk, file *cases.Case) *Call { return &Call{desk: d, file: file} }

// ID is the id of the case.
func (c *Call) ID() string { return c.file.ID }

// File is the case with its events, to be read only.
func (c *Call) File() *cases.Case { return c.file }

// Path is the file of the case.
func (c *Call) Path() string { return c.desk.Store.Path(c.file) }

// Do takes one input, saves it and returns the state after it. An input that
// cannot be used changes nothing.
func (c *Call) Do(in In) (Out, error) {
	e, err := c.event(in)
	if err != nil {
		return Out{}, err
	}
	if err := c.desk.Store.Append(c.file, e); err != nil {
		return Out{}, fmt.Errorf("the input was not kept: %w", err)
	}
	return c.Out()
}

// event checks an input against the book and the call as it stands.
func (c *Call) event(in In) (cases.Event, error) {
	if n := in.count(); n != 1 {
		return cases.Event{}, fmt.Errorf("an input says one thing, this one says %d; known: answer, unknown, tried, symptom, say, read, sum, undo, handover, close, note, meeting, who, workaround, room", n)
	}
	v := c.view()
	if v.closed != nil && !in.Undo && in.Note == "" && in.Close == nil {
		return cases.Event{}, fmt.Errorf("the call has ended; undo takes the end back")
	}
	switch {
	case in.Answer != nil:
		return c.answerEvent(v, *in.Answer)
	case in.Unknown != "":
		_, err := c.question(in.Unknown)
		return cases.Event{Unknown: in.Unknown}, err
	case in.Tried != nil:
		return c.triedEvent(*in.Tried)
	case in.Read != "":
		return c.readEvent(in.Read)
	case in.Sum != nil:
		return c.sumEvent(v, *in.Sum)
	case in.Close != nil:
		return c.closeEvent(*in.Close)
	case in.Who != "":
		return whoEvent(in.Who)
	case in.Room != "":
		return c.roomEvent(cleanText(in.Room))
	case in.Undo:
		if len(c.file.Effective()) == 0 {
			return cases.Event{}, fmt.Errorf("there is nothing to undo")
		}
		return cases.Event{Undo: true}, nil
	}
	return c.plainEvent(in)
}

// plainEvent checks the inputs that are one value.
func (c *Call) plainEvent(in In) (cases.Event, error) {
	e := cases.Event{Symptom: in.Symptom, Handover: in.Handover, Meeting: in.Meeting, Workaround: in.Workaround,
		Say: cleanText(in.Say), Note: cleanText(in.Note)}
	switch {
	case in.Symptom != "" && kb.Get[kb.Symptom](c.desk.Book, in.Symptom) == nil:
		return e, fmt.Errorf("there is no symptom %q; `faultbook list --kind symptom` shows them", in.Symptom)
	case in.Handover != "" && kb.Get[kb.Handover](c.desk.Book, in.Handover) == nil:
		return e, fmt.Errorf("there is no handover %q; `faultbook list --kind handover` shows them", in.Handover)
	case in.Meeting != nil && !(*in.Meeting >= 0 && *in.Meeting <= mostMeeting):
		return e, fmt.Errorf("meeting %v: must be minutes from 0 to %d", *in.Meeting, mostMeeting)
	case in.Workaround != "" && in.Workaround != "works" && in.Workaround != "no-help":
		return e, fmt.Errorf("workaround %q: must be works or no-help", in.Workaround)
	case (in.Say != "" || in.Note != "") && e.Say == "" && e.Note == "":
		return e, fmt.Errorf("the text is empty")
	}
	return e, nil
}

// mostMeeting is the longest time until a meeting, in minutes: a week.
const mostMeeting = 7 * 24 * 60

func whoEvent(who string) (cases.Event, error) {
	if who != string(kb.WhoCaller) && who != string(kb.WhoTechnician) {
		return cases.Event{}, fmt.Errorf("who %q: must be caller or technician", who)
	}
	return cases.Event{Who: who}, nil
}

// maxText is the longest text that is kept, in bytes.
const maxText = 4000

// cleanText drops what does not belong into a line of text.
func cleanText(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case r < ' ' || r == 0x7f || r == 0xfffd:
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	s = strings.TrimSpace(s)
	if len(s) > maxText {
		s = strings.ToValidUTF8(s[:maxText], "")
	}
	return s
}

func (c *Call) question(id string) (*kb.Question, error) {
	q := kb.Get[kb.Question](c.desk.Book, id)
	if q == nil && id != AskSymptom {
		return nil, fmt.Errorf("there is no question %q", id)
	}
	return q, nil
}

// answerEvent checks an answer; the question "symptom" sets the symptom.
func (c *Call) answerEvent(v *view, a cases.Answer) (cases.Event, error) {
	if a.Question == AskSymptom && a.Value == NothingElse {
		return cases.Event{Unknown: AskSymptom}, nil
	}
	if a.Question == AskSymptom {
		return c.event(In{Symptom: a.Value})
	}
	q, err := c.question(a.Question)
	if err != nil {
		return cases.Event{}, err
	}
	if a.Value == "unknown" {
		return cases.Event{Unknown: a.Question}, nil
	}
	if !q.Has(a.Value) {
		return cases.Event{}, fmt.Errorf("question %s has no answer %q; known: %s, unknown", q.ID, a.Value, answerValues(q))
	}
	if a.From == "" && c.stepAsked(v) != a.Question {
		a.From = "volunteered"
	}
	return cases.Event{Answer: &a}, nil
}

// stepAsked is the question of the step that is on the screen.
func (c *Call) stepAsked(v *view) string {
	if c.shownAt != len(c.file.Events) || c.shown == "" {
		c.shown, c.shownAt = v.step().asked(), len(c.file.Events)
	}
	return c.shown
}

func answerValues(q *kb.Question) string {
	var list []string
	for _, a := range q.Answers {
		list = append(list, a.Value)
	}
	return strings.Join(list, ", ")
}

func (c *Call) triedEvent(t cases.Tried) (cases.Event, error) {
	if t.Remedy == TryWorkaround {
		switch t.Result {
		case cases.Cured, cases.Changed:
			return cases.Event{Workaround: "works"}, nil
		case cases.Same, cases.CouldNot:
			return cases.Event{Workaround: "no-help"}, nil
		}
	}
	if kb.Get[kb.Remedy](c.desk.Book, t.Remedy) == nil {
		return cases.Event{}, fmt.Errorf("there is no remedy %q", t.Remedy)
	}
	switch t.Result {
	case cases.Cured, cases.Changed, cases.Same, cases.CouldNot:
		return cases.Event{Tried: &t}, nil
	}
	return cases.Event{}, fmt.Errorf("result %q: must be cured, changed, same or could-not", t.Result)
}

func (c *Call) closeEvent(cl cases.Close) (cases.Event, error) {
	if cl.Cause != "" && cl.Cause != kb.SomethingElse && kb.Get[kb.Cause](c.desk.Book, cl.Cause) == nil {
		return cases.Event{}, fmt.Errorf("there is no cause %q; leave it empty if none was found", cl.Cause)
	}
	cl.Note = cleanText(cl.Note)
	return cases.Event{Close: &cl}, nil
}

// count is the number of things that an input says.
func (in In) count() int {
	n := 0
	for _, set := range []bool{in.Answer != nil, in.Unknown != "", in.Tried != nil, in.Symptom != "", in.Say != "",
		in.Undo, in.Handover != "", in.Close != nil, in.Note != "", in.Meeting != nil, in.Who != "", in.Workaround != "", in.Room != "", in.Read != "", in.Sum != nil} {
		if set {
			n++
		}
	}
	return n
}
