package exchange

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"faultbook/kb/cases"
)

// folder is a data folder while records are merged into it. Its files are
// reached through an os.Root, so that no link leads out of it.
type folder struct {
	home string
	root *os.Root
	// step is called before each change on disk, one at a time; tests end there.
	step  func() error
	steps sync.Mutex
	// progress, where it is given, is told how many of all records are done.
	progress func(done, all int)
	done     int
	all      int
}

// begin tells that a merge of so many records begins, did that one is done.
func (f *folder) begin(all int) { f.done, f.all = 0, all }

func (f *folder) did() {
	f.steps.Lock()
	defer f.steps.Unlock()
	f.done++
	if f.progress != nil {
		f.progress(f.done, f.all)
	}
}

// openFolder makes the folder where it is missing.
func openFolder(home string) (*folder, error) {
	if err := os.MkdirAll(home, 0o755); err != nil {
		return nil, fmt.Errorf("make the data folder: %w; set FAULTBOOK_HOME to a folder of yours", err)
	}
	root, err := os.OpenRoot(home)
	if err != nil {
		return nil, fmt.Errorf("open the data folder: %w", err)
	}
	return &folder{home: home, root: root, step: func() error { return nil }}, nil
}

func (f *folder) next() error {
	f.steps.Lock()
	defer f.steps.Unlock()
	return f.step()
}

func (f *folder) close() { f.root.Close() } // it was only read through

// file is a record with the path at which it lies now.
type file struct {
	Record
	at string
}

// state is what a folder holds, by the key of the record.
type state struct {
	files map[string][]file
	odd   map[string]string // files that are no records though they lie where records do, with the reason
}

// notes tells what was left out.
func (s *state) notes() []string {
	var list []string
	for _, p := range sortedKeys(s.odd) {
		list = append(list, fmt.Sprintf("%s: left out: %s", p, s.odd[p]))
	}
	return list
}

// keys lists the records in order.
func (s *state) keys() []string { return sortedKeys(s.files) }

// versions are the records of a key, as reduce takes them.
func (s *state) versions(key string) []Record {
	var list []Record
	for _, f := range s.files[key] {
		list = append(list, f.Record)
	}
	return list
}

// load reads the folder; want says which cases are read, by their id; nil for
// all.
func (f *folder) load(want func(caseID string) bool) (*state, error) {
	s := &state{files: map[string][]file{}, odd: map[string]string{}}
	for _, dir := range shelves() {
		err := fs.WalkDir(f.root.FS(), dir, func(p string, d fs.DirEntry, err error) error {
			return f.visit(s, p, d, err, want)
		})
		if err != nil {
			return nil, fmt.Errorf("read the data folder %s: %w", f.home, err)
		}
	}
	return s, nil
}

// visit takes one file in. What cannot be read is noted: the rest is shared.
func (f *folder) visit(s *state, p string, d fs.DirEntry, err error, want func(string) bool) error {
	hidden := strings.HasPrefix(path.Base(p), ".")
	switch {
	case errors.Is(err, fs.ErrNotExist): // never made, or gone meanwhile
		return nil
	case err != nil:
		return err
	case !d.IsDir() && !strings.Contains(p, "/"):
		s.odd[p] = "not a folder"
		return nil
	case d.IsDir() && hidden:
		return fs.SkipDir
	case hidden && !d.IsDir():
		cases.SweepUnfinished(filepath.Join(f.home, filepath.FromSlash(p)))
		return nil
	case d.IsDir(), want != nil && !wanted(p, want):
		return nil
	case !d.Type().IsRegular():
		s.odd[p] = "not a plain file"
		return nil
	}
	data, err := f.read(p)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		s.odd[p] = fmt.Sprintf("cannot be read: %v", err)
		return nil
	}
	s.hold(p, data)
	return nil
}

// hold notes what a file holds, or why it cannot be used.
func (s *state) hold(path string, data []byte) {
	r, err := parse(path, data)
	switch {
	case errors.Is(err, errNone):
	case err != nil:
		s.odd[path] = err.Error()
	default:
		s.files[r.key()] = append(s.files[r.key()], file{r, path})
	}
}

// wanted tells by the path whether a case is to be read.
func wanted(p string, want func(string) bool) bool {
	if strings.HasPrefix(p, dirCases+"/") {
		return want(strings.TrimSuffix(path.Base(p), path.Ext(p)))
	}
	if kind, id, ok := asideID(p); ok && kind == KindCase {
		return want(id)
	}
	return true
}

// read gives a file, one byte more than the largest record at most.
func (f *folder) read(p string) ([]byte, error) {
	in, err := f.root.Open(p)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return io.ReadAll(io.LimitReader(in, maxCase+1))
}

// errChanged says that somebody else wrote a record between reading and
// writing it.
var errChanged = errors.New("the data folder is being changed by another program; try again")

// change is what is to be done with the files of one record.
type change struct {
	key  string
	made bool // by addAll
	have []file
	want []Record // as reduce gives them; none to remove the record
}

// needed reports whether the files are other than they should be.
func (c *change) needed() bool {
	return len(c.have) != len(c.want) || slices.ContainsFunc(c.want, func(r Record) bool { return !c.lies(r) })
}

func (c *change) lies(r Record) bool {
	return slices.ContainsFunc(c.have, func(h file) bool { return h.at == r.Path && bytes.Equal(h.Data, r.Data) })
}

// apply brings the files of a record in line: first what is set aside, then
// what is in place, and only then what is superseded is deleted. Texts of
// entries and room sheets that go are kept in the history.
func (f *folder) apply(c change) error {
	for _, h := range c.have {
		if slices.ContainsFunc(c.want, func(r Record) bool { return bytes.Equal(r.Data, h.Data) }) {
			continue
		}
		if err := KeepReplaced(f.home, h.Record); err != nil {
			return err
		}
	}
	for i := len(c.want) - 1; i >= 0; i-- {
		if c.lies(c.want[i]) {
			continue
		}
		if err := f.put(&c, c.want[i]); err != nil {
			return err
		}
	}
	for _, h := range c.have {
		if slices.ContainsFunc(c.want, func(r Record) bool { return r.Path == h.at }) {
			continue
		}
		if err := f.remove(h); err != nil {
			return err
		}
	}
	return nil
}

// put writes a record into its place.
func (f *folder) put(c *change, r Record) error {
	if err := f.root.MkdirAll(path.Dir(r.Path), 0o755); err != nil {
		return fmt.Errorf("make the folder of %s: %w", r.Path, err)
	}
	if err := f.respell(c, r.Path); err != nil {
		return err
	}
	var before []byte
	if i := slices.IndexFunc(c.have, func(h file) bool { return h.at == r.Path }); i >= 0 {
		if before = c.have[i].Data; bytes.Equal(before, r.Data) {
			return nil
		}
	}
	if err := f.next(); err != nil {
		return err
	}
	at := filepath.Join(f.home, filepath.FromSlash(r.Path))
	if before != nil {
		return cases.ReplaceFile(at, r.Data, func() error { return f.unchanged(r.Path, before) })
	}
	err := cases.WriteFile(at, r.Data, true)
	if errors.Is(err, fs.ErrExist) {
		return errChanged
	}
	return err
}

// respell renames a file whose name differs from p in letter case only: on some
// file systems both are one file.
func (f *folder) respell(c *change, p string) error {
	for i, h := range c.have {
		if h.at == p || fold(h.at) != fold(p) || slices.ContainsFunc(c.want, func(r Record) bool { return r.Path == h.at }) {
			continue
		}
		if slices.ContainsFunc(c.have, func(o file) bool { return o.at == p }) {
			return nil // both are there
		}
		if err := f.next(); err != nil {
			return err
		}
		if err := f.root.Rename(h.at, p); err != nil {
			return fmt.Errorf("rename %s: %w", h.at, err)
		}
		c.have[i].at = p
		return nil
	}
	return nil
}

// unchanged makes sure that the file is still what was read (nil for none).
func (f *folder) unchanged(p string, before []byte) error {
	now, err := f.read(p)
	switch {
	case errors.Is(err, fs.ErrNotExist) && before == nil:
		return nil
	case errors.Is(err, fs.ErrNotExist), err == nil && (before == nil || !bytes.Equal(now, before)):
		return errChanged
	case err != nil:
		return fmt.Errorf("read %s: %w", p, err)
	}
	return nil
}

// remove deletes a superseded file, and its folder where that is empty then.
func (f *folder) remove(h file) error {
	if err := f.unchanged(h.at, h.Data); err != nil {
		return err
	}
	if err := f.next(); err != nil {
		return err
	}
	if err := f.root.Remove(h.at); err != nil {
		return fmt.Errorf("remove %s: %w", h.at, err)
	}
	for dir := path.Dir(h.at); dir != "."; dir = path.Dir(dir) {
		if f.root.Remove(dir) != nil { // not empty
			break
		}
	}
	return nil
}
