package index

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	segment "github.com/blevesearch/scorch_segment_api/v2"
	"go.etcd.io/bbolt"
)

// opened opens an index and closes it at the end of the test.
func opened(t testing.TB, folder string, src Source) *Index {
	t.Helper()
	x, err := Open(folder, src)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { x.Close() })
	return x
}

// mustFind fails where the index does not work.
func mustFind(t testing.TB, x *Index) {
	t.Helper()
	if r := lookUp(t, x, "webcm 500 mA", Options{}); len(r.Hits) == 0 || r.Hits[0].ID != "20261103-080000-bbbb" {
		t.Fatalf("found %s", ids(r.Hits))
	}
}

func wantNotes(t testing.TB, x *Index, parts ...string) {
	t.Helper()
	notes := x.Notes()
	if len(notes) != len(parts) {
		t.Fatalf("notes %q, want %q", notes, parts)
	}
	for i, p := range parts {
		if !strings.Contains(notes[i], p) {
			t.Errorf("note %q, want %q in it", notes[i], p)
		}
	}
}

func TestKeepsTheIndex(t *testing.T) {
	dir, src := t.TempDir(), caseSource(t, someCases()...)
	x := opened(t, dir, src)
	wantNotes(t, x, "no search index yet")
	mustFind(t, x)
	before := listing(t, dir)
	for range 3 {
		again := opened(t, dir, src)
		wantNotes(t, again)
		mustFind(t, again)
		if again.memory {
			t.Error("done in memory though the index is there")
		}
	}
	if after := listing(t, dir); !reflect.DeepEqual(after, before) {
		t.Errorf("reading changed the folder: %v, was %v", after, before)
	}
}

// listing gives names, sizes and times of all files.
func listing(t testing.TB, dir string) []string {
	t.Helper()
	var list []string
	err := filepath.Walk(dir, func(path string, info os.FileInfo, err error) error {
		if err == nil && !info.IsDir() {
			list = append(list, strings.TrimPrefix(path, dir)+" "+info.ModTime().String())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestLockedByAnother(t *testing.T) {
	dir, src := t.TempDir(), caseSource(t, someCases()...)
	folder := sealedIndex(t, dir, src)
	db, err := bbolt.Open(filepath.Join(folder, bookFolder, "root.bolt"), 0o600, &bbolt.Options{Timeout: time.Second})
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	start := time.Now()
	x := opened(t, dir, src)
	if took := time.Since(start); took > 10*time.Second {
		t.Errorf("took %v", took)
	}
	if len(x.Notes()) == 0 || !x.memory {
		t.Fatalf("notes %q, memory %v", x.Notes(), x.memory)
	}
	mustFind(t, x)
}

func TestFolderCannotBeWritten(t *testing.T) {
	src := caseSource(t, someCases()...)
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	x := opened(t, filepath.Join(file, "cache"), src)
	wantNotes(t, x, "no search index yet", "cannot be kept")
	mustFind(t, x)
}

func TestReadOnlyFolder(t *testing.T) {
	if asNobody(t) {
		return
	}
	src := caseSource(t, someCases()...)
	empty := t.TempDir()
	if err := os.Chmod(empty, 0o500); err != nil {
		t.Fatal(err)
	}
	x := opened(t, empty, src)
	wantNotes(t, x, "no search index yet", "cannot be kept")
	mustFind(t, x)

	kept := t.TempDir()
	folder := sealedIndex(t, kept, src)
	filepath.Walk(folder, func(path string, info os.FileInfo, err error) error { return os.Chmod(path, info.Mode()&0o555) })
	os.Chmod(kept, 0o500)
	t.Cleanup(func() {
		os.Chmod(kept, 0o700)
		filepath.Walk(folder, func(path string, info os.FileInfo, err error) error { return os.Chmod(path, 0o700) })
	})
	x = opened(t, kept, src)
	wantNotes(t, x)
	mustFind(t, x)
}

// TestOlderThanTheBook: an index of another book is not believed.
func TestOlderThanTheBook(t *testing.T) {
	dir := t.TempDir()
	sealedIndex(t, dir, Source{Book: builtin()})
	src := caseSource(t, someCases()...)
	x := opened(t, dir, src)
	wantNotes(t, x, "older than the book")
	mustFind(t, x)
	if list, _ := filepath.Glob(filepath.Join(dir, "*")); len(list) != 1 {
		t.Errorf("left over: %v", list)
	}
}

// TestCasesComeAndGo: new, changed and removed cases are put into the index
// that is there, and it finds the same as one that was built anew.
func TestCasesComeAndGo(t *testing.T) {
	dir := t.TempDir()
	list := someCases()
	opened(t, dir, caseSource(t, list...)).Close()
	list[0].Words = "the lift makes the picture jump"
	list = append(list[:2:2], list[3], Document{ID: "20261110-080000-eeee", Title: "late", Words: "webcam upside down", Room: "R12", State: "closed"})
	src := caseSource(t, list...)
	grown := opened(t, dir, src)
	wantNotes(t, grown)
	if grown.memory {
		t.Fatal("done in memory")
	}
	anew := opened(t, "", src)
	for _, words := range []string{"webcam", "picture jumps", "2160p60", "169.254.10.7", "500 mA", "telly black", "upside down", "webcm", "address"} {
		for _, o := range []Options{{}, {Kinds: []string{"case"}}, {Room: "R12"}} {
			if a, b := lookUp(t, grown, words, o), lookUp(t, anew, words, o); !reflect.DeepEqual(a, b) {
				t.Errorf("%q %+v: grown %+v, anew %+v", words, o, a, b)
			}
		}
	}
	if list, _ := filepath.Glob(filepath.Join(dir, "*")); len(list) != 2 { // the index and what came since
		t.Errorf("left over: %v", list)
	}
}

// TestInterruptedBuild: what a process that died while building left behind is
// not believed, and swept away when it is old.
func TestInterruptedBuild(t *testing.T) {
	dir, src := t.TempDir(), caseSource(t, someCases()...)
	young, old := filepath.Join(dir, fresh+"1"), filepath.Join(dir, fresh+"2")
	for _, p := range []string{young, old} {
		if err := os.MkdirAll(filepath.Join(p, bookFolder), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	past := time.Now().Add(-2 * leftOver)
	if err := os.Chtimes(old, past, past); err != nil {
		t.Fatal(err)
	}
	x := opened(t, dir, src)
	wantNotes(t, x, "no search index yet")
	mustFind(t, x)
	if _, err := os.Stat(young); err != nil {
		t.Error("what another process may be building was removed")
	}
	if _, err := os.Stat(old); !errors.Is(err, os.ErrNotExist) {
		t.Error("an old left-over is still there")
	}
}

// TestSeveralAtOnce: several processes (here: goroutines, each with an index
// of its own) build and read the same index at once.
func TestSeveralAtOnce(t *testing.T) {
	dir, src := t.TempDir(), caseSource(t, someCases()...)
	var wg sync.WaitGroup
	for range 5 {
		wg.Go(func() {
			x, err := Open(dir, src)
			if err != nil {
				t.Error(err)
				return
			}
			defer x.Close()
			for range 5 {
				if r, err := x.Search("webcm 500 mA", Options{}); err != nil || len(r.Hits) == 0 || r.Hits[0].ID != "20261103-080000-bbbb" {
					t.Errorf("%v %v", r, err)
				}
			}
		})
	}
	wg.Wait()
	if list, _ := filepath.Glob(filepath.Join(dir, "*")); len(list) != 1 {
		t.Errorf("left over: %v", list)
	}
}

// TestSearchFaultFallsBack: an index that fails while it is read is done again
// in memory.
func TestSearchFaultFallsBack(t *testing.T) {
	x := opened(t, t.TempDir(), caseSource(t, someCases()...))
	x.book.(*diskPart).segment = brokenSegment{x.book.(*diskPart).segment}
	mustFind(t, x)
	wantNotes(t, x, "no search index yet", "failed")
}

// brokenSegment fails as a segment does whose file was cut under it.
type brokenSegment struct{ segment.Segment }

func (brokenSegment) Dictionary(string) (segment.TermDictionary, error) {
	panic("unexpected fault address")
}

func TestUnreadableCases(t *testing.T) {
	src := caseSource(t, someCases()...)
	src.Cases = append(src.Cases, CaseRef{"20261109-080000-zzzz", "1"})
	x := opened(t, t.TempDir(), src)
	wantNotes(t, x, "no search index yet", "1 of 5 cases cannot be read")
	mustFind(t, x)
}

func TestGuarded(t *testing.T) {
	if err := guarded(func() error { panic("broken") }); err == nil || !strings.Contains(err.Error(), "broken") {
		t.Errorf("got %v", err)
	}
	own := errors.New("own")
	if err := guarded(func() error { return own }); err != own {
		t.Errorf("got %v", err)
	}
}
