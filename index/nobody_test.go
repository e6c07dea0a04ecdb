//go:build unix

package index

import (
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
)

// nobody is a user without rights, by number.
const nobody = 65534

// asNobody runs the test again as a process of a user without rights where it
// runs as the superuser, who may write everywhere, and reports whether it did.
func asNobody(t *testing.T) bool {
	t.Helper()
	if os.Geteuid() != 0 {
		return false
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	program, err := os.ReadFile(self)
	if err != nil {
		t.Fatal(err)
	}
	dir, err := os.MkdirTemp("", "nobody-*")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	copied := filepath.Join(dir, "index.test")
	if err := os.WriteFile(copied, program, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(copied, "-test.run", "^"+t.Name()+"$", "-test.v")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "TMPDIR="+dir, "HOME="+dir)
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("as a user without rights: %v\n%s", err, out)
	}
	return true
}
