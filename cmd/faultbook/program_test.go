package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// builtProgram builds the program for this machine, or with settings such as
// GOARCH=386 for another, and gives its path. Its flags are those of .ci/run, so
// that what is compiled there serves here.
func builtProgram(t testing.TB, settings ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "faultbook")
	cmd := exec.Command("go", "build", "-trimpath", "-o", path, ".")
	cmd.Env = append(append(os.Environ(), "CGO_ENABLED=0"), settings...)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("build %v: %v\n%s", settings, err, out)
	}
	return path
}
