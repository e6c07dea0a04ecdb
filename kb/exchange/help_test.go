package exchange

import (
	"bytes"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"faultbook/kb/cases"
)

// put writes files of a data folder, given by path.
func put(t testing.TB, home string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		at := filepath.Join(home, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// files gives the plain files below a folder by path, without those that a
// killed program left half-written, git's own, and the history, which everybody
// has of what they saw.
func files(t testing.TB, home string) map[string]string {
	t.Helper()
	got := map[string]string{}
	err := filepath.WalkDir(home, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && (d.Name() == ".git" || d.Name() == dirHistory) {
			return cmpErr(err, fs.SkipDir)
		}
		if d.IsDir() || strings.HasPrefix(d.Name(), ".") {
			return nil
		}
		data, err := os.ReadFile(p)
		name, _ := filepath.Rel(home, p)
		got[filepath.ToSlash(name)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func cmpErr(err, other error) error {
	if err != nil {
		return err
	}
	return other
}

// differences names the paths at which two folders differ.
func differences(a, b map[string]string) []string {
	var list []string
	for _, m := range []map[string]string{a, b} {
		for p := range m {
			if x, ok := a[p]; !ok || x != b[p] {
				list = append(list, p)
			} else if _, ok := b[p]; !ok {
				list = append(list, p)
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

func part(id string, revision int, title string) string {
	return fmt.Sprintf("kind: part\nid: %s\ntitle: %s\nrevision: %d\n", id, title, revision)
}

const (
	caseID   = "20260105-090000-bcdf"
	casePath = "cases/2026/" + caseID + ".jsonl"
)

// call is a case file with what was said, one event each, a second apart.
func call(id string, said ...string) string {
	at := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	c := &cases.Case{Header: cases.Header{Version: 1, ID: id, Opened: at}}
	for i, text := range said {
		c.Events = append(c.Events, cases.Event{At: at.Add(time.Duration(i+1) * time.Second), Say: text})
	}
	return encoded(c)
}

// archive packs a folder.
func archive(t testing.TB, home string) []byte {
	t.Helper()
	list, notes, err := Records(home, Choice{})
	if err != nil || len(notes) > 0 {
		t.Fatalf("records of %s: %v, %v", home, notes, err)
	}
	return pack(t, list, false)
}

func pack(t testing.TB, list []Record, compress bool) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := Write(&buf, list, compress); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func bring(t testing.TB, home string, data []byte) Result {
	t.Helper()
	list, err := Read(bytes.NewReader(data), "test.tar")
	if err != nil {
		t.Fatal(err)
	}
	r, err := Import(home, list)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// redact takes a text out of the case in a folder.
func redact(t testing.TB, home, text string, at time.Time) {
	t.Helper()
	s := cases.NewStore(filepath.Join(home, "cases"), func() time.Time { return at })
	if _, err := s.Redact(caseID, text); err != nil {
		t.Fatal(err)
	}
}

func pickOne[T any](dice *rand.Rand, list ...T) T { return list[dice.IntN(len(list))] }

// encoded is the text of a case's file.
func encoded(c *cases.Case) string {
	data, err := c.Encode()
	if err != nil {
		panic(err)
	}
	return string(data)
}
