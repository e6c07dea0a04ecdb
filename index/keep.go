package index

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"github.com/blevesearch/bleve/v2"
)

// An index lies in a folder that carries the key of its content in its name,
// so one that is older than the book is never opened by mistake, and a reader
// is not disturbed while another process makes the next. Under its name an
// index is never written: it is made and sealed in a sibling folder, then
// renamed. Readers open it read-only and share it.
const (
	prefix   = "index-"
	fresh    = "new-"        // being made
	retired  = "old-"        // damaged, being removed
	inner    = "bleve"       // the folder within that bleve uses
	leftOver = 2 * time.Hour // age at which an unfinished folder is swept away
	fewCases = 200           // so many changed cases are put in; more are a reason to build anew
)

// keeper looks after the index on disk.
type keeper struct {
	folder  string
	content content
	note    noter
	damaged bool // what bears the name of the index must go
}

// open opens the index that is there, or makes it.
func (k keeper) open() (bleve.Index, error) {
	idx, err := k.openKept()
	if err == nil || errors.Is(err, errLocked) {
		return idx, err
	}
	if _, gone := os.Stat(k.path()); gone == nil {
		k.damaged = true
		k.note("the search index is damaged (%v): built anew", err)
	} else if idx, err := k.grow(); err == nil {
		return idx, nil
	}
	if err := k.rebuild(); err != nil {
		return nil, err
	}
	return k.openKept()
}

func (k keeper) path() string { return filepath.Join(k.folder, prefix+k.content.key) }

// openKept opens the index of the content, if it is there and whole.
func (k keeper) openKept() (bleve.Index, error) {
	s, err := checkSeal(k.path())
	if err != nil {
		return nil, err
	}
	idx, err := openReadOnly(k.path())
	if err != nil {
		return nil, fmt.Errorf("open the index: %w", err)
	}
	if n, err := idx.DocCount(); err != nil || n != uint64(s.Documents) {
		guarded(idx.Close)
		return nil, fmt.Errorf("%d documents, sealed were %d", n, s.Documents)
	}
	return idx, nil
}

// rebuild makes the index from nothing.
func (k keeper) rebuild() error {
	switch {
	case k.damaged: // said already
	case len(k.others()) > 0:
		k.note("the search index was older than the book or the cases: built anew")
	default:
		k.note("there was no search index yet: built")
	}
	if err := os.MkdirAll(k.folder, 0o700); err != nil {
		return err
	}
	made, err := os.MkdirTemp(k.folder, fresh)
	if err != nil {
		return err
	}
	defer os.RemoveAll(made) // nothing is left of it once it has its name
	n := 0
	err = guarded(func() error {
		n, err = k.content.onDisk(filepath.Join(made, inner), k.note)
		return err
	})
	if err != nil {
		return err
	}
	return k.finish(made, n)
}

// finish seals what was made, gives it its name and sweeps up.
func (k keeper) finish(made string, documents int) error {
	c := k.content
	if err := writeSeal(made, seal{Key: c.key, Base: c.base, Documents: documents, Cases: c.cases}); err != nil {
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

// grow takes a copy of an index of the same book in which some cases are
// missing or changed, and brings it up to date. Others may go on reading the
// old one.
func (k keeper) grow() (bleve.Index, error) {
	for _, path := range k.others() {
		s, err := readSeal(path)
		if err != nil || s.Base != k.content.base {
			continue
		}
		changed, gone := k.content.difference(s.Cases)
		if len(changed)+len(gone) > fewCases {
			continue
		}
		if _, err := checkSeal(path); err != nil {
			continue
		}
		if err := k.growFrom(path, changed, gone); err != nil {
			return nil, err
		}
		return k.openKept()
	}
	return nil, errors.New("none to bring up to date")
}

func (k keeper) growFrom(path string, changed, gone []string) error {
	made, err := os.MkdirTemp(k.folder, fresh)
	if err != nil {
		return err
	}
	defer os.RemoveAll(made)
	if err := os.CopyFS(filepath.Join(made, inner), os.DirFS(filepath.Join(path, inner))); err != nil {
		return err
	}
	n := 0
	err = guarded(func() error {
		n, err = k.content.update(filepath.Join(made, inner), changed, gone, k.note)
		return err
	})
	if err != nil {
		return err
	}
	return k.finish(made, n)
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

// sweep removes indexes of other contents and what an interrupted build left
// behind. A failure does not matter: the next one tries again.
func (k keeper) sweep() {
	for _, path := range k.others() {
		os.RemoveAll(path)
	}
	list, err := os.ReadDir(k.folder)
	if err != nil {
		return
	}
	for _, e := range list {
		if !strings.HasPrefix(e.Name(), fresh) && !strings.HasPrefix(e.Name(), retired) {
			continue
		}
		if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > leftOver {
			os.RemoveAll(filepath.Join(k.folder, e.Name()))
		}
	}
}
