package exchange

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"

	"faultbook/kb/cases"
)

// Conflicts lists the records of a data folder of which versions are set aside.
func Conflicts(home string) ([]Conflict, error) {
	f, err := openFolder(home)
	if err != nil {
		return nil, err
	}
	defer f.close()
	s, err := f.load(nil)
	if err != nil {
		return nil, err
	}
	list := []Conflict{}
	for _, key := range s.keys() {
		if versions := reduce(s.versions(key)); len(versions) > 1 {
			list = append(list, conflictOf(versions))
		}
	}
	return list, nil
}

// ErrSettled says that there is no such conflict.
var ErrSettled = errors.New("there is no such conflict")

// Settle ends a conflict by a version that supersedes all others, here and with
// the next exchange everywhere. Of an entry or room sheet that is the version at
// take, a path below the data folder ("" for the one in place), with the next
// revision. Of a case it is the one in place with the events of the others
// behind; take must be "".
func Settle(home, kind, id, take string) (Conflict, error) {
	f, err := openFolder(home)
	if err != nil {
		return Conflict{}, err
	}
	defer f.close()
	s, err := f.load(nil)
	if err != nil {
		return Conflict{}, err
	}
	r := Record{Kind: kind, ID: id}
	versions := reduce(s.versions(r.key()))
	if len(versions) < 2 {
		return Conflict{}, fmt.Errorf("%s %s: %w", kind, id, ErrSettled)
	}
	settled, err := settledBy(versions, take)
	if err != nil {
		return Conflict{}, err
	}
	c := change{have: s.files[r.key()], want: reduce(append(versions, settled))}
	if len(c.want) != 1 {
		return Conflict{}, fmt.Errorf("%s %s: ids that differ in letter case only: give one of the files another id", kind, id)
	}
	return conflictOf(versions), f.apply(c)
}

// settledBy makes the version that supersedes the others.
func settledBy(versions []Record, take string) (Record, error) {
	if versions[0].Kind == KindCase {
		if take != "" {
			return Record{}, errors.New("both sides of a call are kept: leave out which to take")
		}
		return together(versions)
	}
	at, newest := 0, 0
	if take != "" {
		at = slices.IndexFunc(versions, func(r Record) bool { return r.Path == take })
	}
	if at < 0 {
		return Record{}, fmt.Errorf("%s is no version of it", take)
	}
	for _, v := range versions {
		newest = max(newest, v.Revision)
	}
	r := versions[at]
	word := "revision"
	if r.Kind == KindVisit {
		word = "written"
	}
	out, err := parse(versions[0].Path, withRevision(r.Data, word, newest+1))
	if err == nil && out.Revision != newest+1 {
		err = fmt.Errorf("its revision cannot be raised: write `%s:` on a line of its own", word)
	}
	return out, err
}

// anyRevision are the lines that count the revisions, by their word.
var anyRevision = map[string]*regexp.Regexp{
	"revision": regexp.MustCompile(`(?m)^revision:.*$`),
	"written":  regexp.MustCompile(`(?m)^written:.*$`),
}

// withRevision writes a revision into an entry, a room sheet or a visit.
func withRevision(data []byte, word string, n int) []byte {
	text := fmt.Appendf(nil, "%s: %d", word, n)
	if at := anyRevision[word].FindIndex(data); at != nil {
		return slices.Concat(data[:at[0]], text, data[at[1]:])
	}
	if !bytes.HasSuffix(data, []byte("\n")) {
		text = append([]byte("\n"), text...)
	}
	return slices.Concat(data, text, []byte("\n"))
}

// together appends to the first version what the others have beyond what they
// began with in common.
func together(versions []Record) (Record, error) {
	first := decoded(&versions[0])
	events := slices.Clone(first.Events)
	for i := range versions[1:] {
		other := decoded(&versions[i+1]).Events
		same := 0
		for same < min(len(other), len(first.Events)) && line(other[same]) == line(first.Events[same]) {
			same++
		}
		events = append(events, other[same:]...)
	}
	data, err := (&cases.Case{Header: first.Header, Events: events}).Encode()
	if err != nil {
		return Record{}, err
	}
	return caseRecord(data)
}
