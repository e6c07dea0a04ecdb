package exchange

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// revise writes the next revision of a file, as the editor does: what it
// replaces is kept first.
func revise(t *testing.T, home, p, text string) {
	t.Helper()
	if old, err := os.ReadFile(filepath.Join(home, p)); err == nil {
		r, err := ParseRecord(p, old)
		if err != nil {
			t.Fatal(err)
		}
		if err := KeepReplaced(home, r); err != nil {
			t.Fatal(err)
		}
	}
	put(t, home, map[string]string{p: text})
}

func oldTexts(t *testing.T, home, kind, id string) []string {
	t.Helper()
	list, err := History(home, kind, id)
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, r := range list {
		texts = append(texts, string(r.Data))
	}
	return texts
}

// TestHistoryTravels: old revisions that two people kept come together in an
// archive and in a repository, also those that one of them never had in place.
func TestHistoryTravels(t *testing.T) {
	at := "book/own/part/hub.yaml"
	visit := "visits/hall/2026-04-02.yaml"
	for _, way := range []string{"archive", "git"} {
		t.Run(way, func(t *testing.T) {
			us, them := t.TempDir(), t.TempDir()
			hub := filepath.Join(t.TempDir(), "hub.git")
			exchange := func() {
				if way == "archive" {
					bring(t, us, archive(t, them))
					bring(t, them, archive(t, us))
					return
				}
				for _, home := range []string{us, them, us, them} {
					if _, err := Sync(context.Background(), home, hub, Options{}); err != nil {
						t.Fatal(err)
					}
				}
			}
			for n := range 3 {
				revise(t, us, at, part("hub", n+1, "Hub"))
			}
			revise(t, us, visit, "by: kl\n")
			revise(t, us, visit, "by: kl\nwritten: 2\n")
			exchange()
			revise(t, them, at, part("hub", 4, "Box"))
			exchange()
			for _, home := range []string{us, them} {
				if got, want := oldTexts(t, home, "part", "hub"), []string{part("hub", 3, "Hub"), part("hub", 2, "Hub"), part("hub", 1, "Hub")}; !slices.Equal(got, want) {
					t.Errorf("of the entry: %q", got)
				}
				if got := oldTexts(t, home, KindVisit, "hall/2026-04-02"); !slices.Equal(got, []string{"by: kl\n"}) {
					t.Errorf("of the visit: %q", got)
				}
				if list, err := Conflicts(home); err != nil || len(list) > 0 {
					t.Errorf("conflicts %v, %v", list, err)
				}
			}
		})
	}
}

// TestHistoryNames: a text under a name that is not its own is left out, of the
// folder as of an archive.
func TestHistoryNames(t *testing.T) {
	home := t.TempDir()
	revise(t, home, "rooms/hall.yaml", "name: A\nrevision: 1\n")
	revise(t, home, "rooms/hall.yaml", "name: B\nrevision: 2\n")
	list, err := filepath.Glob(filepath.Join(home, "history", "room", "*"))
	if err != nil || len(list) != 1 {
		t.Fatal(list, err)
	}
	if err := os.WriteFile(list[0], []byte("name: C\nrevision: 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	put(t, home, map[string]string{"history/case/20260105-090000-bcdf.1.0123456789abcdef.yaml": "x: 1\n"})
	_, notes, err := Records(home, Choice{})
	if err != nil || len(notes) != 2 || !strings.Contains(notes[1], "its name is not that of what it holds") {
		t.Errorf("%v %v", notes, err)
	}
}

// TestVersionFor: what older programs can read stays readable to them.
func TestVersionFor(t *testing.T) {
	home := t.TempDir()
	put(t, home, map[string]string{"rooms/hall.yaml": "name: A\n"})
	if data := archive(t, home); !strings.Contains(string(data), manifestWord+" 1\n") {
		t.Error("rooms alone need a newer program")
	}
	put(t, home, map[string]string{"visits/hall/2026-04-02.yaml": "by: kl\n"})
	if data := archive(t, home); !strings.Contains(string(data), manifestWord+" 2\n") {
		t.Error("visits need no newer program")
	}
}

// TestSweepUnfinished: what a killed program left half-written an hour ago goes
// at the next exchange; what is being written now stays.
func TestSweepUnfinished(t *testing.T) {
	home := t.TempDir()
	put(t, home, map[string]string{"visits/hall/.writing-old": "by", "visits/hall/.writing-new": "by", "visits/hall/.other": "by", "rooms/.writing-old": "n"})
	old := time.Now().Add(-2 * time.Hour)
	for _, name := range []string{"visits/hall/.writing-old", "visits/hall/.other", "rooms/.writing-old"} {
		if err := os.Chtimes(filepath.Join(home, name), old, old); err != nil {
			t.Fatal(err)
		}
	}
	if _, _, err := Records(home, Choice{}); err != nil {
		t.Fatal(err)
	}
	var left []string
	for _, pattern := range []string{"rooms/.*", "visits/hall/.*"} {
		list, _ := filepath.Glob(filepath.Join(home, pattern))
		for _, p := range list {
			left = append(left, filepath.Base(p))
		}
	}
	if !slices.Equal(left, []string{".other", ".writing-new"}) {
		t.Errorf("left: %v", left)
	}
}
