//go:build unix

package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"faultbook/kb/cases"
)

// An oddity is something in a data folder that does not belong there, with what
// the commands say of it. A command that says nothing must work as if it were
// not there.
type oddity struct {
	name string
	at   string // below the data folder; CASE stands for a case file
	do   func(path string) error
	want map[string]string // what stands on the error stream, by command line
	ends map[string]int    // exit status where it is not 0
}

func pipe(path string) error { return syscall.Mkfifo(path, 0o644) }

func endless(path string) error { return os.Symlink("/dev/zero", path) }

func plainFile(path string) error { return os.WriteFile(path, []byte("x"), 0o644) }

func folder(path string) error { return os.Mkdir(path, 0o755) }

// rest are command lines that work whatever lies about in a data folder.
var rest = []string{"cases list", "cases stats", "learn", "find -- black", "room list", "list --kind symptom", "conflicts", "export OUT", "call --json no sound"}

var oddities = []oddity{
	{"a pipe for a case", "CASE", pipe, map[string]string{"cases list": "CASE: not a plain file: move it out", "cases show ID": "CASE: not a plain file", "export OUT": "not a plain file"}, map[string]int{"cases show ID": 2}},
	{"a device for a case", "CASE", endless, map[string]string{"cases list": "CASE: not a plain file"}, nil},
	{"a folder for a case", "CASE", folder, map[string]string{"cases list": "CASE: not a plain file", "cases note ID x": "not a plain file"}, map[string]int{"cases note ID x": 2}},
	{"a pipe left by a power cut", "cases/2026/.writing-bcdfghjk", pipe, nil, nil},
	{"a file for a year", "cases/2025", plainFile, map[string]string{"cases list": "list the cases of 2025", "find -- black": "goes without some cases"}, nil},
	{"a file for the cases", "cases", plainFile, map[string]string{"cases list": "must be a folder", "export OUT": "cases: left out: not a folder", "call --json no sound": "not a directory; set FAULTBOOK_HOME"},
		map[string]int{"call --json no sound": 2}},
	{"a pipe for an entry", "book/own/part/x.yaml", pipe, map[string]string{"list --kind symptom": "x.yaml:1:1: error: not a plain file: move it out", "check": ""}, map[string]int{"check": 1}},
	{"a device for an entry", "book/own/part/x.yaml", endless, map[string]string{"list --kind symptom": "x.yaml:1:1: error: not a plain file"}, nil},
	{"a file for the book", "book", plainFile, map[string]string{"list --kind symptom": "book is no folder: move it away"}, nil},
	{"a pipe for a room sheet", "rooms/hall.yaml", pipe, map[string]string{"room list": "hall.yaml:1:1: error: not a plain file", "room check hall": "not a plain file"}, map[string]int{"room check hall": 2}},
	{"a device for a room sheet", "rooms/hall.yaml", endless, map[string]string{"room list": "hall.yaml:1:1: error: not a plain file"}, nil},
	{"a file for the rooms", "rooms", plainFile, map[string]string{"room list": "is no folder of room sheets"}, map[string]int{"room list": 2}},
	{"a pipe set aside", "conflicts/part/x.0123456789abcdef.yaml", pipe, map[string]string{"export OUT": "x.0123456789abcdef.yaml: left out"}, nil},
	{"a file for the data folder", "", plainFile, map[string]string{"cases list": "is a file: move it away, or set FAULTBOOK_HOME"},
		map[string]int{"cases list": 2, "cases stats": 2, "learn": 2, "find -- black": 2, "room list": 2, "list --kind symptom": 2, "conflicts": 2, "export OUT": 2, "call --json no sound": 2}},
}

// TestOddFiles puts what does not belong there into a data folder, one at a
// time: no command waits for ever or breaks down, what it lies in the way of is
// named, and all else works.
func TestOddFiles(t *testing.T) {
	for _, o := range oddities {
		t.Run(o.name, func(t *testing.T) {
			store := cases.NewStore(casesHome(t), time.Now)
			home := filepath.Dir(store.Dir())
			c, err := store.Create(cases.Event{Say: "the screen is black"}, cases.Event{Close: &cases.Close{}})
			if err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(home, strings.ReplaceAll(o.at, "CASE", "cases/"+c.ID[:4]+"/"+c.ID+".jsonl"))
			if err := os.RemoveAll(path); err != nil {
				t.Fatal(err)
			}
			if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := o.do(path); err != nil {
				t.Fatal(err)
			}
			lines := append([]string{}, rest...)
			for line := range o.want {
				lines = append(lines, line)
			}
			for _, line := range lines {
				o.hold(t, line, strings.NewReplacer("ID", c.ID, "OUT", filepath.Join(t.TempDir(), "x.tgz")), path)
			}
		})
	}
}

// hold runs a command line; one that waits for a pipe fails by the time limit.
func (o *oddity) hold(t *testing.T, line string, fill *strings.Replacer, path string) {
	t.Helper()
	args := strings.Split(fill.Replace(line), " ")
	var out, errs bytes.Buffer
	done := make(chan int, 1)
	var beside sync.WaitGroup
	defer beside.Wait() // the folder goes away after the test
	go func() {
		done <- run(args, streams{In: strings.NewReader(""), Out: &out, Err: &errs, Beside: &beside})
	}()
	select {
	case got := <-done:
		if got != o.ends[line] {
			t.Errorf("%s: status %d, want %d: %s", line, got, o.ends[line], &errs)
		}
	case <-time.After(2 * time.Minute):
		t.Fatalf("%s: waits for ever", line)
	}
	if want := strings.ReplaceAll(o.want[line], "CASE", path); !strings.Contains(errs.String(), want) {
		t.Errorf("%s: says %q, want %q", line, &errs, want)
	}
}
