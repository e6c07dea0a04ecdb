package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"

	"faultbook/kb/cases"
)

// A fault is a call of the system that fails, by strace's fault injection.
// Counting is by thread, so which of several writes fails is up to the
// machine; the test holds whatever happens.
var faults = []string{
	"write:error=ENOSPC:when=1+", "write:error=ENOSPC:when=2", "write:error=EIO:when=3+",
	"fsync:error=EIO:when=1+", "fsync:error=ENOSPC:when=2", "fsync:error=EIO:when=3",
	"renameat:error=ENOSPC:when=1+", "renameat:error=EACCES:when=2",
	"linkat:error=EPERM:when=1+", "linkat:error=ENOSPC:when=1+",
	"unlinkat:error=EIO:when=1+",
	"mkdirat:error=EROFS:when=1+", "mkdirat:error=EACCES:when=2",
	"flock:error=ENOLCK:when=1+",
}

// faultySite is a data folder with an open and a closed call and an entry,
// and the program that made it.
type faultySite struct {
	bin, home    string
	open, closed string // ids of the calls
	archive      string // an archive of another desk
}

// writers are the commands that write, with their input. Input lines are
// answered one by one.
func (s faultySite) writers() map[string][]string {
	return map[string][]string{
		"call":        {"call", "--json", "no sound in the big room"},
		"call resume": {"call", "--json", "--resume", s.open},
		"note":        {"cases", "note", s.closed, "the spare cable is in the cupboard"},
		"close":       {"cases", "close", s.open, "--cause", "VL-03"},
		"reopen":      {"cases", "reopen", s.closed},
		"redact":      {"cases", "redact", s.closed, "--text", "0555 0100"},
		"add":         {"add", "--symptom", "F-14", "--title", "Hub unplugged", "--why", "Cleaners.", "--fix", "Plug it in."},
		"import":      {"import", s.archive},
		"export":      {"export", "given.tar"},
		"find":        {"find", "--", "black screen"},
	}
}

func newFaultySite(t *testing.T) faultySite {
	t.Helper()
	dir := t.TempDir()
	s := faultySite{bin: builtProgram(t), home: filepath.Join(dir, "home"), archive: filepath.Join(dir, "other.tar")}
	s.closed = s.must(t, s.home, "call", "--json", "black screen, ring 0555 0100")
	s.must(t, s.home, "cases", "close", s.closed, "--cause", "VL-03")
	s.open = s.must(t, s.home, "call", "--json", "no camera")
	s.must(t, s.home, "add", "--symptom", "F-14", "--title", "Hub lost its supply", "--why", "Cleaners pull it.", "--fix", "Plug it in.")
	other := filepath.Join(dir, "other")
	s.must(t, other, "call", "--json", "the microphone is dead")
	s.must(t, other, "export", s.archive)
	return s
}

// command is the program on a data folder; wrapped in strace where a fault is
// given.
func (s faultySite) command(home, fault string, args ...string) *exec.Cmd {
	cmd := exec.Command(s.bin, args...)
	if fault != "" {
		name, _, _ := strings.Cut(fault, ":")
		cmd = exec.Command("strace", append([]string{"-f", "-qq", "-o", "/dev/null", "-e", "trace=" + name, "-e", "inject=" + fault, s.bin}, args...)...)
	}
	cmd.Dir = filepath.Dir(home)
	cmd.Env = append(os.Environ(), "FAULTBOOK_HOME="+home, "XDG_CACHE_HOME="+home+"-cache")
	return cmd
}

// must runs without a fault and gives the id of the case, if one is said.
func (s faultySite) must(t *testing.T, home string, args ...string) string {
	t.Helper()
	cmd := s.command(home, "", args...)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("faultbook %s: %v\n%s", strings.Join(args, " "), err, errs.String())
	}
	return caseID.FindString(string(out))
}

var caseID = regexp.MustCompile(`\d{8}-\d{6}-[a-z]{4}`)

// TestFaultyDisk lets calls of the system fail under every command that
// writes. Whatever fails: the program says so and does not break down, what was
// there is there whole, in the old state or the new one, what was acknowledged
// is there, and without the fault everything works.
func TestFaultyDisk(t *testing.T) {
	s := newFaultySite(t)
	var refused atomic.Int32
	t.Cleanup(func() { // after the parallel parts
		t.Logf("%d runs ended with an error", refused.Load())
		if refused.Load() < int32(3*len(s.writers())) {
			t.Errorf("only %d runs felt their fault", refused.Load())
		}
	})
	for name, args := range s.writers() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for i, fault := range faults {
				home := filepath.Join(t.TempDir(), fmt.Sprint(i), "home")
				if err := os.CopyFS(home, os.DirFS(s.home)); err != nil {
					t.Fatal(err)
				}
				if s.suffer(t, home, fault, args) != exitDone {
					refused.Add(1)
				}
				s.hold(t, home, fault)
			}
		})
	}
}

// suffer runs a command under a fault and gives its exit status.
func (s faultySite) suffer(t *testing.T, home, fault string, args []string) int {
	t.Helper()
	cmd := s.command(home, fault, args...)
	var out, errs bytes.Buffer
	cmd.Stdin = strings.NewReader(`{"note":"first"}` + "\n" + `{"note":"second"}` + "\n")
	cmd.Stdout, cmd.Stderr = &out, &errs
	err := cmd.Run()
	if cmd.ProcessState == nil {
		t.Fatalf("strace, of Debian's strace, is needed: %v", err)
	}
	code := cmd.ProcessState.ExitCode()
	if code < 0 || code > 2 || strings.Contains(errs.String(), "fault of the program") {
		t.Errorf("%s: faultbook %s: status %d\n%s", fault, strings.Join(args, " "), code, errs.String())
	} else if code != 0 && errs.Len() == 0 && !strings.HasPrefix(fault, "write:") && !strings.Contains(out.String(), `"error"`) {
		t.Errorf("%s: faultbook %s: status %d without a word", fault, strings.Join(args, " "), code)
	}
	s.holdAcknowledged(t, home, fault, args, out.Bytes())
	return code
}

// holdAcknowledged compares the notes that a call answered with those in its
// file.
func (s faultySite) holdAcknowledged(t *testing.T, home, fault string, args []string, out []byte) {
	t.Helper()
	if args[0] != "call" {
		return
	}
	acknowledged := 0
	for _, line := range bytes.Split(out, []byte("\n")) {
		var o struct {
			Notes []string `json:"notes"`
		}
		if json.Unmarshal(line, &o) == nil {
			acknowledged = max(acknowledged, len(o.Notes))
		}
	}
	id := caseID.Find(out)
	if id == nil {
		return // nothing was opened
	}
	path, err := filepath.Glob(filepath.Join(home, "cases", "*", string(id)+".jsonl"))
	if err != nil || len(path) != 1 {
		t.Errorf("%s: the case %s was said and is not there: %v", fault, id, path)
		return
	}
	kept, err := os.ReadFile(path[0])
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(kept, []byte(`"note":`)); n < acknowledged {
		t.Errorf("%s: %d notes were acknowledged, %d are kept", fault, acknowledged, n)
	}
}

// hold looks at the data folder after a fault, and lets the program work on it.
func (s faultySite) hold(t *testing.T, home, fault string) {
	t.Helper()
	for _, id := range []string{s.open, s.closed} {
		path := filepath.Join(home, "cases", id[:4], id+".jsonl")
		if _, err := cases.LoadFile(path); err != nil {
			t.Errorf("%s: the case %s: %v", fault, id, err)
		}
	}
	err := filepath.WalkDir(home, func(path string, d fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, ".jsonl") {
			_, err = cases.LoadFile(path)
		}
		return err
	})
	if err != nil {
		t.Errorf("%s: %v", fault, err)
	}
	s.must(t, home, "check")
	s.must(t, home, "cases", "note", s.open, "works again")
}
