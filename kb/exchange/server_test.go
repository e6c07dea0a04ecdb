package exchange

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// serve lets git's own server hand out the repositories below a folder, on this
// machine alone, and gives its address. stop ends it.
func serve(t *testing.T, base string, more ...string) (address string, stop func()) {
	t.Helper()
	calm(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	port := l.Addr().(*net.TCPAddr).Port
	l.Close()
	folder, err := exec.Command("git", "--exec-path").Output()
	if err != nil {
		t.Fatal(err)
	}
	// Itself: under git it would be a child that outlives it.
	server := filepath.Join(strings.TrimSpace(string(folder)), "git-daemon")
	if _, err := os.Stat(server); err != nil {
		t.Fatal("needs git's own server: apt-get install git")
	}
	args := append([]string{"--listen=127.0.0.1", fmt.Sprintf("--port=%d", port), "--reuseaddr", "--export-all", "--base-path=" + base}, more...)
	cmd := exec.Command(server, append(args, base)...)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	stop = func() {
		if cmd.ProcessState == nil {
			cmd.Process.Kill()
			cmd.Wait()
		}
	}
	t.Cleanup(stop)
	at := fmt.Sprintf("127.0.0.1:%d", port)
	for range 400 {
		if c, err := net.Dial("tcp", at); err == nil {
			c.Close()
			return "git://" + at, stop
		}
		time.Sleep(50 * time.Millisecond)
	}
	stop()
	t.Fatal("git's server does not answer")
	return "", nil
}

// TestServer exchanges records through a real server, and looks at the words
// where it has no such repository, takes nothing, refuses, or is gone.
func TestServer(t *testing.T) {
	base := t.TempDir()
	address, stop := serve(t, base, "--enable=receive-pack")
	gitIn(t, base, "init", "-q", "--bare", "hub.git")
	us, them := t.TempDir(), t.TempDir()
	put(t, us, map[string]string{"rooms/hall.yaml": "name: Hall\n", casePath: call(caseID, "a")})
	put(t, them, map[string]string{"visits/hall/2026-04-02.yaml": "by: kl\n", casePath: call(caseID, "a", "b")})
	for _, home := range []string{us, them, us} {
		syncTo(t, home, address+"/hub.git")
	}
	if d := differences(files(t, us), files(t, them)); len(d) > 0 || len(files(t, us)) != 3 {
		t.Errorf("they differ in %v", d)
	}
	fails := func(remote string, is error, want string) {
		t.Helper()
		put(t, us, map[string]string{"rooms/new.yaml": "name: New\n"})
		if _, err := Sync(context.Background(), us, remote, Options{}); !errors.Is(err, is) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", remote, err, want)
		}
	}
	fails(address+"/none.git", ErrRemote, "there is no repository")
	hook := filepath.Join(base, "hub.git", "hooks", "pre-receive")
	if err := os.MkdirAll(filepath.Dir(hook), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(hook, []byte("#!/bin/sh\nexit 1\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	fails(address+"/hub.git", ErrRemote, "it refuses what is sent")
	if err := os.Remove(hook); err != nil {
		t.Fatal(err)
	}
	stop()
	fails(address+"/hub.git", ErrOffline, "you are offline or the server is")
	readable, _ := serve(t, base)
	fails(readable+"/hub.git", ErrRemote, "leave to write")
}

// TestFileAddress: a folder may be named as an address too.
func TestFileAddress(t *testing.T) {
	calm(t)
	hub := filepath.Join(t.TempDir(), "the hub.git")
	us, them := t.TempDir(), t.TempDir()
	put(t, us, map[string]string{"rooms/hall.yaml": "name: Hall\n"})
	syncTo(t, us, "file://"+filepath.ToSlash(strings.ReplaceAll(hub, " ", "%20")))
	syncTo(t, them, hub)
	if got := files(t, them); len(got) != 1 {
		t.Errorf("%v", got)
	}
}

// TestImportBrokenOff: an import that is broken off leaves whole records, says
// how far it is, and goes on when it is repeated.
func TestImportBrokenOff(t *testing.T) {
	them, us := t.TempDir(), t.TempDir()
	for i := range 40 {
		put(t, them, map[string]string{fmt.Sprintf("rooms/r%02d.yaml", i): "name: R\n"})
	}
	list, _, err := Records(them, Choice{})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	last := 0
	r, err := ImportShown(ctx, us, list, func(done, all int) {
		if done != last+1 || all != 40 {
			t.Errorf("%d of %d after %d", done, all, last)
		}
		if last = done; done == 10 {
			stop()
		}
	})
	if !errors.Is(err, context.Canceled) || r.Added < 10 || r.Added > 10+atOnce || r.Added != len(files(t, us)) {
		t.Errorf("%v after %+v, %d files", err, r, len(files(t, us)))
	}
	again, err := Import(us, list)
	if err != nil || again.Added != 40-r.Added || again.Unchanged != r.Added || len(differences(files(t, us), files(t, them))) > 0 {
		t.Errorf("%+v, %v", again, err)
	}
}
