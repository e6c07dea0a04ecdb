//go:build linux

package index

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestNoDamagedIndexIsAsked flips 100 single bits, at random places of all files
// of an index by their size, and opens it each time as the program does: each flip
// is noticed and said, and what is found is what was found before.
func TestNoDamagedIndexIsAsked(t *testing.T) {
	src := caseSource(t, someCases()...)
	dir := t.TempDir()
	folder := sealedIndex(t, dir, src)
	want := lookUp(t, opened(t, dir, src), "webcm 500 mA", Options{})
	flipBits(t, folder, 100, func(file string, bit int) {
		if _, err := OpenNewest(dir, src.Book); !errors.Is(err, ErrNone) {
			t.Errorf("bit %d of %s: a call would ask it: %v", bit, file, err)
		}
	})
	// Mending builds anew, which takes longer: every tenth.
	flipBits(t, folder, 10, func(file string, bit int) {
		x := opened(t, dir, src)
		defer x.Close()
		wantNotes(t, x, "the search index is damaged")
		if got := lookUp(t, x, "webcm 500 mA", Options{}); len(got.Hits) != len(want.Hits) || got.Hits[0].ID != want.Hits[0].ID || got.Hits[0].Score != want.Hits[0].Score {
			t.Errorf("bit %d of %s: %+v, want %+v", bit, file, got, want)
		}
	})
}

// flipBits flips single bits in the files of a folder, spread over them by their
// size, and puts each right again unless the folder was made anew.
func flipBits(t *testing.T, folder string, n int, look func(file string, bit int)) {
	t.Helper()
	for i := range n {
		var files []string
		var total int64
		walkFiles(t, folder, func(path string, size int64) { files, total = append(files, path), total+size })
		at := total * 8 / int64(n) * int64(i)
		at += (at*7 + 3) % (total * 8 / int64(n)) // anywhere in its share
		for _, path := range files {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if at >= int64(len(data))*8 {
				at -= int64(len(data)) * 8
				continue
			}
			data[at/8] ^= 1 << (at % 8)
			put(t, path, data)
			look(filepath.Base(path), int(at))
			if now, err := os.ReadFile(path); err == nil && string(now) == string(data) {
				data[at/8] ^= 1 << (at % 8)
				put(t, path, data)
			}
			break
		}
	}
}

func put(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

func walkFiles(t *testing.T, folder string, visit func(path string, size int64)) {
	t.Helper()
	err := filepath.Walk(folder, func(path string, info os.FileInfo, err error) error {
		if err == nil && !info.IsDir() {
			visit(path, info.Size())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// smallDisk gives a folder on a disk of its own of so many bytes, or skips the
// test where none may be made.
func smallDisk(t *testing.T, size string) string {
	t.Helper()
	dir := t.TempDir()
	if err := mountSmall(dir, size); err != nil {
		t.Skipf("no small disk to fill: %v; run as root, where mounting is allowed", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, 0); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// TestFullDisk: where the disk is full the index is done in memory with a note,
// an index that was there is as it was, and nothing unfinished is left.
func TestFullDisk(t *testing.T) {
	src := caseSource(t, someCases()...)
	for _, size := range []string{"64k", "300k"} {
		dir := smallDisk(t, size)
		x := opened(t, filepath.Join(dir, "cache"), Source{Book: builtin()})
		if notes := x.Notes(); len(notes) != 2 || !strings.Contains(notes[1], "no space left") || !strings.Contains(notes[1], "cannot be kept") {
			t.Errorf("%s: notes %q", size, notes)
		}
		if r := lookUp(t, x, "picture flickers", Options{}); len(r.Hits) == 0 {
			t.Error("nothing is found")
		}
		if list, _ := filepath.Glob(filepath.Join(dir, "cache", "*")); len(list) != 0 {
			t.Errorf("left over: %v", list)
		}
	}
	dir := smallDisk(t, "1m")
	folder := sealedIndex(t, dir, src)
	fill(t, filepath.Join(dir, "other"))
	if _, err := Rebuild(context.Background(), dir, src); err == nil || !strings.Contains(err.Error(), "no space left") {
		t.Errorf("rebuilt on a full disk: %v", err)
	}
	if _, err := checkSeal(folder); err != nil {
		t.Error(err)
	}
	// A case that came is found, though it cannot be noted down.
	list := append(someCases(), Document{ID: "20261110-080000-eeee", Title: "late", Words: "webcam upside down", State: "closed"})
	x := opened(t, dir, caseSource(t, list...))
	wantNotes(t, x, "what came since the search index was built cannot be kept (")
	if got := ids(lookUp(t, x, "upside", Options{}).Hits); got != "20261110-080000-eeee" {
		t.Errorf("found %q", got)
	}
	if err := x.Add(CaseRef{"20261111-080000-ffff", "1"}, &Document{ID: "20261111-080000-ffff", Kind: "case", Words: "grommet"}); err == nil || !strings.Contains(err.Error(), "no space left") {
		t.Errorf("added on a full disk: %v", err)
	}
	if got := ids(lookUp(t, x, "grommet", Options{}).Hits); got != "20261111-080000-ffff" {
		t.Errorf("found %q", got)
	}
}

// fill writes until the disk is full.
func fill(t *testing.T, path string) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for piece := make([]byte, 64<<10); len(piece) > 0; {
		if _, err := f.Write(piece); err != nil {
			piece = piece[:len(piece)/2]
		}
	}
}

// TestJournalCannotBeWritten: the same without a disk of its own, with what Linux
// keeps for it: a file that is always full.
func TestJournalCannotBeWritten(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	folder := sealedIndex(t, dir, caseSource(t, someCases()...))
	x := opened(t, dir, caseSource(t, someCases()...))
	if err := os.Symlink("/dev/full", filepath.Join(dir, since+strings.TrimPrefix(filepath.Base(folder), prefix))); err != nil {
		t.Fatal(err)
	}
	err := x.Add(CaseRef{"20261111-080000-ffff", "1"}, &Document{ID: "20261111-080000-ffff", Kind: "case", Words: "grommet"})
	if err == nil || !strings.Contains(err.Error(), "no space left") || !strings.Contains(err.Error(), "until the next search") {
		t.Errorf("added: %v", err)
	}
	if got := ids(lookUp(t, x, "grommet", Options{}).Hits); got != "20261111-080000-ffff" {
		t.Errorf("found %q", got)
	}
}

// TestClockJumpsBack: folders and cases from the future, and cases that were
// written again with an earlier time, are found and kept like any other; what
// another process builds is not taken for old.
func TestClockJumpsBack(t *testing.T) {
	s, closed, _ := store(t)
	dir := t.TempDir()
	source := func() Source {
		src, err := FromStore(smallBook(t), s)
		if err != nil {
			t.Fatal(err)
		}
		return src
	}
	future, past := time.Now().AddDate(30, 0, 0), time.Now().AddDate(-30, 0, 0)
	opened(t, dir, source()).Close()
	list, _ := filepath.Glob(filepath.Join(dir, "*"))
	building := filepath.Join(dir, fresh+"1-1") // process 1 lives
	if err := os.Mkdir(building, 0o700); err != nil {
		t.Fatal(err)
	}
	for _, path := range append(list, building) {
		if err := os.Chtimes(path, future, future); err != nil {
			t.Fatal(err)
		}
	}
	for _, at := range []time.Time{future, past} {
		if err := os.Chtimes(s.Path(closed), at, at); err != nil {
			t.Fatal(err)
		}
		x := opened(t, dir, source())
		wantNotes(t, x)
		if got := ids(lookUp(t, x, "wobbly", Options{Kinds: []string{"case"}}).Hits); got != closed.ID {
			t.Errorf("found %q", got)
		}
		x.Close()
	}
	if _, err := os.Stat(building); err != nil {
		t.Errorf("what another process builds is gone: %v", err)
	}
}

// TestSwappedUnderAReader: a search goes on undisturbed while another program
// builds anew and removes what is open.
func TestSwappedUnderAReader(t *testing.T) {
	dir := t.TempDir()
	src := caseSource(t, someCases()...)
	x := opened(t, dir, src)
	list := append(someCases(), Document{ID: "20261110-080000-eeee", Title: "late", Words: "webcam upside down", State: "closed"})
	if _, err := Rebuild(context.Background(), dir, caseSource(t, list...)); err != nil {
		t.Fatal(err)
	}
	mustFind(t, x)
	mustFind(t, opened(t, dir, caseSource(t, list...)))
}
