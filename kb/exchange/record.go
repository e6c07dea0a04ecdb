package exchange

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// Kinds of records beside the kinds of entries.
const (
	KindCase = "case"
	KindRoom = "room"
	// KindVisit is what was found on a verification visit to a room.
	KindVisit = "visit"
	// KindHistory is a text that a newer revision replaced.
	KindHistory = "history"
)

// The folders of a data folder that are shared.
const (
	dirBook    = "book"
	dirCases   = "cases"
	dirRooms   = "rooms"
	dirVisits  = "visits"
	dirHistory = "history"
	dirAside   = "conflicts"
)

// shelves lists them.
func shelves() []string {
	return []string{dirBook, dirCases, dirRooms, dirVisits, dirHistory, dirAside}
}

// Record is one text file that is shared.
type Record struct {
	Kind     string // KindCase, KindRoom, KindVisit, KindHistory, or the kind of the entry
	ID       string // of the case or entry; of others the path below their folder, without the ending
	Revision int    // of a case the number of events, of a visit how often it was written, else the revision that is written in it, 0 for none
	Path     string // below the data folder, divided by slashes
	Aside    bool   // a version that was set aside
	Data     []byte
}

// key names the record whose versions are merged.
func (r *Record) key() string { return r.Kind + "/" + fold(r.ID) }

// errNone marks a file that is no record and none of the program's concern.
var errNone = errors.New("not a record")

// parse makes a record of a file of the data folder. The path that it gives is
// where the file belongs, which need not be where it lies.
func parse(p string, data []byte) (Record, error) {
	dir, _, deep := strings.Cut(p, "/")
	if !deep {
		return Record{}, errNone
	}
	switch dir {
	case dirBook:
		return parseEntry(p, data)
	case dirCases:
		return parseCase(p, data)
	case dirRooms:
		return parsePlain(KindRoom, p, data)
	case dirVisits:
		return parsePlain(KindVisit, p, data)
	case dirHistory:
		return parseReplaced(p, data)
	case dirAside:
		return parseAside(p, data)
	}
	return Record{}, errNone
}

func yamlName(p string) bool { return path.Ext(p) == ".yaml" || path.Ext(p) == ".yml" }

// validID is the rule of the book for ids, with a length that fits file names.
var validID = regexp.MustCompile(`^[A-Za-z0-9]+(-[A-Za-z0-9]+){0,11}$`)

const maxID = 90

// parseEntry needs only what names an entry and counts its revisions: an entry
// that is half written can be shared too, and loading the book checks it.
func parseEntry(p string, data []byte) (Record, error) {
	if !yamlName(p) {
		return Record{}, errNone
	}
	if err := checkText(data); err != nil {
		return Record{}, err
	}
	e, _, findings := kb.Parse(data, p)
	if e == nil {
		return Record{}, fmt.Errorf("no entry: %s", findings[0].Text)
	}
	h := kb.HeadOf(e)
	if !validID.MatchString(h.ID) || len(h.ID) > maxID || device(h.ID) {
		return Record{}, fmt.Errorf("%q is no id for a file of its own", h.ID)
	}
	kind := string(h.Kind)
	return Record{Kind: kind, ID: h.ID, Revision: max(0, h.Revision), Path: shelf(p, kind, h.ID), Data: data}, nil
}

func parseCase(p string, data []byte) (Record, error) {
	if path.Ext(p) != ".jsonl" {
		return Record{}, errNone
	}
	r, err := caseRecord(data)
	if err == nil && r.Path != p {
		return Record{}, fmt.Errorf("holds case %s, which belongs into %s", r.ID, r.Path)
	}
	return r, err
}

func caseRecord(data []byte) (Record, error) {
	c, err := cases.Decode(bytes.NewReader(data), "case")
	if err != nil {
		return Record{}, err
	}
	return Record{Kind: KindCase, ID: c.ID, Revision: len(c.Events), Path: place(KindCase, c.ID), Data: data}, nil
}

// parsePlain reads a room sheet or a visit, of which the path is the id.
func parsePlain(kind, p string, data []byte) (Record, error) {
	if !yamlName(p) {
		return Record{}, errNone
	}
	_, name, _ := strings.Cut(p, "/")
	return plainRecord(kind, strings.TrimSuffix(name, path.Ext(name)), data)
}

// revisionLine is the revision of a room sheet, as in the head of an entry.
// That in a visit is the sheet's; how often the visit was written is its own.
var (
	revisionLine = regexp.MustCompile(`(?m)^revision:[ \t]*([0-9]{1,9})[ \t]*(?:#.*)?\r?$`)
	writtenLine  = regexp.MustCompile(`(?m)^written:[ \t]*([0-9]{1,9})[ \t]*(?:#.*)?\r?$`)
)

func plainRecord(kind, id string, data []byte) (Record, error) {
	r := Record{Kind: kind, ID: id, Path: place(kind, id), Data: data}
	if err := checkPath(asidePath(kind, id, data)); err != nil { // the longer one
		return Record{}, err
	}
	if err := checkPath(dirRooms + "/" + id + ".yaml"); err != nil { // before place tidies it
		return Record{}, err
	}
	if err := checkText(data); err != nil {
		return Record{}, err
	}
	counter := revisionLine
	if kind == KindVisit {
		counter = writtenLine
	}
	if m := counter.FindSubmatch(data); m != nil {
		r.Revision, _ = strconv.Atoi(string(m[1])) // nine digits
	}
	return r, nil
}

// parseAside reads a version that was set aside; somebody may have changed it
// since, so that it belongs under another name now.
func parseAside(p string, data []byte) (r Record, err error) {
	kind, id, ok := asideID(p)
	if !ok {
		return Record{}, errNone
	}
	switch kind {
	case KindCase:
		r, err = caseRecord(data)
	case KindRoom, KindVisit:
		r, err = plainRecord(kind, id, data)
	default:
		r, err = parseEntry(p, data)
	}
	if err != nil {
		return Record{}, err
	}
	if r.Kind != kind {
		return Record{}, fmt.Errorf("holds a %s in the folder of a %s", r.Kind, kind)
	}
	r.Aside, r.Path = true, asidePath(r.Kind, r.ID, data)
	return r, nil
}

func checkText(data []byte) error {
	switch {
	case len(data) > maxText:
		return fmt.Errorf("larger than %d kB", maxText>>10)
	case !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0:
		return fmt.Errorf("not a text in UTF-8")
	}
	return nil
}

// dayLine is the day in the line `by: ab 2026-11-25` of an entry or room sheet.
var dayLine = regexp.MustCompile(`(?m)^by:.*\b([0-9]{4}-[0-9]{2}-[0-9]{2})\b`)

// since reports whether the record is of that day or later: a case by the day
// on which it was opened (UTC), a visit by its own, others by the day that their
// line `by` names. One without a day counts.
func (r *Record) since(day time.Time) bool {
	from := day.Format(time.DateOnly)
	switch r.Kind {
	case KindCase:
		return r.ID[:8] >= strings.ReplaceAll(from, "-", "")
	case KindVisit:
		return path.Base(r.ID) >= from
	}
	m := dayLine.FindSubmatch(r.Data)
	return m == nil || string(m[1]) >= from
}

// sortRecords puts records in the order of archives.
func sortRecords(list []Record) {
	slices.SortFunc(list, func(a, b Record) int { return cmp.Compare(a.Path, b.Path) })
}
