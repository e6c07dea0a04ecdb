package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/testdata/synthetic"
)

// The program is killed at random moments, as a power cut would: 75 times in a
// call, 70 times while it closes one, 65 times while it builds the search index.
// Every input that was acknowledged is on disk, no record is half, and the program
// starts. The moments are drawn by a fixed seed; what happens at them is up to the
// machine, so the tests hold whatever happens.
const (
	killedCalls    = 75
	killedClosings = 70
	killedBuilds   = 65
)

// killer is the program that the tests kill.
type killer struct{ path string }

// TestKill builds the program and kills it in all ways.
func TestKill(t *testing.T) {
	k := killer{builtProgram(t)}
	t.Run("call", k.testCall)
	t.Run("close", k.testClose)
	t.Run("build", k.testBuild)
}

// program gives a command line under the folders of the test.
func (k killer) program(args ...string) *exec.Cmd { return exec.Command(k.path, args...) }

// testCall kills calls while they take notes.
func (k killer) testCall(t *testing.T) {
	dice := rand.New(rand.NewPCG(1, 2))
	for i := range killedCalls {
		dir := casesHome(t)
		answered := k.call(t, dice)
		files, err := filepath.Glob(filepath.Join(dir, "*", "*.jsonl"))
		if err != nil || len(files) != 1 {
			t.Fatalf("case files: %v, %v", files, err)
		}
		file, err := cases.LoadFile(files[0])
		if err != nil {
			t.Fatal(err)
		}
		if n := len(file.Events); n < answered || n > answered+1 {
			t.Errorf("%d inputs were answered, the file holds %d events", answered, n)
		}
		if i%5 == 0 { // the others resume in this process, which takes less time
			resume := k.program("call", "--json", "--resume")
			if out, err := resume.Output(); err != nil || !json.Valid(out) {
				t.Errorf("resume: %v\n%s", err, out)
			}
			continue
		}
		if out := typed(t, exitDone, "", "call", "--json", "--resume"); !json.Valid([]byte(out)) {
			t.Errorf("resume: %s", out)
		}
	}
}

// call sends notes until some were answered, sends one more, and kills the
// program a moment later. It returns how many inputs were answered, the opening
// words included.
func (k killer) call(t *testing.T, dice *rand.Rand) int {
	n, moment := 1+dice.IntN(8), time.Duration(dice.IntN(3000))*time.Microsecond
	cmd := k.program("call", "--json", "the screen is black")
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	if _, err := lines.ReadBytes('\n'); err != nil {
		t.Fatal(err)
	}
	for range n {
		if _, err := io.WriteString(in, `{"note":"another line"}`+"\n"); err != nil {
			t.Fatal(err)
		}
		if _, err := lines.ReadBytes('\n'); err != nil {
			t.Fatal(err)
		}
	}
	io.WriteString(in, `{"note":"the last line"}`+"\n")
	time.Sleep(moment)
	cmd.Process.Kill()
	cmd.Wait() // always an error: it was killed
	return n + 1
}

// testClose kills the program while it closes a call: the call is open or
// closed, whole either way, and closed if that was acknowledged.
func (k killer) testClose(t *testing.T) {
	dir := casesHome(t)
	dice := rand.New(rand.NewPCG(3, 4))
	typed(t, exitDone, "", "cases", "list") // the caches are there
	usual := k.closingTime(t, dir)
	acknowledged, closed := 0, 0
	for i := range killedClosings {
		c := openRecord(t, dir, i)
		cmd := k.program("cases", "close", c.ID, "--cause", "VL-03", "--note", "cable replaced")
		said := killAfter(t, cmd, time.Duration(dice.Int64N(int64(usual))))
		back, err := cases.NewStore(dir, time.Now).Load(c.ID)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(back.Events) - len(c.Events); n != 0 && n != 1 {
			t.Errorf("%d events more", n)
		}
		if strings.Contains(said, "Closed") {
			acknowledged++
			if !back.Ended() {
				t.Errorf("%s said %q and is open", c.ID, said)
			}
		}
		if back.Ended() {
			closed++
		}
	}
	if out := typed(t, exitDone, "", "cases", "list", "--json", "--limit", "1000"); strings.Count(out, `"id"`) != killedClosings+1 {
		t.Errorf("the list does not hold all %d calls", killedClosings+1)
	}
	t.Logf("of %d: %d acknowledged, %d closed", killedClosings, acknowledged, closed)
}

// openRecord writes an open call.
func openRecord(t *testing.T, dir string, i int) *cases.Case {
	t.Helper()
	at := time.Date(2026, 2, 3, 9, 0, 0, 0, time.UTC)
	c := &cases.Case{Header: cases.Header{Version: cases.Version, ID: fmt.Sprintf("20260203-090000-k%03d", i), Opened: at},
		Events: []cases.Event{{At: at, Say: "the screen is black"}, {At: at, Symptom: "F-01"}}}
	writeCase(t, dir, c)
	return c
}

// closingTime is how long closing a call takes here, with some room.
func (k killer) closingTime(t *testing.T, dir string) time.Duration {
	t.Helper()
	c := openRecord(t, dir, 999)
	begin := time.Now()
	if out, err := k.program("cases", "close", c.ID, "--cause", "VL-03").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return time.Since(begin) * 5 / 4
}

// killAfter runs a program, kills it after a moment, and gives what it said on
// standard output until then.
func killAfter(t *testing.T, cmd *exec.Cmd, moment time.Duration) string {
	t.Helper()
	var out bytes.Buffer
	cmd.Stdout = &out
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	timer := time.AfterFunc(moment, func() { cmd.Process.Kill() })
	cmd.Wait() // an error where it was killed
	timer.Stop()
	return out.String()
}

// testBuild kills the program while it builds the search index, anew or for
// the first time: the next search finds what it should, and nothing unfinished
// is left.
func (k killer) testBuild(t *testing.T) {
	dir := casesHome(t)
	book, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	g := synthetic.New(book, 5, 60)
	for i := range 60 {
		writeCase(t, dir, g.Case(i))
	}
	search := []string{"find", "--json", "--kind", "case", "--", "screen", "restarted"}
	want := typed(t, exitDone, "", search...)
	if strings.Count(want, `"id"`) < 5 {
		t.Fatalf("too few hits: %s", want)
	}
	cache, err := cacheFolder()
	if err != nil {
		t.Fatal(err)
	}
	begin := time.Now()
	if out, err := k.program("find", "--rebuild").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	usual := time.Since(begin) * 5 / 4
	dice := rand.New(rand.NewPCG(5, 6))
	for i := range killedBuilds {
		args := []string{"find", "--rebuild"}
		if i%4 == 0 {
			if err := os.RemoveAll(cache); err != nil {
				t.Fatal(err)
			}
			args = search
		}
		killAfter(t, k.program(args...), time.Duration(dice.Int64N(int64(usual))))
		if got := typed(t, exitDone, "", search...); got != want {
			t.Fatalf("after kill %d other hits:\n%s", i, got)
		}
		if left, _ := filepath.Glob(filepath.Join(cache, "new-*")); len(left) > 0 {
			t.Errorf("after kill %d: %v is left", i, left)
		}
	}
}
