package cases

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"regexp"
	"strings"
	"time"
)

// Version is the version of the case file that this program writes.
const Version = 1

// Limits of a case file.
const (
	maxBytes  = 1 << 20
	maxEvents = 10000
)

// Case is one call.
type Case struct {
	Header
	Events []Event
	// saved is what lies on disk, to notice that somebody else wrote it.
	saved []byte
}

// Header opens a case file.
type Header struct {
	Version int       `json:"faultbook_case"`
	ID      string    `json:"id"`
	Opened  time.Time `json:"opened"`
}

// Event is one thing that happened in a call; just one field beside At is set.
type Event struct {
	At         time.Time `json:"at"`
	Say        string    `json:"say,omitempty"`
	Symptom    string    `json:"symptom,omitempty"`
	Answer     *Answer   `json:"answer,omitempty"`
	Unknown    string    `json:"unknown,omitempty"`
	Tried      *Tried    `json:"tried,omitempty"`
	Undo       bool      `json:"undo,omitempty"`
	Handover   string    `json:"handover,omitempty"`
	Close      *Close    `json:"close,omitempty"`
	Note       string    `json:"note,omitempty"`
	Meeting    *float64  `json:"meeting,omitempty"` // minutes until it begins
	Who        string    `json:"who,omitempty"`     // who is on the line from now on
	Workaround string    `json:"workaround,omitempty"`
	Room       string    `json:"room,omitempty"`
	Heard      string    `json:"heard,omitempty"` // a stop or caution that was read out
	Evidence   *Evidence `json:"evidence,omitempty"`
	Reopen     bool      `json:"reopen,omitempty"`   // takes back what ended the call
	Redacted   int       `json:"redacted,omitempty"` // places from which a text was removed
}

// Answer is a question with its answer; From says where it came from where it
// was not asked: volunteered, read, sum.
type Answer struct {
	Question string `json:"question"`
	Value    string `json:"value"`
	From     string `json:"from,omitempty"`
}

// Sources of evidence.
const (
	FromRead = "read" // a file
	FromSum  = "sum"  // a calculation
)

// Evidence is what a file or a sum said, and all that followed from it, so that
// a call is replayed without the file and without doing the sum again.
type Evidence struct {
	From    string           `json:"from"` // FromRead or FromSum
	Name    string           `json:"name"` // the file's name without its folder, or the sum's
	Facts   []EvidenceFact   `json:"facts,omitempty"`
	Answers []EvidenceAnswer `json:"answers,omitempty"`
	Text    []string         `json:"text,omitempty"` // verdict, figures, sources, for people
}

// EvidenceFact is a named value with its figures as text.
type EvidenceFact struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	Text  string `json:"text,omitempty"`
}

// EvidenceAnswer is an answer that follows from facts; By names those.
type EvidenceAnswer struct {
	Question string   `json:"question"`
	Value    string   `json:"value"`
	By       []string `json:"by,omitempty"`
}

// Results of trying a remedy.
const (
	Cured    = "cured"
	Changed  = "changed" // something changed, but the fault is not gone
	Same     = "same"
	CouldNot = "could-not"
)

// Tried is a remedy with what came of it.
type Tried struct {
	Remedy string `json:"remedy"`
	Result string `json:"result"`
}

// Close ends a case with the cause that was found ("" for none).
type Close struct {
	Cause string `json:"cause,omitempty"`
	Note  string `json:"note,omitempty"`
}

// Effective gives the events that still count: those that an undo took back
// are left out, and the undos with them. Notes and what was read out stay.
func (c *Case) Effective() []Event {
	var kept []Event
	for _, e := range c.Events {
		if e.Reopen || e.Redacted != 0 {
			kept = e.amend(kept)
			continue
		}
		if !e.Undo {
			kept = append(kept, e)
			continue
		}
		for i := len(kept) - 1; i >= 0; i-- {
			if kept[i].Note == "" && kept[i].Heard == "" {
				kept = append(kept[:i:i], kept[i+1:]...)
				break
			}
		}
	}
	return kept
}

// Ended reports whether the call is over: cured, handed over or closed. A cured
// one goes on where another complaint was taken up after it.
func (c *Case) Ended() bool {
	cured := false
	for _, e := range c.Effective() {
		switch {
		case e.Close != nil || e.Handover != "":
			return true
		case e.Tried != nil && e.Tried.Result == Cured:
			cured = true
		case e.Symptom != "":
			cured = false
		}
	}
	return cured
}

// Encode gives the bytes of the case's file: a line of JSON for the header and
// one for each event, each with its check sum. It fails where the file would be
// larger than 1 MiB.
func (c *Case) Encode() ([]byte, error) {
	var buf, line bytes.Buffer
	enc := json.NewEncoder(&line)
	enc.SetEscapeHTML(false)
	write := func(what string, v any) error {
		line.Reset()
		if err := enc.Encode(v); err != nil {
			return fmt.Errorf("write %s of case %s: %w", what, c.ID, err)
		}
		buf.Write(addSum(line.Bytes()))
		return nil
	}
	if err := write("header", c.Header); err != nil {
		return nil, err
	}
	for _, e := range c.Events {
		if err := write("event", e); err != nil {
			return nil, err
		}
	}
	if buf.Len() > maxBytes {
		return nil, fmt.Errorf("case %s would be larger than 1 MiB and could not be read again; close it and go on with a new one", c.ID)
	}
	return buf.Bytes(), nil
}

// validID keeps case ids fit for file names and out of other folders.
var validID = regexp.MustCompile(`^[0-9]{8}-[0-9]{6}-[a-z0-9]{1,12}$`)

// ErrNewer marks a case that a newer version of the program wrote.
type ErrNewer struct {
	File    string
	Version int
}

func (e ErrNewer) Error() string {
	return fmt.Sprintf("%s:1: written by a newer version (case format %d, this program reads up to %d): update faultbook to open it; the file was left as it is", e.File, e.Version, Version)
}

// Decode reads a case file. Errors name file, line and what is wrong there;
// nothing is guessed.
func Decode(r io.Reader, file string) (*Case, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", file, err)
	}
	if len(data) > maxBytes {
		return nil, fmt.Errorf("%s: larger than 1 MiB, so not a case file", file)
	}
	c := &Case{saved: data}
	// Some editors begin a file with a byte order mark when they save it.
	lines := bufio.NewScanner(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	lines.Buffer(nil, maxBytes)
	for n := 1; lines.Scan(); n++ {
		if n == 1 {
			if err := c.header(lines.Bytes(), file); err != nil {
				return nil, err
			}
			continue
		}
		line, err := cutSum(lines.Bytes())
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w (the lines before it are whole)", file, n, err)
		}
		var e Event
		if err := strict(line, &e); err != nil {
			return nil, fmt.Errorf("%s:%d: not an event of a call: %w; mend or delete the line (the lines before it are whole)", file, n, err)
		}
		if err := e.check(); err != nil {
			return nil, fmt.Errorf("%s:%d: %w", file, n, err)
		}
		c.Events = append(c.Events, e)
		if len(c.Events) > maxEvents {
			return nil, fmt.Errorf("%s:%d: more than %d events, so not a case of one call", file, n, maxEvents)
		}
	}
	if c.Version == 0 {
		return nil, fmt.Errorf("%s:1: empty, so not a case file", file)
	}
	return c, nil
}

func (c *Case) header(line []byte, file string) error {
	var probe struct {
		Version int `json:"faultbook_case"`
	}
	if err := json.Unmarshal(line, &probe); err != nil || probe.Version == 0 {
		return fmt.Errorf("%s:1: not a case file: its first line must begin {\"faultbook_case\":1", file)
	}
	if probe.Version > Version {
		return ErrNewer{file, probe.Version}
	}
	line, err := cutSum(line)
	if err != nil {
		return fmt.Errorf("%s:1: %w", file, err)
	}
	if err := strict(line, &c.Header); err != nil {
		return fmt.Errorf("%s:1: header of the case: %w", file, err)
	}
	if !validID.MatchString(c.ID) {
		return fmt.Errorf("%s:1: %q is no id of a case", file, c.ID)
	}
	return nil
}

// strict refuses keys that the type does not have.
func strict(data []byte, v any) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return err
	}
	if dec.More() {
		return fmt.Errorf("more than one object in the line")
	}
	return nil
}

// check refuses events that say nothing or several things at once.
func (e *Event) check() error {
	n := 0
	for _, set := range []bool{e.Say != "", e.Symptom != "", e.Answer != nil, e.Unknown != "", e.Tried != nil, e.Undo,
		e.Handover != "", e.Close != nil, e.Note != "", e.Meeting != nil, e.Who != "", e.Workaround != "", e.Room != "", e.Heard != "", e.Evidence != nil,
		e.Reopen, e.Redacted != 0} {
		if set {
			n++
		}
	}
	if n != 1 {
		return fmt.Errorf("an event says one thing, this one says %d", n)
	}
	if t := e.Tried; t != nil && !strings.Contains(" cured changed same could-not ", " "+t.Result+" ") {
		return fmt.Errorf("result %q: must be cured, changed, same or could-not", t.Result)
	}
	if e.Evidence != nil {
		return e.Evidence.check()
	}
	return nil
}

// check refuses evidence without a source, and facts and answers without names.
func (e *Evidence) check() error {
	if e.From != FromRead && e.From != FromSum {
		return fmt.Errorf("evidence from %q: must be read or sum", e.From)
	}
	if e.Name == "" {
		return fmt.Errorf("evidence without a name: it must name the file or the sum")
	}
	for _, f := range e.Facts {
		if f.Name == "" {
			return fmt.Errorf("evidence %s: a fact has no name", e.Name)
		}
	}
	for _, a := range e.Answers {
		if a.Question == "" || a.Value == "" {
			return fmt.Errorf("evidence %s: an answer needs question and value", e.Name)
		}
	}
	return nil
}
