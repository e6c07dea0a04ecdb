package exchange

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"

	"faultbook/kb/cases"
)

// carryRedactions takes the texts that were removed from one version of a case
// out of all its versions, and puts the note that a text was removed into all.
// Versions of which none says so are left as they are, byte for byte.
func carryRedactions(list []Record) []Record {
	read := make([]split, len(list))
	var notes []note
	for i := range list {
		read[i] = splitCase(decoded(&list[i]))
		notes = joinNotes(notes, read[i].notes)
	}
	if len(notes) == 0 {
		return list
	}
	carry(read)
	out := make([]Record, len(list))
	for i, r := range list {
		out[i] = r
		// A case at the limits of its file may have no room for the notes.
		for _, events := range [][]cases.Event{withNotes(read[i].events, notes), read[i].events} {
			data, err := (&cases.Case{Header: read[i].header, Events: events}).Encode()
			if err != nil {
				continue
			}
			if _, err := cases.Decode(bytes.NewReader(data), r.Path); err == nil {
				out[i].Data, out[i].Revision = data, len(events)
				break
			}
		}
	}
	return out
}

// split is a case with the notes that a text was removed apart from the rest.
type split struct {
	header cases.Header
	events []cases.Event
	notes  []note
}

// note is an event that says that a text was removed; at is the number of
// other events before it.
type note struct {
	event cases.Event
	at    int
}

func splitCase(c *cases.Case) split {
	s := split{header: c.Header}
	for _, e := range c.Events {
		if e.Redacted != 0 {
			s.notes = joinNotes(s.notes, []note{{e, len(s.events)}})
		} else {
			s.events = append(s.events, e)
		}
	}
	return s
}

// joinNotes adds notes to a list in their order; the same note of two versions
// stands once, where it stands latest: a shorter version has it at its end.
func joinNotes(list, more []note) []note {
	for _, n := range more {
		same := func(m note) bool { return line(m.event) == line(n.event) }
		if i := slices.IndexFunc(list, same); i >= 0 {
			list[i].at = max(list[i].at, n.at)
		} else {
			list = append(list, n)
		}
	}
	slices.SortFunc(list, func(a, b note) int {
		if a.at != b.at {
			return a.at - b.at
		}
		return strings.Compare(line(a.event), line(b.event))
	})
	return list
}

func withNotes(events []cases.Event, notes []note) []cases.Event {
	var out []cases.Event
	for i := 0; i <= len(events); i++ {
		for _, n := range notes {
			if min(n.at, len(events)) == i {
				out = append(out, n.event)
			}
		}
		if i < len(events) {
			out = append(out, events[i])
		}
	}
	return out
}

// carry joins the events of one moment in all versions: where a case went on
// in two places and was put together again, one event has several positions,
// but its time is the same.
func carry(read []split) {
	moments := map[int64][]cases.Event{}
	for _, s := range read {
		for _, e := range s.events {
			moments[e.At.UnixNano()] = append(moments[e.At.UnixNano()], e)
		}
	}
	for at, all := range moments {
		slices.SortFunc(all, func(a, b cases.Event) int { return strings.Compare(line(a), line(b)) })
		if moments[at] = all; !differ(all) {
			delete(moments, at)
		}
	}
	for i := range read {
		for j, e := range read[i].events {
			if all := moments[e.At.UnixNano()]; all != nil {
				read[i].events[j] = joinAll(e, all)
			}
		}
	}
}

func differ(list []cases.Event) bool {
	for i := range list {
		if line(list[i]) != line(list[0]) {
			return true
		}
	}
	return false
}

// joinAll joins e with whatever of the list fits it, until nothing changes.
func joinAll(e cases.Event, list []cases.Event) cases.Event {
	for changed := true; changed; {
		changed = false
		for _, other := range list {
			if !strings.Contains(line(e)+line(other), cases.Removed) {
				continue
			}
			if joined, ok := joinEvents(e, other); ok && line(joined) != line(e) {
				e, changed = joined, true
			}
		}
	}
	return e
}

// joinEvents gives the event from which is removed what was removed from a or
// from b; false where they are not versions of one event.
func joinEvents(a, b cases.Event) (cases.Event, bool) {
	out, other := copyOf(a), copyOf(b)
	texts, others := out.Texts(), other.Texts()
	if len(texts) != len(others) {
		return a, false
	}
	for i, t := range texts {
		joined, ok := joinTexts(*t, *others[i])
		if !ok {
			return a, false
		}
		*t, *others[i] = joined, joined
	}
	if line(out) != line(other) { // they differ in more than texts
		return a, false
	}
	return out, true
}

// gap stands for cases.Removed while texts are compared, so that no part of it
// is taken for a text.
const gap = "\x00"

// joinTexts gives the text from which is removed what was removed from either;
// false where they do not come from one text.
func joinTexts(a, b string) (string, bool) {
	x, y := strings.ReplaceAll(a, cases.Removed, gap), strings.ReplaceAll(b, cases.Removed, gap)
	switch {
	case covers(y, x):
		return b, true
	case covers(x, y):
		return a, true
	case !strings.Contains(x, gap) || !strings.Contains(y, gap):
		return a, false
	}
	head := shorter(x[:strings.Index(x, gap)], y[:strings.Index(y, gap)])
	tail := shorter(x[strings.LastIndex(x, gap)+1:], y[strings.LastIndex(y, gap)+1:])
	if !strings.HasPrefix(x, head) || !strings.HasPrefix(y, head) || !strings.HasSuffix(x, tail) || !strings.HasSuffix(y, tail) {
		return a, false
	}
	return head + cases.Removed + tail, true
}

func shorter(a, b string) string {
	if len(a) <= len(b) {
		return a
	}
	return b
}

// covers reports whether text comes to be pattern when a part of it is removed
// for each gap of the pattern.
func covers(pattern, text string) bool {
	parts := strings.Split(pattern, gap)
	last := len(parts) - 1
	if last == 0 {
		return pattern == text
	}
	if !strings.HasPrefix(text, parts[0]) {
		return false
	}
	text = text[len(parts[0]):]
	for _, part := range parts[1:last] {
		if text == "" {
			return false
		}
		i := strings.Index(text[1:], part) // a gap is at least one byte
		if i < 0 {
			return false
		}
		text = text[1+i+len(part):]
	}
	return len(text) > len(parts[last]) && strings.HasSuffix(text, parts[last])
}

// decoded reads a case that parse has accepted.
func decoded(r *Record) *cases.Case {
	c, err := cases.Decode(bytes.NewReader(r.Data), r.Path)
	if err != nil {
		panic("exchange: a case that was read once cannot be read again: " + err.Error())
	}
	return c
}

// line is an event as it stands in a case file.
func line(e cases.Event) string { return string(jsonLine(e)) }

func jsonLine(v any) []byte {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		panic("exchange: an event cannot be written: " + err.Error()) // it was read from JSON
	}
	return buf.Bytes()
}

func copyOf(e cases.Event) cases.Event {
	var c cases.Event
	if err := json.Unmarshal(jsonLine(e), &c); err != nil {
		panic("exchange: an event cannot be read back: " + err.Error())
	}
	return c
}
