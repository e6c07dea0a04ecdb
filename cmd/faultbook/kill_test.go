package main

import (
	"bufio"
	"encoding/json"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"faultbook/kb/cases"
)

// TestKill kills the program at random moments of a call, as a power cut would:
// every input that was answered is in the case file, none is half, and the
// call goes on. The moments are drawn by a fixed seed; what happens at them
// is up to the machine, so the test holds whatever happens.
func TestKill(t *testing.T) {
	bin := filepath.Join(t.TempDir(), "faultbook")
	if out, err := exec.Command("go", "build", "-o", bin, ".").CombinedOutput(); err != nil {
		t.Fatalf("build: %v\n%s", err, out)
	}
	dice := rand.New(rand.NewPCG(1, 2))
	for range 12 {
		home := t.TempDir()
		answered := killedCall(t, bin, home, 3+dice.IntN(8), time.Duration(dice.IntN(3000))*time.Microsecond)
		files, err := filepath.Glob(filepath.Join(home, "cases", "*", "*.jsonl"))
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
		resume := exec.Command(bin, "call", "--json", "--resume")
		resume.Env = append(os.Environ(), "FAULTBOOK_HOME="+home)
		out, err := resume.Output()
		if err != nil || !json.Valid(out) {
			t.Errorf("resume: %v\n%s", err, out)
		}
	}
}

// killedCall sends notes until n were answered, sends one more, and kills the
// program a moment later. It returns how many inputs were answered, the
// opening words included.
func killedCall(t *testing.T, bin, home string, n int, moment time.Duration) int {
	cmd := exec.Command(bin, "call", "--json", "the screen is black")
	cmd.Env = append(os.Environ(), "FAULTBOOK_HOME="+home)
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
