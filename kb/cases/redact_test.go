package cases

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// named makes a case whose texts hold a made-up name in every field.
func named(t *testing.T, s *Store) *Case {
	t.Helper()
	c, err := s.Create()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range []Event{
		{Say: "this is Zorp  Quux, ZORP QUUX"}, {Note: "zorp\tquux rings back"}, {Room: "room of Zorp Quux"},
		{Symptom: "F-01"}, given("display-lamp", "off", ""),
		{Evidence: &Evidence{From: FromRead, Name: "Zorp Quux.bin", Text: []string{"serial of Zorp Quux"},
			Facts: []EvidenceFact{{Name: "name", Value: "Zorp Quux", Text: "Zorp Quux"}}}},
		{Undo: true},
		{Close: &Close{Cause: "VL-03", Note: "told Zorp Quux's colleague"}},
	} {
		if err := s.Append(c, e); err != nil {
			t.Fatal(err)
		}
	}
	return c
}

// TestRedact takes the name out of every text, what was taken back included,
// and leaves all else as it was. No byte of it stays in the folder.
func TestRedact(t *testing.T) {
	dir := t.TempDir()
	s := NewStore(dir, newClock().now)
	c := named(t, s)
	half, err := os.ReadFile(s.Path(c))
	if err != nil {
		t.Fatal(err)
	}
	left := filepath.Join(filepath.Dir(s.Path(c)), temporary+"left")
	if err := os.WriteFile(left, half[:len(half)/2], 0o644); err != nil { // a power cut in a write
		t.Fatal(err)
	}
	got, err := s.Redact(c.ID, "zorp quux")
	if err != nil || got != (Redaction{Places: 9}) {
		t.Fatalf("redacted %+v, %v; want 9 places", got, err)
	}
	back, err := s.Load(c.ID)
	if err != nil {
		t.Fatal(err)
	}
	if e := back.Events; e[0].Say != "this is [removed], [removed]" || e[7].Close.Note != "told [removed]'s colleague" ||
		e[7].Close.Cause != "VL-03" || e[4].Answer.Value != "off" || e[8].Redacted != 9 {
		t.Errorf("the record now says %+v", e)
	}
	if r := back.Record(); r.End != EndClosed || r.Symptom != "F-01" || r.Cause != "VL-03" {
		t.Errorf("it comes to %+v", r)
	}
	holds(t, dir, "zorp", 0)
	if got, err = s.Redact(c.ID, "Zorp Quux"); err != nil || got.Places != 0 {
		t.Errorf("once more: %+v, %v", got, err)
	}
}

// holds counts the files below dir that hold the text in any letter case.
func holds(t *testing.T, dir, text string, want int) {
	t.Helper()
	n := 0
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if err == nil && bytes.Contains(bytes.ToLower(data), []byte(text)) {
			n++
		}
		return err
	})
	if err != nil || n != want {
		t.Errorf("%d files hold %q, want %d; %v", n, text, want, err)
	}
}

// TestTemporaryNames holds that what Redact looks for is what a crash in the
// middle of a write leaves.
func TestTemporaryNames(t *testing.T) {
	f, err := createTemporary(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	if !strings.HasPrefix(filepath.Base(f.Name()), temporary) {
		t.Errorf("a file that is being written is named %s", f.Name())
	}
}

func TestRedactRefuses(t *testing.T) {
	s := NewStore(t.TempDir(), newClock().now)
	c := named(t, s)
	before, err := os.ReadFile(s.Path(c))
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"", " ", "z", " z ", "\t\n"} {
		if _, err := s.Redact(c.ID, text); !errors.Is(err, ErrShort) {
			t.Errorf("%q: %v", text, err)
		}
	}
	if got, err := s.Redact(c.ID, "nobody"); err != nil || got.Places != 0 {
		t.Errorf("a text that is not there: %+v, %v", got, err)
	}
	if got, err := s.Redact(c.ID, "display-lamp"); err != nil || got != (Redaction{Left: 1}) {
		t.Errorf("an id of the book: %+v, %v", got, err)
	}
	if _, err := s.Redact("20260105-090000-none", "xy"); err == nil {
		t.Error("a case that is not there was redacted")
	}
	if after, err := os.ReadFile(s.Path(c)); err != nil || !bytes.Equal(before, after) {
		t.Errorf("the file was changed: %v", err)
	}
}

// TestHide takes texts out of texts: as they stand, also where they look like
// a pattern, across other white space, and never out of the mark itself.
func TestHide(t *testing.T) {
	for _, c := range []struct {
		in, text, want string
		n              int
	}{
		{"call 0555 0100 now", "0555 0100", "call [removed] now", 1},
		{"a.c abc", "a.c", "[removed] abc", 1},
		{"ÄRGER ärger", "ärger", "[removed] [removed]", 2},
		{"was [removed] and remove", "re", "was [removed] and [removed]move", 1},
		{"aaaa", "aa", "[removed][removed]", 2},
		{"$1 and more", "and more", "$1 [removed]", 1},
	} {
		re, err := hider(c.text)
		if err != nil {
			t.Fatal(err)
		}
		if got, n := hideIn(c.in, re); got != c.want || n != c.n {
			t.Errorf("%q without %q: %q, %d places; want %q, %d", c.in, c.text, got, n, c.want, c.n)
		}
	}
}

// TestRedactFails leaves the old file whole where the new one cannot be
// written, and no half of the new one beside it.
func TestRedactFails(t *testing.T) {
	dir := t.TempDir()
	s := NewStore(dir, newClock().now)
	c := named(t, s)
	s.disk.rename = func(string, string) error { return errors.New("no space left on device") }
	if _, err := s.Redact(c.ID, "Zorp Quux"); err == nil || !strings.Contains(err.Error(), "not removed") {
		t.Errorf("got %v", err)
	}
	if back, err := s.Load(c.ID); err != nil || len(back.Events) != len(c.Events) {
		t.Errorf("on disk: %v", err)
	}
	holds(t, dir, "zorp", 1)
}

// TestRedactOverwritten says so where another program puts the old text back
// in between.
func TestRedactOverwritten(t *testing.T) {
	s := NewStore(t.TempDir(), newClock().now)
	c := named(t, s)
	old, err := os.ReadFile(s.Path(c))
	if err != nil {
		t.Fatal(err)
	}
	flush := s.disk.syncDir
	s.disk.syncDir = func(dir string) error {
		if err := os.WriteFile(s.Path(c), old, 0o644); err != nil {
			t.Fatal(err)
		}
		return flush(dir)
	}
	if _, err := s.Redact(c.ID, "Zorp Quux"); err == nil || !strings.Contains(err.Error(), "once more") {
		t.Errorf("got %v", err)
	}
}

// TestReopenAndRedactedEvents reads both back and refuses them beside others.
func TestReopenAndRedactedEvents(t *testing.T) {
	for text, ok := range map[string]bool{
		`{"at":"2026-01-05T09:00:01Z","reopen":true}`:              true,
		`{"at":"2026-01-05T09:00:01Z","redacted":2}`:               true,
		`{"at":"2026-01-05T09:00:01Z","reopen":true,"redacted":2}`: false,
		`{"at":"2026-01-05T09:00:01Z","redacted":0}`:               false,
	} {
		if _, err := Decode(strings.NewReader(header+text+"\n"), "x.jsonl"); (err == nil) != ok {
			t.Errorf("%s: %v", text, err)
		}
	}
}
