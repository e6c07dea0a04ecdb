package cases

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestStore(t *testing.T) {
	c := newClock()
	s := NewStore(t.TempDir(), c.now)
	file, err := s.Create()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Append(file, Event{Say: "the screen is <black> & dead"}); err != nil {
		t.Fatal(err)
	}
	back, err := s.Load(file.ID)
	if err != nil || len(back.Events) != 1 || back.Events[0].Say != file.Events[0].Say {
		t.Fatalf("loaded %+v, %v", back, err)
	}
	if last, err := s.Last(); err != nil || last.ID != file.ID {
		t.Errorf("last: %v, %v", last, err)
	}
	if err := s.Append(file, Event{Close: &Close{}}); err != nil {
		t.Fatal(err)
	}
	if last, err := s.Last(); err != nil || last != nil {
		t.Errorf("an ended case is not the last open one: %v, %v", last, err)
	}
}

// TestStoreSameSecond opens two cases in one second with the same letters at
// first: the second must get another name, not replace the first.
func TestStoreSameSecond(t *testing.T) {
	n := 0
	s := NewStore(t.TempDir(), newClock().now).WithSuffix(func() string { n++; return []string{"aaaa", "aaaa", "bbbb"}[n-1] })
	a, err := s.Create()
	if err != nil {
		t.Fatal(err)
	}
	b, err := s.Create()
	if err != nil || a.ID == b.ID {
		t.Fatalf("%v and %v, %v", a.ID, b, err)
	}
}

// TestStoreTwoWriters lets two programs go on with one case: the later one is
// told, and nothing of the earlier is lost.
func TestStoreTwoWriters(t *testing.T) {
	s := NewStore(t.TempDir(), newClock().now)
	mine, err := s.Create()
	if err != nil {
		t.Fatal(err)
	}
	theirs, err := s.Load(mine.ID)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Append(theirs, Event{Say: "theirs"}); err != nil {
		t.Fatal(err)
	}
	err = s.Append(mine, Event{Say: "mine"})
	if err == nil || !strings.Contains(err.Error(), "changed by somebody else") || len(mine.Events) != 0 {
		t.Errorf("the second writer got %v and keeps %d events", err, len(mine.Events))
	}
	if back, err := s.Load(mine.ID); err != nil || len(back.Events) != 1 || back.Events[0].Say != "theirs" {
		t.Errorf("on disk: %+v, %v", back, err)
	}
}

// TestWriteFails fails each step of a write once: the old file stays whole,
// no temporary file is left, and the event is not counted.
func TestWriteFails(t *testing.T) {
	full := errors.New("no space left on device")
	for name, breakIt := range map[string]func(d *disk){
		"create": func(d *disk) { d.create = func(string) (*os.File, error) { return nil, fs.ErrPermission } },
		"write": func(d *disk) {
			d.write = func(f *os.File, data []byte) error { f.Write(data[:len(data)/2]); return full }
		},
		"flush":  func(d *disk) { d.sync = func(*os.File) error { return full } },
		"rename": func(d *disk) { d.rename = func(string, string) error { return full } },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			s := NewStore(dir, newClock().now)
			file, err := s.Create()
			if err != nil {
				t.Fatal(err)
			}
			if err := s.Append(file, Event{Say: "first"}); err != nil {
				t.Fatal(err)
			}
			breakIt(&s.disk)
			if err := s.Append(file, Event{Say: "second"}); err == nil || !strings.Contains(err.Error(), file.ID) {
				t.Errorf("error %v, want one that names the file", err)
			}
			if len(file.Events) != 1 {
				t.Errorf("%d events after the failure, want 1", len(file.Events))
			}
			back, err := LoadFile(s.Path(file))
			if err != nil || len(back.Events) != 1 {
				t.Errorf("on disk: %+v, %v", back, err)
			}
			left, err := filepath.Glob(filepath.Join(dir, "*", ".writing-*"))
			if err != nil || len(left) > 0 {
				t.Errorf("left behind: %v, %v", left, err)
			}
		})
	}
}

func TestWriteFileFresh(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.yaml")
	if err := WriteFile(path, []byte("one"), true); err != nil {
		t.Fatal(err)
	}
	if err := WriteFile(path, []byte("two"), true); !errors.Is(err, os.ErrExist) {
		t.Errorf("a fresh write over a file: %v", err)
	}
	if data, _ := os.ReadFile(path); string(data) != "one" {
		t.Errorf("the file now holds %q", data)
	}
}

func TestAdopt(t *testing.T) {
	from, to := NewStore(t.TempDir(), newClock().now), NewStore(t.TempDir(), newClock().now)
	file, err := from.Create()
	if err != nil {
		t.Fatal(err)
	}
	if err := from.Append(file, Event{Say: "x"}); err != nil {
		t.Fatal(err)
	}
	got, err := to.Adopt(from.Path(file))
	if err != nil || got.ID != file.ID {
		t.Fatal(err)
	}
	if err := to.Append(got, Event{Say: "y"}); err != nil {
		t.Errorf("the adopted case cannot go on: %v", err)
	}
	if _, err := to.Adopt(from.Path(file)); err == nil || !strings.Contains(err.Error(), "already") {
		t.Errorf("adopted twice: %v", err)
	}
}

// TestByteOrderMark reads a case that an editor saved with a byte order mark and
// line ends of its own, and refuses one that lies under the name of another.
func TestByteOrderMark(t *testing.T) {
	s := NewStore(t.TempDir(), newClock().now)
	c, err := s.Create(Event{Say: "no picture"})
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(s.Path(c))
	if err != nil {
		t.Fatal(err)
	}
	marked := append([]byte("\ufeff"), bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n"))...)
	if err := os.WriteFile(s.Path(c), marked, 0o644); err != nil {
		t.Fatal(err)
	}
	again, err := s.Load(c.ID)
	if err != nil || len(again.Events) != 1 {
		t.Fatalf("%+v, %v", again, err)
	}
	if err := s.Append(again, Event{Note: "goes on"}); err != nil {
		t.Error(err)
	}
	copied := c.ID[:len(c.ID)-4] + "zzzz"
	if err := os.WriteFile(s.path(copied), data, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Load(copied); err == nil || !strings.Contains(err.Error(), "holds case "+c.ID) {
		t.Errorf("a copy under another name: %v", err)
	}
	if _, err := s.Load("20990101-000000-bcdf"); err == nil || !strings.Contains(err.Error(), "there is no case") {
		t.Errorf("no case: %v", err)
	}
}
