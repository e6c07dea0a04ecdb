package cases

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"time"
)

// Store keeps cases in a folder, a sub-folder a year. Several programs may use
// one at once.
type Store struct {
	dir    string
	now    func() time.Time
	suffix func() string
	disk   disk
}

// NewStore uses dir, which need not exist yet; now is the clock.
func NewStore(dir string, now func() time.Time) *Store {
	return &Store{dir: dir, now: now, suffix: letters, disk: realDisk()}
}

// WithSuffix returns the store with another source of the letters that end
// the ids of new cases, for calls that must come out alike each time.
func (s *Store) WithSuffix(suffix func() string) *Store {
	c := *s
	c.suffix = suffix
	return &c
}

// Dir is the folder.
func (s *Store) Dir() string { return s.dir }

// Create opens a new case with its first events, which may be none, and puts
// its file in place.
func (s *Store) Create(events ...Event) (*Case, error) {
	at := s.now().UTC().Truncate(time.Second)
	c := &Case{Header: Header{Version: Version, Opened: at}}
	for _, e := range events {
		e.At = at
		if err := e.check(); err != nil {
			return nil, err
		}
		c.Events = append(c.Events, e)
	}
	for range 50 {
		c.ID = at.Format("20060102-150405") + "-" + s.suffix()
		err := s.write(c, true)
		if err == nil {
			return c, nil
		}
		if !errors.Is(err, os.ErrExist) {
			return nil, err
		}
	}
	return nil, fmt.Errorf("create a case in %s: no free name", s.dir)
}

// letters makes two calls that begin in the same second differ.
func letters() string {
	const alphabet = "bcdfghjkmnpqrstvwxz" // no vowels, so no words
	raw := make([]byte, 4)
	rand.Read(raw) // never fails
	for i, b := range raw {
		raw[i] = alphabet[int(b)%len(alphabet)]
	}
	return string(raw)
}

// Append adds an event, stamped with the clock, and writes the file. If it
// cannot be written the case is as before.
func (s *Store) Append(c *Case, e Event) error {
	e.At = s.now().UTC().Truncate(time.Second)
	if err := e.check(); err != nil {
		return err
	}
	c.Events = append(c.Events, e)
	if err := s.write(c, false); err != nil {
		c.Events = c.Events[:len(c.Events)-1]
		return err
	}
	return nil
}

func (s *Store) write(c *Case, fresh bool) error {
	data, err := c.Encode()
	if err != nil {
		return err
	}
	path := s.path(c.ID)
	if fresh {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return fmt.Errorf("make the folder for cases: %w; set FAULTBOOK_HOME to a folder of yours", err)
		}
	}
	check := func() error { return s.unchanged(path, c) }
	if fresh {
		check = nil
	}
	if err := s.disk.writeFile(path, data, fresh, check); err != nil {
		return err
	}
	c.saved = data
	return nil
}

// unchanged is an error where the file is not what was read of the case.
func (s *Store) unchanged(path string, c *Case) error {
	if now, err := ReadPlain(path); err == nil && !bytes.Equal(now, c.saved) {
		return fmt.Errorf("%s was changed by somebody else meanwhile; open it again with --resume %s", path, c.ID)
	}
	return nil
}

func (s *Store) path(id string) string {
	return filepath.Join(s.dir, id[:4], id+".jsonl")
}

// Path is where the case lies.
func (s *Store) Path(c *Case) string { return s.path(c.ID) }

// Load reads the case with the id.
func (s *Store) Load(id string) (*Case, error) {
	if !validID.MatchString(id) {
		return nil, fmt.Errorf("%q is no id of a case; they look like 20261125-130723-kbtz", id)
	}
	c, err := LoadFile(s.path(id))
	if errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("there is no case %s: %w; `faultbook cases list` shows those that are here", id, err)
	}
	if err == nil && c.ID != id { // a copy under another's name: what goes on would go into the other
		return nil, fmt.Errorf("%s:1: holds case %s: give the file that name or remove it", s.path(id), c.ID)
	}
	return c, err
}

// LoadFile reads one case file.
func LoadFile(path string) (*Case, error) {
	f, err := OpenPlain(path)
	if err != nil {
		return nil, fmt.Errorf("open case: %w", err)
	}
	defer f.Close()
	return Decode(f, path)
}

// IDs lists all cases, oldest first.
func (s *Store) IDs() ([]string, error) {
	names, err := filepath.Glob(filepath.Join(s.dir, "[0-9][0-9][0-9][0-9]", "*.jsonl"))
	if err != nil {
		return nil, fmt.Errorf("list cases: %w", err)
	}
	var ids []string
	for _, name := range names {
		if id := strings.TrimSuffix(filepath.Base(name), ".jsonl"); validID.MatchString(id) {
			ids = append(ids, id)
		}
	}
	sort.Strings(ids)
	return ids, nil
}

// Last is the newest case that has not ended, nil where there is none. Files
// that cannot be read are passed over.
func (s *Store) Last() (*Case, error) {
	ids, err := s.IDs()
	if err != nil {
		return nil, err
	}
	for i := len(ids) - 1; i >= 0; i-- {
		if c, err := s.Load(ids[i]); err == nil && !c.Ended() {
			return c, nil
		}
	}
	return nil, nil
}

// Adopt reads a case file from anywhere, such as one that a colleague handed
// over, and keeps a copy in the store, where the call goes on. A case that the
// store has already is not replaced: that one goes on.
func (s *Store) Adopt(path string) (*Case, error) {
	c, err := LoadFile(path)
	if err != nil {
		return nil, err
	}
	if same, err := filepath.Abs(path); err == nil && same == s.path(c.ID) {
		return c, nil
	}
	c.saved = nil
	if err := s.write(c, true); err != nil {
		if errors.Is(err, os.ErrExist) {
			return nil, fmt.Errorf("case %s is in %s already; resume it by its id", c.ID, s.dir)
		}
		return nil, err
	}
	return c, nil
}
