//go:build unix

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"faultbook/kb/exchange"
)

// killed starts the program in a process group of its own and kills all of the
// group a moment later, git with it. It reports whether that came in time.
func killed(t *testing.T, home string, moment time.Duration, args ...string) bool {
	t.Helper()
	cmd := exec.Command("faultbook", args...)
	cmd.Env = append(os.Environ(), "FAULTBOOK_HOME="+home, "XDG_CACHE_HOME="+home+"/../cache")
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(moment)
	syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL)
	early := cmd.Wait() != nil
	// A git that was killed amid a system call may still end it, and so make a
	// lock: wait until the group is gone, but not for ever for dead processes
	// that nobody collects.
	for end := time.Now().Add(time.Second); syscall.Kill(-cmd.Process.Pid, 0) == nil && time.Now().Before(end); {
		time.Sleep(time.Millisecond)
	}
	return early
}

// faultbook runs the program; it must end well.
func faultbook(t *testing.T, home string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command("faultbook", args...)
	cmd.Env = append(os.Environ(), "FAULTBOOK_HOME="+home, "XDG_CACHE_HOME="+home+"/../cache")
	var text bytes.Buffer
	cmd.Stderr = &text
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("faultbook %v: %v\n%s", args, err, text.String())
	}
	return out
}

// batch makes n cases and a revision of an entry in a folder, without the
// program. What it writes stands in the ledger of records that are known to be
// there, by id, with their least revision.
func batch(t *testing.T, home string, serial, n int) map[string]int {
	t.Helper()
	at := time.Date(2026, 4, 1, 8, 0, 0, 0, time.UTC).Add(time.Duration(serial) * time.Hour)
	texts, ledger := map[string]string{}, map[string]int{"own-hub": serial}
	for i := range n {
		opened := at.Add(time.Duration(i) * time.Second)
		id := opened.Format("20060102-150405") + "-tst"
		stamp := opened.Format(time.RFC3339)
		texts["cases/2026/"+id+".jsonl"] = fmt.Sprintf("{\"faultbook_case\":1,\"id\":%q,\"opened\":%q}\n{\"at\":%q,\"say\":\"no picture, call %d\"}\n", id, stamp, stamp, i)
		ledger[id] = 1
	}
	texts["book/own/part/own-hub.yaml"] = fmt.Sprintf("kind: part\nid: own-hub\ntitle: Hub, text %d\nrevision: %d\n", serial, serial)
	for p, text := range texts {
		file := filepath.Join(home, filepath.FromSlash(p))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return ledger
}

// holds fails unless the folder has every record of the ledger, whole, and
// nothing that is half.
func holds(t *testing.T, home string, ledger map[string]int) {
	t.Helper()
	list, notes, err := exchange.Records(home, exchange.Choice{})
	if err != nil || len(notes) > 0 {
		t.Fatalf("half records: %v, %v", notes, err)
	}
	got := map[string]int{}
	for _, r := range list {
		got[r.ID] = r.Revision
	}
	for id, revision := range ledger {
		if got[id] < revision {
			t.Fatalf("%s: revision %d is known to be there, the folder has %d", id, revision, got[id])
		}
	}
}

const kills = 35 // of each command; those of other tests come on top

// TestKillImport kills imports at random moments: what was there before and
// what was acknowledged is there, each record is whole, and importing again
// completes it.
func TestKillImport(t *testing.T) {
	dice := rand.New(rand.NewPCG(3, 4))
	home, known, cut := filepath.Join(t.TempDir(), "home"), map[string]int{}, 0
	var archives []string
	for n := range kills {
		from := t.TempDir()
		ledger := batch(t, from, n+1, 25)
		file := filepath.Join(t.TempDir(), "a.tgz")
		faultbook(t, from, "export", file)
		archives = append(archives, file)
		if killed(t, home, time.Duration(dice.IntN(120))*time.Millisecond, "import", file) {
			cut++
		} else {
			merge(known, ledger)
		}
		holds(t, home, known)
		if n%10 == 0 { // goes on where it was broken off
			faultbook(t, home, "import", file)
			merge(known, ledger)
			holds(t, home, known)
		}
	}
	faultbook(t, home, append([]string{"import"}, archives...)...)
	if n := strings.Count(string(faultbook(t, home, "cases", "list", "--limit", "100000")), "no picture"); n != 25*kills {
		t.Errorf("%d cases, want %d", n, 25*kills)
	}
	t.Logf("%d of %d imports were killed before their end", cut, kills)
}

func merge(known, more map[string]int) {
	for id, revision := range more {
		known[id] = max(known[id], revision)
	}
}

// TestKillSync kills syncs, and the git that they run, at random moments.
func TestKillSync(t *testing.T) {
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	t.Setenv("HOME", t.TempDir())
	dice := rand.New(rand.NewPCG(5, 6))
	root := t.TempDir()
	hub, homes := filepath.Join(root, "hub.git"), []string{filepath.Join(root, "a"), filepath.Join(root, "b")}
	known, cut := []map[string]int{{}, {}}, 0
	for n := range kills {
		i := n % 2
		merge(known[i], batch(t, homes[i], n+1, 5))
		if killed(t, homes[i], time.Duration(dice.IntN(600))*time.Millisecond, "sync", hub) {
			cut++
		}
		holds(t, homes[i], known[i])
		ageLocks(t, root)
	}
	for range 2 {
		for _, home := range homes {
			ageLocks(t, root)
			faultbook(t, home, "sync", hub)
		}
	}
	merge(known[0], known[1])
	for _, home := range homes {
		holds(t, home, known[0])
		var out struct{ Sent int }
		if err := json.Unmarshal(faultbook(t, home, "sync", "--json"), &out); err != nil || out.Sent != 0 {
			t.Errorf("something was left to send: %d, %v", out.Sent, err)
		}
	}
	if out, err := exec.Command("git", "-C", hub, "fsck", "--strict").CombinedOutput(); err != nil {
		t.Errorf("the repository is damaged: %s", out)
	}
	t.Logf("%d of %d syncs were killed before their end", cut, kills)
}

// ageLocks lets the minute pass after which a lock is taken for that of a
// killed program.
func ageLocks(t *testing.T, root string) {
	old := time.Now().Add(-time.Hour)
	err := filepath.WalkDir(root, func(p string, _ fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(p, ".lock") {
			return os.Chtimes(p, old, old)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
