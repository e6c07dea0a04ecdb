package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
)

// TestServeAddress: other addresses than this machine's need a word of their
// own, and what is no address is named.
func TestServeAddress(t *testing.T) {
	t.Setenv("FAULTBOOK_HOME", t.TempDir())
	for _, c := range []struct{ listen, wants string }{
		{"0.0.0.0:0", "--network"},
		{":0", "--network"},
		{"[::]:0", "--network"},
		{"192.0.2.7:8737", "--network"},
		{"somewhere:80", "in figures"},
		{"8737", "address:port"},
		{"127.0.0.1:99999", "another address"},
	} {
		var out, errs bytes.Buffer
		if code := run([]string{"serve", "--listen", c.listen}, streams{In: strings.NewReader(""), Out: &out, Err: &errs}); code != exitUsage || !strings.Contains(errs.String(), c.wants) {
			t.Errorf("%s: status %d, %q", c.listen, code, errs.String())
		}
	}
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	var errs bytes.Buffer
	if code := run([]string{"serve", "--listen", taken.Addr().String()}, streams{In: strings.NewReader(""), Out: io.Discard, Err: &errs}); code != exitUsage {
		t.Errorf("a taken port: status %d, %q", code, errs.String())
	}
}

// TestServe starts the program as a person does: it prints its address, shows
// the page, asks others for the key that it printed once, and ends when it is
// interrupted.
func TestServe(t *testing.T) {
	bin := builtProgram(t)
	for _, c := range []struct {
		name  string
		args  []string
		shows int
	}{
		{"this machine", []string{"serve", "--listen", "127.0.0.1:0"}, http.StatusOK},
		{"network", []string{"serve", "--listen", "0.0.0.0:0", "--network"}, http.StatusUnauthorized},
	} {
		t.Run(c.name, func(t *testing.T) {
			ctx, cancel := context.WithTimeout(t.Context(), 60*time.Second)
			defer cancel()
			cmd := exec.CommandContext(ctx, bin, c.args...)
			cmd.Env = append(os.Environ(), "FAULTBOOK_HOME="+t.TempDir(), "XDG_CACHE_HOME="+t.TempDir())
			out, err := cmd.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			lines := bufio.NewScanner(out)
			lines.Scan()
			address := strings.Replace(lines.Text(), "//[::]", "//127.0.0.1", 1)
			if c.shows != http.StatusOK && (!lines.Scan() || !strings.HasPrefix(lines.Text(), "key: ")) {
				t.Errorf("no key is printed: %q", lines.Text())
			}
			r, err := http.Get(address)
			if err != nil {
				t.Fatal(err)
			}
			r.Body.Close()
			if r.StatusCode != c.shows {
				t.Errorf("status %d", r.StatusCode)
			}
			cmd.Process.Signal(os.Interrupt)
			if err := cmd.Wait(); cmd.ProcessState.ExitCode() != exitInterrupted {
				t.Errorf("ended with %v", err)
			}
		})
	}
}
