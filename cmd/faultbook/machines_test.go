package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// machine is a way to run the program elsewhere than in the test's own
// process.
type machine struct {
	name    string
	command []string // before the arguments
	env     []string
}

// machines builds the program for another processor, which fuses multiplication
// and addition; it runs in emulation, with qemu-aarch64 of Debian's qemu-user.
func machines(t *testing.T) []machine {
	if runtime.GOOS != "linux" || runtime.GOARCH != "amd64" {
		t.Fatalf("this test compares builds on linux/amd64, not on %s/%s", runtime.GOOS, runtime.GOARCH)
	}
	own := builtProgram(t)
	return []machine{
		{"one core", []string{own}, []string{"GOMAXPROCS=1"}},
		{"two cores", []string{own}, []string{"GOMAXPROCS=2"}},
		{"no cache folder", []string{own}, []string{"HOME=/dev/null", "XDG_CACHE_HOME=/dev/null"}},
		{"arm64", []string{"qemu-aarch64", builtProgram(t, "GOARCH=arm64")}, nil},
	}
}

// run gives what the program prints on the machine.
func (m machine) run(t *testing.T, home string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command(m.command[0], append(m.command[1:], args...)...)
	cmd.Env = append(append(os.Environ(), "FAULTBOOK_HOME="+home, "XDG_CACHE_HOME="+filepath.Join(home, "cache")), m.env...)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Errorf("%s: faultbook %s: %v\n%s", m.name, strings.Join(args, " "), err, errs.String())
	}
	return out
}

// TestOtherMachines plays calls on a build for another processor, with one core
// and two, with an index and where none can be: the transcripts are those of
// testdata/calls/golden, to the last letter, and rehearsed calls go the same
// way.
func TestOtherMachines(t *testing.T) {
	scripts, err := filepath.Glob("../../testdata/calls/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	all := machines(t)
	rehearse := []string{"rehearse", "--symptom", "F-14", "--calls", "2", "--seed", "7", "--json"}
	want := all[1].run(t, t.TempDir(), rehearse...)
	for _, m := range all {
		t.Run(m.name, func(t *testing.T) {
			t.Parallel()
			home := t.TempDir()
			m.run(t, home, "find", "--", "no picture") // makes the index where it can
			for i, path := range scripts {
				if m.name == "arm64" && i%4 != 0 {
					continue // a quarter is enough of what is emulated
				}
				golden, err := os.ReadFile(filepath.Join("../../testdata/calls/golden", strings.TrimSuffix(filepath.Base(path), ".yaml")+".txt"))
				if err != nil {
					t.Fatal(err)
				}
				if got := m.run(t, home, "call", "--script", path); !bytes.Equal(got, golden) {
					t.Errorf("%s: another transcript:\n%s", filepath.Base(path), got)
				}
			}
			if got := m.run(t, home, rehearse...); !bytes.Equal(got, want) {
				t.Errorf("rehearsed calls go otherwise:\n%s\nwant\n%s", got, want)
			}
		})
	}
}
