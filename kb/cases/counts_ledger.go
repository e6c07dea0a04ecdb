package cases

import (
	"bytes"
	"crypto/sha256"
	"encoding/gob"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

// Ledger keeps the records of all cases in the cache folder, a file a year,
// and beside them their counts. It is derived from the cases and never the
// truth: what is missing, damaged or older than a case is made anew, and where
// it cannot be written the records are made each time.
//
// Several programs may use it at once: files are replaced whole, each holds
// what its writer saw, and whoever comes next brings it up to date.
type Ledger struct {
	folder string
	store  *Store
	book   string
	judge  func(*Case) Record
}

// NewLedger keeps the records of the store below a cache folder, which may be
// shared by several stores; "" keeps none. judge makes the record of a case;
// book names the book that it uses: where that changes, the records that
// needed it are made again.
func NewLedger(folder string, s *Store, book string, judge func(*Case) Record) *Ledger {
	l := &Ledger{folder: folder, store: s, book: book, judge: judge}
	if folder != "" {
		l.folder = ledgerFolder(folder, s)
	}
	return l
}

// ledgerFolder is a folder of its own for each store.
func ledgerFolder(folder string, s *Store) string {
	dir := s.dir
	if abs, err := filepath.Abs(dir); err == nil {
		dir = abs
	}
	sum := sha256.Sum256([]byte(dir))
	return filepath.Join(folder, "calls-"+hex.EncodeToString(sum[:6]))
}

// ErrNotKept says that the records could not be kept in the cache folder. They
// are right all the same.
var ErrNotKept = errors.New("the records of past calls are not kept")

// Records brings the ledger up to date and gives the records of all cases,
// oldest first. Case files that cannot be read are left out and named in the
// errors; so is a cache that cannot be written (ErrNotKept).
func (l *Ledger) Records() ([]Record, []error) {
	years, err := l.years()
	if err != nil {
		return nil, []error{err}
	}
	var list []Record
	var errs []error
	counts := newLedgerCounts(l.book)
	for _, year := range years {
		stamp := l.yearStamp(year) // before it is read: what comes meanwhile is found next time
		records, failed := l.year(year)
		list = append(list, records...)
		errs = append(errs, failed...)
		counts.set(year, stamp, records)
	}
	if err := l.keepCounts(counts); err != nil {
		errs = append(errs, err)
	}
	return list, errs
}

// Refresh brings the counts up to date for the next call. It looks at the
// years in which a case was written alone, so it costs little where there is
// little to do. Where more than most cases of a year wait to be read, that year
// is left to another time; 0 leaves none. Case files that cannot be read are
// passed over: Records names them.
func (l *Ledger) Refresh(most int) error {
	if l.folder == "" {
		return nil
	}
	years, err := l.years()
	if err != nil {
		return err
	}
	old, counts := l.oldCounts(), newLedgerCounts(l.book)
	for _, year := range years {
		stamp := l.yearStamp(year)
		switch {
		case old.knows(year, stamp, l.book):
			counts.take(year, stamp, old)
		case most > 0 && l.waiting(year) > most:
			counts.take(year, "", old) // not up to date
		default:
			records, _ := l.year(year)
			counts.set(year, stamp, records)
		}
	}
	return l.keepCounts(counts)
}

// yearStamp changes whenever a file is put into the folder of the year.
func (l *Ledger) yearStamp(year string) string {
	info, err := os.Stat(filepath.Join(l.store.dir, year))
	if err != nil {
		return ""
	}
	return fmt.Sprint(info.ModTime().UnixNano())
}

// waiting is how many cases of the year would be read to bring it up to date.
func (l *Ledger) waiting(year string) int {
	stamps, err := l.stamps(year)
	if err != nil {
		return 0 // the reading says so
	}
	s, n := l.read(year), 0
	known := s.index()
	for id, stamp := range stamps {
		if !l.fresh(known[id], stamp, s.Book) {
			n++
		}
	}
	return n
}

// fresh reports whether an entry still holds for a case with that stamp.
func (l *Ledger) fresh(e *entry, stamp, book string) bool {
	return e != nil && e.Stamp == stamp && (book == l.book || !e.Record.Judged)
}

// years lists the folders of the store. What bears the name of a year and is no
// folder is among them, so that stamps says so.
func (l *Ledger) years() ([]string, error) {
	list, err := os.ReadDir(l.store.dir)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("list cases: %w; what bears this name must be a folder that you may read", err)
	}
	var years []string
	for _, e := range list {
		if name := e.Name(); len(name) == 4 && strings.Trim(name, "0123456789") == "" {
			years = append(years, name)
		}
	}
	return years, nil
}

// stamps gives, for each case of a year, a text that changes whenever its file
// does. Stamps are compared for equality alone, so a clock that was set back
// does no harm.
func (l *Ledger) stamps(year string) (map[string]string, error) {
	list, err := os.ReadDir(filepath.Join(l.store.dir, year))
	if err != nil {
		return nil, fmt.Errorf("list the cases of %s: %w; what bears this name must be a folder that you may read", year, err)
	}
	stamps := make(map[string]string, len(list))
	for _, e := range list {
		id, ok := strings.CutSuffix(e.Name(), ".jsonl")
		if !ok || !validID.MatchString(id) || id[:4] != year {
			continue
		}
		if info, err := e.Info(); err == nil { // gone meanwhile otherwise
			stamps[id] = fmt.Sprintf("%d-%d", info.Size(), info.ModTime().UnixNano())
		}
	}
	return stamps, nil
}

// shard is the part of the ledger that lies in one file.
type shard struct {
	Book    string
	Entries []entry // in order of their ids
}

type entry struct {
	Stamp  string
	Record Record
}

func (s *shard) index() map[string]*entry {
	m := make(map[string]*entry, len(s.Entries))
	for i := range s.Entries {
		m[s.Entries[i].Record.ID] = &s.Entries[i]
	}
	return m
}

func (l *Ledger) file(year string) string { return year + ".records" }

// read gives the shard as it lies in the cache; empty where there is none or
// it is damaged.
func (l *Ledger) read(year string) shard {
	if l.folder == "" {
		return shard{}
	}
	data, err := ReadPlain(filepath.Join(l.folder, l.file(year)))
	if err != nil {
		return shard{}
	}
	if data, err = unseal(data); err != nil {
		return shard{}
	}
	var s shard
	if err := gob.NewDecoder(bytes.NewReader(data)).Decode(&s); err != nil {
		return shard{}
	}
	return s
}

// keepEvery is how many cases are read before the shard is written in between,
// so that a long first build that is broken off goes on where it stood.
const keepEvery = 5000

// year brings one year up to date and gives its records.
func (l *Ledger) year(year string) ([]Record, []error) {
	stamps, err := l.stamps(year)
	if err != nil {
		return nil, []error{err}
	}
	old := l.read(year)
	known := old.index()
	next := shard{Book: l.book}
	var errs []error
	read := 0
	for _, id := range sortedIDs(stamps) {
		if e := known[id]; l.fresh(e, stamps[id], old.Book) {
			next.Entries = append(next.Entries, *e)
			continue
		}
		c, err := l.store.Load(id) // a copy under another's name is an error: it would count twice
		if err != nil {
			if !errors.Is(err, os.ErrNotExist) {
				errs = append(errs, err)
			}
			continue
		}
		next.Entries = append(next.Entries, entry{stamps[id], l.judge(c)})
		if read++; read%keepEvery == 0 {
			l.keep(year, next) // a failure is told at the end
		}
	}
	if read > 0 || len(next.Entries) != len(old.Entries) || old.Book != next.Book {
		if err := l.keep(year, next); err != nil {
			errs = append(errs, err)
		}
	}
	return next.records(), errs
}

func sortedIDs(stamps map[string]string) []string {
	ids := make([]string, 0, len(stamps))
	for id := range stamps {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	return ids
}

func (s shard) records() []Record {
	list := make([]Record, len(s.Entries))
	for i := range s.Entries {
		list[i] = s.Entries[i].Record
	}
	return list
}

func (l *Ledger) keep(year string, s shard) error {
	if l.folder == "" {
		return nil
	}
	var buf bytes.Buffer
	if err := gob.NewEncoder(&buf).Encode(s); err != nil {
		return fmt.Errorf("%w: %w", ErrNotKept, err)
	}
	if err := writeSealed(l.folder, l.file(year), buf.Bytes()); err != nil {
		return fmt.Errorf("%w: %w", ErrNotKept, err)
	}
	return nil
}
