package cases

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"unicode/utf8"
)

// Removed stands where a text was taken out.
const Removed = "[removed]"

// shortest is the least number of characters that can be taken out: a single
// letter would tear every word apart.
const shortest = 2

// temporary begins the names of files that are being written.
const temporary = ".writing-"

// ErrShort says that a text is too short to be taken out.
var ErrShort = fmt.Errorf("the text to remove must have at least %d characters", shortest)

// Redaction is what was taken out of a case.
type Redaction struct {
	Places int // where the text stood
	Left   int // ids that hold the text and stay: the case could not be read without them
}

// Redact takes a text out of every text that was said, typed or read in the
// case, whatever its letter case and spacing, puts Removed in its place and
// writes the file. Half-written copies of the case that a power cut left in its
// folder are deleted with it. Where the text does not occur nothing is written.
//
// The last event then says how many places there were, so that a merge with an
// older copy takes this one for the newer.
func (s *Store) Redact(id, text string) (Redaction, error) {
	hide, err := hider(text)
	if err != nil {
		return Redaction{}, err
	}
	c, err := s.Load(id)
	if err != nil {
		return Redaction{}, err
	}
	out := Redaction{}
	for i := range c.Events {
		out.Places += c.Events[i].hide(hide)
	}
	out.Left = c.idsWith(hide)
	if out.Places > 0 {
		if err := s.Append(c, Event{Redacted: out.Places}); err != nil {
			return Redaction{}, fmt.Errorf("the text was not removed: %w", err)
		}
	}
	return out, s.tidy(c)
}

// anySpace is what strings.Fields parts words at; \s alone knows no no-break
// space, which texts from a browser or a mail hold.
const anySpace = `[\s\v\x{85}\p{Z}]+`

// hider finds a text in any letter case, with any white space between its
// words, but not in what was removed before.
func hider(text string) (*regexp.Regexp, error) {
	words := strings.Fields(text)
	if utf8.RuneCountInString(strings.Join(words, " ")) < shortest {
		return nil, ErrShort
	}
	for i, w := range words {
		words[i] = regexp.QuoteMeta(w)
	}
	re, err := regexp.Compile(`(?i)` + strings.Join(words, anySpace))
	if err != nil {
		return nil, fmt.Errorf("the text to remove cannot be looked for: %w", err)
	}
	return re, nil
}

// hide takes the text out of the event and counts the places.
func (e *Event) hide(text *regexp.Regexp) int {
	n := 0
	for _, field := range e.Texts() {
		var m int
		*field, m = hideIn(*field, text)
		n += m
	}
	return n
}

// Texts are the fields of an event that people or files filled with words; the
// others hold ids of the book. What is removed from a case is removed from
// these.
func (e *Event) Texts() []*string {
	list := []*string{&e.Say, &e.Note, &e.Room}
	if e.Close != nil {
		list = append(list, &e.Close.Note)
	}
	if v := e.Evidence; v != nil {
		list = append(list, &v.Name)
		for i := range v.Text {
			list = append(list, &v.Text[i])
		}
		for i := range v.Facts {
			list = append(list, &v.Facts[i].Value, &v.Facts[i].Text)
		}
	}
	return list
}

func hideIn(s string, text *regexp.Regexp) (string, int) {
	n := 0
	parts := strings.Split(s, Removed)
	for i, p := range parts {
		n += len(text.FindAllStringIndex(p, -1))
		parts[i] = text.ReplaceAllLiteralString(p, Removed)
	}
	return strings.Join(parts, Removed), n
}

// idsWith counts the events that hold the text beside their texts.
func (c *Case) idsWith(text *regexp.Regexp) int {
	n := 0
	for _, e := range c.Events {
		for _, id := range e.ids() {
			if text.MatchString(id) {
				n++
			}
		}
	}
	return n
}

// ids are the ids in an event.
func (e *Event) ids() []string {
	list := []string{e.Symptom, e.Unknown, e.Handover, e.Heard}
	if e.Answer != nil {
		list = append(list, e.Answer.Question, e.Answer.Value)
	}
	if e.Tried != nil {
		list = append(list, e.Tried.Remedy)
	}
	if e.Close != nil {
		list = append(list, e.Close.Cause)
	}
	if v := e.Evidence; v != nil {
		for _, f := range v.Facts {
			list = append(list, f.Name)
		}
		for _, a := range v.Answers {
			list = append(list, a.Question, a.Value)
		}
	}
	return list
}

// tidy deletes half-written copies of the case and makes sure that nobody put
// an older text of it back meanwhile.
func (s *Store) tidy(c *Case) error {
	dir := filepath.Dir(s.path(c.ID))
	left, err := filepath.Glob(filepath.Join(dir, temporary+"*"))
	if err != nil {
		return fmt.Errorf("look for half-written copies in %s: %w", dir, err)
	}
	for _, path := range left {
		data, err := ReadPlain(path)
		if err != nil || !bytes.Contains(data, []byte(c.ID)) {
			continue // another case's, or in place by now
		}
		if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
			return fmt.Errorf("delete a half-written copy of case %s: %w; delete %s yourself", c.ID, err, path)
		}
	}
	now, err := ReadPlain(s.path(c.ID))
	if err != nil {
		return fmt.Errorf("read case %s back: %w", c.ID, err)
	}
	if !bytes.Equal(now, c.saved) {
		return fmt.Errorf("%s was changed by somebody else meanwhile: remove the text once more", s.path(c.ID))
	}
	return nil
}
