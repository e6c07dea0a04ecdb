package call

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// Keys gives what the agent types: single keys, and whole lines where words
// are wanted. io.EOF and ErrInterrupted end the session; the case is saved.
type Keys interface {
	Key() (rune, error)
	Line(prompt string) (string, error)
}

// ErrInterrupted says that the agent broke off; the case is saved.
var ErrInterrupted = errors.New("interrupted")

// Terminal takes a call by keys.
type Terminal struct {
	Call   *Call
	Screen *Screen
	Keys   Keys
}

// errNothingHeard says that there is nothing to confirm.
var errNothingHeard = errors.New("nothing was heard that waits to be confirmed")

// errLeave ends the loop without a fault.
var errLeave = errors.New("leave")

// Run goes on until the call has ended or the agent leaves. It returns the
// last state.
func (t *Terminal) Run(o Out) (Out, error) {
	show := true
	for {
		if show {
			t.Screen.Step(o)
		}
		if o.Step.Kind == StepDone {
			t.Screen.Text("Ticket", o.Ticket)
			return o, nil
		}
		key, err := t.Keys.Key()
		if err != nil {
			return o, err
		}
		next, again, err := t.press(key, o)
		switch {
		case errors.Is(err, errLeave):
			return o, nil
		case errors.Is(err, io.EOF), errors.Is(err, ErrInterrupted):
			return o, err
		case err != nil:
			t.Screen.para("  ", err.Error())
			show = false
		default:
			o, show = next, again
		}
	}
}

// press does what a key asks for; it returns the state after it and whether
// the step is to be shown again.
func (t *Terminal) press(key rune, o Out) (Out, bool, error) {
	if key >= '0' && key <= '9' {
		next, err := t.digit(int(key-'0'), o)
		return next, true, err
	}
	switch key {
	case '?':
		t.Screen.Table(t.Call.Table())
		t.Screen.Sways(t.Call.Sensitivity())
	case 'c':
		t.Screen.Causes(o)
	case 'f':
		return t.change(o)
	case 'k':
		t.Screen.Text("Ticket so far", t.Call.Ticket())
	case 'u':
		next, err := t.Call.Do(In{Undo: true})
		return next, true, err
	case 'x':
		next, err := t.sum(o)
		return next, true, err
	case 't', 'n', 'm', 's', 'h', 'e', 'y', 'w', 'p', 'r', 'o':
		next, err := t.word(key, o)
		return next, true, err
	case 'q':
		return o, false, errLeave
	case '\r', '\n', ' ':
		return o, true, nil
	default:
		return o, false, fmt.Errorf("%q is not a key here; the keys are shown below the step", string(key))
	}
	return o, false, nil
}

// digit answers the step that is on the screen.
func (t *Terminal) digit(n int, o Out) (Out, error) {
	st := o.Step
	if n == 0 && st.asked() != "" && st.ID != AskSymptom {
		t.Screen.line("  > Cannot tell")
		return t.Call.Do(In{Unknown: st.asked()})
	}
	if st.Kind == StepHandover && n == 1 {
		t.Screen.line("  > Hand over")
		return t.Call.Do(In{Handover: st.ID})
	}
	if n < 1 || n > min(shownOptions, len(st.Answers)) {
		return o, fmt.Errorf("there is no answer %d", n)
	}
	a := st.Answers[n-1]
	t.Screen.para("  > ", a.Label)
	return t.Call.Do(inputFor(st, a.Value))
}

// inputFor is the input that gives a value to a step.
func inputFor(st Step, value string) In {
	switch st.Kind {
	case StepTry:
		return In{Tried: &cases.Tried{Remedy: st.ID, Result: value}}
	case StepStop, StepHandover:
		return In{Handover: value}
	}
	return In{Answer: &cases.Answer{Question: st.asked(), Value: value}}
}

// word handles the keys that want a line.
func (t *Terminal) word(key rune, o Out) (Out, error) {
	if key == 'y' && len(o.Suggested) == 0 {
		return o, errNothingHeard
	}
	text, err := t.Keys.Line(promptFor(key, o.Minutes.Heard))
	if err != nil {
		return o, err
	}
	text = strings.TrimSpace(text)
	if text == "" && (key == 'n' || key == 'p' || key == 'r' || key == 'm' && o.Minutes.Heard == nil) {
		return o, nil // thought better of it
	}
	switch key {
	case 't':
		return t.say(text, o)
	case 'n':
		return t.Call.Do(In{Note: text})
	case 'm':
		return t.meeting(text, o)
	case 's':
		return t.listed(kb.KindSymptom, text, o, func(id string) In { return In{Symptom: id} })
	case 'h':
		return t.listed(kb.KindHandover, text, o, func(id string) In { return In{Handover: id} })
	case 'e':
		return t.end(text, o)
	case 'w':
		return t.workaround(text, o)
	case 'p':
		return t.person(text, o)
	case 'o':
		return t.room(text)
	case 'r':
		return t.evidence(In{Read: text}, o)
	}
	return t.confirm(text, o)
}

// promptFor is what a key asks for; heard are minutes until the meeting that the
// caller's words named, nil for none.
func promptFor(key rune, heard *float64) string {
	if key == 'm' && heard != nil {
		return fmt.Sprintf("Minutes until the meeting (empty: %.0f, as heard): ", *heard)
	}
	return map[rune]string{'t': "The caller says: ", 'n': "Note: ", 'm': "Minutes until the meeting: ", 's': "Symptom (F-01 …, empty lists all): ",
		'h': "Hand over to (empty lists all): ", 'e': "What it was (cause id, own words, both; empty: not found): ", 'y': "Confirm which (number, empty for all): ",
		'w': "Did a workaround get it going? (y/n, empty lists them): ", 'p': "Who is on the line (c caller, t technician): ",
		'r': "File: ", 'o': "Room (id or name, none to take it away): "}[key]
}

// meeting sets the minutes until the meeting, those that were heard for none.
func (t *Terminal) meeting(text string, o Out) (Out, error) {
	if text == "" {
		return t.Call.Do(In{Meeting: o.Minutes.Heard})
	}
	minutes, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return o, fmt.Errorf("%q is no number of minutes", text)
	}
	return t.Call.Do(In{Meeting: &minutes})
}

func (t *Terminal) person(text string, o Out) (Out, error) {
	who := map[string]string{"c": "caller", "t": "technician"}[strings.ToLower(text[:1])]
	if who == "" {
		return o, fmt.Errorf("%q is neither c, the caller, nor t, a technician", text)
	}
	return t.Call.Do(In{Who: who})
}

func (t *Terminal) end(text string, o Out) (Out, error) {
	cl, err := t.closing(text)
	if err != nil {
		return o, err
	}
	return t.Call.Do(In{Close: cl})
}

// looksLikeID matches what is meant for the id of a cause.
var looksLikeID = regexp.MustCompile(`^[A-Za-z]{1,4}-[0-9]+$`)

// closing reads what ends a call: the id of a cause, the agent's own words,
// which are kept as a note, or the id with words behind it.
func (t *Terminal) closing(text string) (*cases.Close, error) {
	first, rest, _ := strings.Cut(text, " ")
	id := strings.ToUpper(strings.TrimRight(first, ",:;."))
	if kb.Get[kb.Cause](t.Call.desk.Book, id) != nil {
		return &cases.Close{Cause: id, Note: strings.TrimSpace(rest)}, nil
	}
	if looksLikeID.MatchString(id) {
		return nil, fmt.Errorf("there is no cause %s; c lists the causes of this call, and your own words do as well", id)
	}
	return &cases.Close{Note: text}, nil
}

func (t *Terminal) say(text string, o Out) (Out, error) {
	if text == "" {
		return o, nil
	}
	next, err := t.Call.Do(In{Say: text})
	if err == nil {
		t.Screen.Heard(next)
	}
	return next, err
}

// listed takes an id, or lists the entries of the kind where none was typed.
func (t *Terminal) listed(k kb.Kind, text string, o Out, in func(id string) In) (Out, error) {
	if text != "" {
		for _, id := range t.Call.desk.Book.IDs(k) {
			if strings.EqualFold(id, text) {
				text = id
			}
		}
		return t.Call.Do(in(text))
	}
	for _, id := range t.Call.desk.Book.IDs(k) {
		for _, e := range t.Call.desk.Book.Find(id) {
			if h := kb.HeadOf(e); h.Kind == k {
				t.Screen.para(fmt.Sprintf("    %-16s ", h.ID), h.Title)
			}
		}
	}
	return o, nil
}

func (t *Terminal) workaround(text string, o Out) (Out, error) {
	switch strings.ToLower(text) {
	case "y", "yes":
		return t.Call.Do(In{Workaround: "works"})
	case "n", "no":
		return t.Call.Do(In{Workaround: "no-help"})
	}
	t.Screen.line("  To get the meeting going now")
	for _, w := range o.Workaround {
		t.Screen.para("    - ", w)
	}
	return o, nil
}

// confirm takes heard facts as answers.
func (t *Terminal) confirm(text string, o Out) (Out, error) {
	list := o.Suggested
	if text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > len(list) {
			return o, fmt.Errorf("there is no heard fact %q", text)
		}
		list = list[n-1 : n]
	}
	if len(list) == 0 {
		return o, errNothingHeard
	}
	for _, f := range list {
		t.Screen.para("  > ", f.Title+": "+f.Label)
		next, err := t.Call.Do(In{Answer: &cases.Answer{Question: f.Question, Value: f.Value, From: "volunteered"}})
		if err != nil {
			return o, err
		}
		o = next
	}
	return o, nil
}

// change shows the facts and lets one be answered again.
func (t *Terminal) change(o Out) (Out, bool, error) {
	t.Screen.Facts(o)
	if len(o.Facts) == 0 {
		return o, false, nil
	}
	text, err := t.Keys.Line("Change which (number, empty for none): ")
	if err != nil || strings.TrimSpace(text) == "" {
		return o, false, err
	}
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 1 || n > len(o.Facts) {
		return o, false, fmt.Errorf("there is no fact %q", text)
	}
	q := kb.Get[kb.Question](t.Call.desk.Book, o.Facts[n-1].Question)
	if q == nil {
		return o, false, fmt.Errorf("that question is not in the book any more")
	}
	t.Screen.para("    ", q.Ask)
	for i, a := range q.Answers {
		t.Screen.para(fmt.Sprintf("      %d  ", i+1), a.Say)
	}
	t.Screen.line("      0  Cannot tell")
	if text, err = t.Keys.Line("Answer: "); err != nil {
		return o, false, err
	}
	n, err = strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 0 || n > len(q.Answers) {
		return o, false, fmt.Errorf("there is no answer %q", text)
	}
	if n == 0 {
		next, err := t.Call.Do(In{Unknown: q.ID})
		return next, true, err
	}
	next, err := t.Call.Do(In{Answer: &cases.Answer{Question: q.ID, Value: q.Answers[n-1].Value}})
	return next, true, err
}
