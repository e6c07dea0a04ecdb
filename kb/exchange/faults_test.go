package exchange

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// TestFullDisk lets the disk be full at each of the changes that an import
// makes: the error says so, every record is the old or the new one, and
// importing again completes it.
func TestFullDisk(t *testing.T) {
	from := t.TempDir()
	put(t, from, map[string]string{
		hubPath: part("hub", 2, "Box"), "rooms/hall.yaml": "name: Great hall\n",
		casePath: call(caseID, "a", "b"), "book/own/part/cable.yaml": part("cable", 1, "Cable"),
	})
	list, _, err := Records(from, Choice{})
	if err != nil {
		t.Fatal(err)
	}
	old := map[string]string{hubPath: part("hub", 1, "Hub"), "rooms/hall.yaml": "name: Hall\n", casePath: call(caseID, "a")}
	whole := t.TempDir()
	put(t, whole, old)
	if _, err := Import(whole, list); err != nil {
		t.Fatal(err)
	}
	want := files(t, whole)
	for at := 0; ; at++ {
		home := t.TempDir()
		put(t, home, old)
		f, err := openFolder(home)
		if err != nil {
			t.Fatal(err)
		}
		left := at
		f.step = func() error {
			if left--; left < 0 {
				return fmt.Errorf("write: %w", syscall.ENOSPC)
			}
			return nil
		}
		_, err = f.merge(list)
		f.close()
		if left >= 0 {
			if err != nil || at < 4 {
				t.Fatalf("%d changes, %v", at, err)
			}
			return
		}
		if !errors.Is(err, syscall.ENOSPC) {
			t.Fatalf("full at change %d: %v", at, err)
		}
		for p, text := range files(t, home) {
			if text != old[p] && text != want[p] {
				t.Errorf("full at change %d: %s is neither old nor new: %q", at, p, text)
			}
		}
		if _, err := Import(home, list); err != nil || len(differences(files(t, home), want)) > 0 {
			t.Errorf("full at change %d: going on: %v, %v", at, err, differences(files(t, home), want))
		}
	}
}

// TestInTheWayOfFolders has files and links where folders must be: the words
// name them, and nothing is written through a link.
func TestInTheWayOfFolders(t *testing.T) {
	list := []Record{mustParse(t, call(caseID, "a"))}
	home, outside := t.TempDir(), t.TempDir()
	put(t, home, map[string]string{"cases": "a file"})
	if _, err := Import(home, list); err == nil || !strings.Contains(err.Error(), "cases/2026") {
		t.Errorf("a file in the place of a folder: %v", err)
	}
	os.Remove(filepath.Join(home, "cases"))
	if err := os.Symlink(outside, filepath.Join(home, "cases")); err != nil {
		t.Fatal(err)
	}
	if _, err := Import(home, list); err == nil {
		t.Error("a link that leads out was followed")
	}
	if got := files(t, outside); len(got) > 0 {
		t.Errorf("written outside: %v", got)
	}
}
