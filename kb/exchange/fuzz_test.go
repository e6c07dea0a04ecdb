package exchange

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// FuzzParseRecord reads any file at any place of a data folder: what is taken
// for a record has a fit place, and is the same record there.
func FuzzParseRecord(f *testing.F) {
	f.Add(hubPath, []byte(part("hub", 1, "Hub")))
	f.Add("rooms/hall.yaml", []byte("name: Hall\r\nrevision: 3\r\n"))
	f.Add("rooms/a/../b.yaml", []byte("x"))
	f.Add(casePath, []byte(call(caseID, "a")))
	f.Add(asidePath("part", "hub", []byte("x")), []byte(part("hub", 2, "Hub")))
	f.Add(asidePath(KindCase, caseID, []byte("x")), []byte(call(caseID, "a")))
	f.Add("conflicts/part/.0123456789abcdef.yaml", []byte(part("con", 2, "Hub")))
	f.Add("book/x.yml", []byte("kind: part\nid: "+strings.Repeat("a-", 300)+"a\ntitle: x\n"))
	f.Fuzz(func(t *testing.T, p string, data []byte) {
		r, err := ParseRecord(p, data)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("refused without a reason")
			}
			return
		}
		if err := checkPath(r.Path); err != nil {
			t.Fatalf("%q belongs into %q: %v", p, r.Path, err)
		}
		if r.Revision < 0 {
			t.Fatalf("revision %d", r.Revision)
		}
		again, err := ParseRecord(r.Path, data)
		if err != nil || again.key() != r.key() || again.Path != r.Path || again.Revision != r.Revision {
			t.Fatalf("at %q: %+v, at its place: %+v, %v", p, r, again, err)
		}
	})
}

// FuzzFolder puts any two files where records of one id lie, one in place and
// one set aside, beside any file of the history, and settles what conflicts:
// afterwards nothing does, and every text that was there is there still, in its
// place or in the history.
func FuzzFolder(f *testing.F) {
	f.Add("part", "hub", []byte(part("hub", 1, "Hub")), []byte(part("hub", 1, "Other")), []byte(part("hub", 0, "Old")))
	f.Add("part", "hub", []byte(part("hub", 1, "Hub")), []byte(part("HUB", 7, "Other")), []byte("\xff"))
	f.Add(KindRoom, "hall", []byte("name: Hall\nrevision: 1\n"), []byte("name: Hell\r\nrevision: 1\r\n"), []byte(""))
	f.Add(KindRoom, "hall", []byte("name: Hall\n"), []byte("name: Hell\nrevision: 999999999"), []byte("x"))
	f.Add(KindCase, caseID, []byte(call(caseID, "a", "b")), []byte(call(caseID, "a", "c")), []byte(""))
	f.Fuzz(func(t *testing.T, kind, id string, in, aside, old []byte) {
		at := place(KindRoom, "x")
		switch {
		case checkPath(id) != nil || checkPart(kind) != nil || len(id) > maxID || len(kind) > maxID || strings.Contains(id, "/"):
			return
		case kind != KindCase:
			at = place(kind, id)
		case len(id) > 4:
			at = place(kind, id)
		}
		home := t.TempDir()
		files := map[string][]byte{at: in, asidePath(kind, id, aside): aside, "history/" + kind + "/" + id + ".1.0123456789abcdef.yaml": old}
		for p, data := range files {
			if err := os.MkdirAll(filepath.Join(home, filepath.Dir(p)), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(home, p), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := History(home, kind, id); err != nil {
			t.Fatal(err)
		}
		settleWhatCan(t, home)
		for p, data := range files {
			if !lies(t, home, data) {
				if _, err := ParseRecord(p, data); err == nil && kind != KindCase {
					t.Fatalf("%s is lost:\n%q", p, data)
				}
			}
		}
	})
}

// settleWhatCan settles every conflict; what cannot be settled must say so.
func settleWhatCan(t *testing.T, home string) {
	t.Helper()
	list, err := Conflicts(home)
	if err != nil {
		t.Fatal(err)
	}
	left := 0
	for _, c := range list {
		if _, err := Settle(home, c.Kind, c.ID, ""); err != nil {
			left++
		}
	}
	list, err = Conflicts(home)
	if err != nil || len(list) != left {
		t.Fatalf("%v are left, %d could not be settled: %v", list, left, err)
	}
}

// lies reports whether some file of the folder holds the text.
func lies(t *testing.T, home string, data []byte) bool {
	t.Helper()
	errFound := errors.New("found")
	err := filepath.WalkDir(home, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		have, err := os.ReadFile(p)
		if err == nil && bytes.Equal(have, data) {
			err = errFound
		}
		return err
	})
	if err != nil && !errors.Is(err, errFound) {
		t.Fatal(err)
	}
	return err != nil
}
