package index

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"sort"
	"strings"
	"syscall"
	"time"

	"faultbook/kb/cases"
)

// An index lies in a folder that carries the key of its content in its name.
// Under its name it is never written: it is made and sealed in a sibling folder,
// then renamed, so a reader is not disturbed while another process makes the
// next. Readers open it read-only and share it. Cases that came since are in the
// journal beside it, until there are so many that it is built anew.
const (
	prefix   = "index-"
	since    = "since-"      // the journal of the index with that key
	fresh    = "new-"        // being made
	retired  = "old-"        // damaged, being removed
	leftOver = 2 * time.Hour // age at which an unfinished folder is swept away
	// So many cases, or an eighth of all where that is more, are kept beside an
	// index; of more it is built anew.
	mostRecent = 2000
	// A build makes much that is gone at once; collecting it less often than
	// usual saves some of the work.
	whileBuilding = 200
)

// keeper looks after the index on disk.
type keeper struct {
	folder  string
	content content
	note    noter
	damaged bool // what bears the name of the index must go
	again   bool // it is built anew because somebody asked
}

// open opens the index that is there and brings it up to date, or makes it.
func (k keeper) open(x *Index) error {
	k.sweepUnfinished()
	usable, err := k.openKept(x)
	if err == nil || errors.Is(err, errLocked) {
		return err
	}
	x.closeParts()
	if errors.Is(err, errDamagedIndex) {
		k.damaged = true
		k.note("the search index is damaged (%v): built anew", err)
	}
	k.again = usable
	if err := k.rebuild(context.Background()); err != nil {
		return err
	}
	_, err = k.openKept(x)
	return err
}

var (
	errDamagedIndex = errors.New("damaged")
	errManyChanges  = errors.New("many cases came or changed")
)

func (k keeper) path() string { return filepath.Join(k.folder, prefix+k.content.key) }

// openKept opens an index of the book that is there and whole, and brings it up
// to date. usable says that there was one.
func (k keeper) openKept(x *Index) (usable bool, err error) {
	damage := error(nil)
	for _, path := range append([]string{k.path()}, k.others()...) {
		s, err := checkSeal(path)
		if err != nil {
			if _, there := os.Stat(path); there == nil && path == k.path() {
				damage = fmt.Errorf("%w: %w", errDamagedIndex, err)
			}
			continue
		}
		if s.Base != k.content.base {
			continue
		}
		err = guarded(func() error { return k.openAt(x, path, s) })
		switch {
		case err == nil, errors.Is(err, errLocked), errors.Is(err, errManyChanges):
			return true, err
		}
		x.closeParts()
		damage = fmt.Errorf("%w: %w", errDamagedIndex, err)
	}
	if damage != nil {
		return false, damage
	}
	return false, errors.New("no index")
}

// openAt opens the index in a folder with its journal, and puts in what changed.
func (k keeper) openAt(x *Index, path string, s seal) error {
	if err := x.openParts(path, s); err != nil {
		return err
	}
	stamps, err := readStamps(path)
	if err != nil {
		return err
	}
	kept, damaged, err := x.readJournal()
	if err != nil {
		return err
	}
	if damaged > 0 {
		k.note("%d lines of what came since the search index are damaged: read again from the cases", damaged)
	}
	for id, c := range kept {
		if stamps[id] = c.Stamp; c.Gone {
			delete(stamps, id)
		}
	}
	changed, gone := k.content.difference(stamps)
	if n := len(kept) + len(changed) + len(gone); n > max(mostRecent, len(k.content.cases)/8) {
		return errManyChanges
	}
	return k.catchUp(x, kept, changed, gone)
}

// catchUp puts in what the journal has and what changed since, and writes that
// down.
func (k keeper) catchUp(x *Index, kept map[string]change, changed, gone []string) error {
	news := k.content.read(changed, k.note)
	for _, id := range gone {
		news = append(news, change{ID: id, Gone: true})
	}
	for _, c := range news {
		delete(kept, c.ID)
	}
	if err := x.takeAll(kept, news); err != nil || len(news) == 0 {
		return err
	}
	if err := x.journal.append(news...); err != nil {
		k.note("what came since the search index was built cannot be kept (%v): it is read again each time", err)
	}
	return nil
}

// takeAll puts in the changes of a journal and further ones.
func (x *Index) takeAll(kept map[string]change, news []change) error {
	for _, id := range sortedKeys(kept) {
		if err := x.take(kept[id]); err != nil {
			return err
		}
	}
	for _, c := range news {
		if err := x.take(c); err != nil {
			return err
		}
	}
	return nil
}

// openParts opens what lies in a folder whose seal holds.
func (x *Index) openParts(path string, s seal) error {
	book, err := openRanked(filepath.Join(path, bookFolder))
	if err != nil {
		return err
	}
	x.book, x.cases, x.recent = book, nil, newRecentPart()
	book.hidden = len(x.content.groups)
	file, err := cases.ReadPlain(filepath.Join(path, codesName))
	if err != nil {
		return fmt.Errorf("open the index: %w", err)
	}
	book.codes = readCodes(file)
	n := book.live()
	for i := range halves {
		folder := filepath.Join(path, halfFolder(i))
		if _, err := os.Stat(folder); errors.Is(err, os.ErrNotExist) {
			continue // no cases
		}
		p, err := openRanked(folder)
		if err != nil {
			return err
		}
		p.codes = book.codes
		x.cases = append(x.cases, p)
		n += p.live()
	}
	if n != s.Documents {
		return fmt.Errorf("%d documents, sealed were %d", n, s.Documents)
	}
	words, err := cases.ReadPlain(filepath.Join(path, wordsName))
	if err != nil {
		return fmt.Errorf("open the index: %w", err)
	}
	x.vocabulary = newVocabulary(words)
	x.journal = &journal{path: filepath.Join(x.folder, since+s.Key)}
	return nil
}

// readJournal gives the last change of each case.
func (x *Index) readJournal() (map[string]change, int, error) {
	list, damaged, err := x.journal.read()
	last := map[string]change{}
	for _, c := range list {
		last[c.ID] = c
	}
	return last, damaged, err
}

// rebuild makes the index from nothing.
func (k keeper) rebuild(ctx context.Context) error {
	switch {
	case k.damaged: // said already
	case k.again: // it is known
	case len(k.others()) > 0:
		k.note("the search index was older than the book: built anew")
	default:
		k.note("there was no search index yet: built")
	}
	if err := os.MkdirAll(k.folder, 0o700); err != nil {
		return err
	}
	made, err := os.MkdirTemp(k.folder, fmt.Sprintf("%s%d-", fresh, os.Getpid()))
	if err != nil {
		return err
	}
	defer os.RemoveAll(made) // nothing is left of it once it has its name
	defer debug.SetGCPercent(debug.SetGCPercent(whileBuilding))
	s, err := k.content.build(ctx, made, k.note)
	if err != nil {
		return err
	}
	if err := writeSeal(made, s); err != nil {
		return err
	}
	if err := k.install(made); err != nil {
		return err
	}
	k.sweep()
	return nil
}

// install renames the new folder. What lies there already is either damaged,
// and goes, or was made by another process a moment ago, and serves.
func (k keeper) install(made string) error {
	if os.Rename(made, k.path()) == nil {
		return nil
	}
	if _, err := checkSeal(k.path()); err == nil && !k.damaged {
		return nil
	}
	aside, err := os.MkdirTemp(k.folder, retired)
	if err != nil {
		return err
	}
	defer os.RemoveAll(aside)
	if err := os.Rename(k.path(), filepath.Join(aside, "index")); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return os.Rename(made, k.path())
}

// others lists the indexes of other contents, the newest first.
func (k keeper) others() []string {
	list, err := os.ReadDir(k.folder)
	if err != nil {
		return nil
	}
	age := map[string]time.Time{}
	var others []string
	for _, e := range list {
		path := filepath.Join(k.folder, e.Name())
		if !strings.HasPrefix(e.Name(), prefix) || path == k.path() {
			continue
		}
		if info, err := e.Info(); err == nil && e.IsDir() {
			age[path] = info.ModTime()
			others = append(others, path)
		}
	}
	sort.SliceStable(others, func(i, j int) bool { return age[others[i]].After(age[others[j]]) })
	return others
}

// sweep removes indexes of other contents with their journals. A failure does
// not matter: the next one tries again.
func (k keeper) sweep() {
	for _, path := range k.others() {
		os.RemoveAll(path)
	}
	list, err := filepath.Glob(filepath.Join(k.folder, since+"*"))
	if err != nil {
		return // the pattern is right
	}
	for _, path := range list {
		if filepath.Base(path) != since+k.content.key {
			os.Remove(path)
		}
	}
	k.sweepUnfinished()
}

// sweepUnfinished removes what an interrupted build left behind.
func (k keeper) sweepUnfinished() {
	list, err := os.ReadDir(k.folder)
	if err != nil {
		return
	}
	for _, e := range list {
		name := e.Name()
		if !strings.HasPrefix(name, fresh) && !strings.HasPrefix(name, retired) {
			continue
		}
		if info, err := e.Info(); err == nil && (time.Since(info.ModTime()) > leftOver || makerIsGone(name)) {
			os.RemoveAll(filepath.Join(k.folder, name))
		}
	}
}

// makerIsGone reports whether the process that made an unfinished folder is
// known to have ended. Where that cannot be told the folder's age decides.
func makerIsGone(name string) bool {
	var pid int
	if _, err := fmt.Sscanf(name, fresh+"%d-", &pid); err != nil || pid <= 0 {
		return false
	}
	p, err := os.FindProcess(pid)
	if err != nil {
		return true
	}
	return errors.Is(p.Signal(syscall.Signal(0)), os.ErrProcessDone)
}
