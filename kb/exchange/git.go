package exchange

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"
)

// branch is the one that is shared.
const branch = "refs/heads/main"

// git runs the installed git on the repository in a data folder.
type git struct {
	program string
	dir     string // of the repository
	anyLock bool   // tests do not wait for locks of killed programs to age
}

// safe are settings that win over those of any file: nothing that a repository
// names is run, nothing is cleaned up behind our back, all is flushed to disk.
func safe() []string {
	return []string{
		"-c", "core.hooksPath=" + os.DevNull, "-c", "core.fsmonitor=false", "-c", "core.fsync=all",
		"-c", "gc.auto=0", "-c", "maintenance.auto=false", "-c", "receive.autogc=false",
		"-c", "transfer.fsckObjects=true", "-c", "protocol.ext.allow=never",
	}
}

// openGit finds git and the repository of the data folder, which is made where
// it is missing.
func openGit(ctx context.Context, home string, o Options) (*git, error) {
	program, err := exec.LookPath("git")
	if err != nil {
		return nil, ErrNoGit
	}
	g := &git{program: program, dir: filepath.Join(home, ".git"), anyLock: o.anyLock}
	info, err := os.Lstat(g.dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := g.create(ctx, g.dir); err != nil {
			return nil, err
		}
	case err != nil:
		return nil, fmt.Errorf("look for the repository of the data folder: %w", err)
	case !info.IsDir():
		return nil, fmt.Errorf("%s is not a folder: move it away, sync makes a repository of its own there", g.dir)
	}
	return g, g.checkSettings(ctx, g.dir)
}

// create makes a bare repository: beside its place first, so that a kill
// leaves no half of one there.
func (g *git) create(ctx context.Context, dir string) error {
	work, err := os.MkdirTemp(filepath.Dir(dir), ".new-repository-")
	if err != nil {
		return fmt.Errorf("make a repository in %s: %w", filepath.Dir(dir), err)
	}
	defer os.RemoveAll(work)
	made := filepath.Join(work, "r")
	if _, err := g.run(ctx, nil, "init", "-q", "--bare", "--template=", made); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(made, "HEAD"), []byte("ref: "+branch+"\n"), 0o644); err != nil {
		return fmt.Errorf("make a repository in %s: %w", filepath.Dir(dir), err)
	}
	if dir == g.dir { // the user may look at it with git, as at any other
		if _, err := g.run(ctx, nil, "config", "--file", filepath.Join(made, "config"), "core.bare", "false"); err != nil {
			return err
		}
		info := filepath.Join(made, "info")
		err := errors.Join(os.MkdirAll(info, 0o755), os.WriteFile(filepath.Join(info, "exclude"), []byte(".writing-*\n.forgetting-*\n"), 0o644))
		if err != nil {
			return fmt.Errorf("make a repository in %s: %w", filepath.Dir(dir), err)
		}
	}
	os.Remove(dir) // an empty folder
	if err := os.Rename(made, dir); err != nil && !isRepository(dir) {
		return fmt.Errorf("make the repository %s: %w", dir, err)
	}
	return nil
}

// isRepository reports whether a folder is a bare repository by the look of it.
func isRepository(dir string) bool {
	for _, name := range []string{"HEAD", "objects", "refs"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			return false
		}
	}
	return true
}

// harmless are the settings that a repository may have: none of them names a
// program or another file. What is not known to be harmless is refused.
var harmless = regexp.MustCompile(`^(core\.(repositoryformatversion|filemode|bare|ignorecase|precomposeunicode|symlinks|logallrefupdates|sharedrepository|compression|bigfilethreshold)` +
	`|user\.(name|email)|init\.defaultbranch|(gc|pack|repack)\.[a-z]+|receive\.(denydeletes|denynonfastforwards|denycurrentbranch|fsckobjects|autogc|unpacklimit|maxinputsize)` +
	`|remote\..*\.(url|fetch|mirror|tagopt)|branch\..*\.(remote|merge|rebase))$`)

// checkSettings refuses a repository whose settings could make git run a
// program or read other files.
func (g *git) checkSettings(ctx context.Context, dir string) error {
	out, err := g.run(ctx, nil, "config", "--file", filepath.Join(dir, "config"), "--no-includes", "--list", "-z", "--name-only")
	if err != nil {
		return fmt.Errorf("%w: the settings of %s cannot be read: %w", ErrRemote, dir, err)
	}
	for _, name := range strings.Split(strings.TrimRight(string(out), "\x00"), "\x00") {
		if name != "" && !harmless.MatchString(name) {
			return fmt.Errorf("%w: %s sets %s, and such a setting could run a program: take it out with `git config --file %s --unset-all %s`, or put it into your own settings with `git config --global`",
				ErrRemote, dir, name, filepath.Join(dir, "config"), name)
		}
	}
	return nil
}

// gitError is what git said when it failed.
type gitError struct {
	command string
	text    string
	err     error
}

func (e *gitError) Error() string {
	return fmt.Sprintf("git %s: %s", e.command, orUnknown(lastLines(e.text, 3), e.err.Error()))
}

func (e *gitError) Unwrap() error { return e.err }

func orUnknown(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

// lastLines are the last few lines that are not hints, on one line, fit for a
// terminal.
func lastLines(text string, n int) string {
	var kept []string
	for _, l := range strings.Split(text, "\n") {
		if l = strings.TrimSpace(l); l != "" && !strings.HasPrefix(l, "hint:") {
			kept = append(kept, shown(l))
		}
	}
	return strings.Join(kept[max(0, len(kept)-n):], "; ")
}

// run runs git in the repository with input and gives its output. Where a lock
// that a killed git left is in the way it is removed and git is run again.
func (g *git) run(ctx context.Context, input []byte, args ...string) ([]byte, error) {
	out, err := g.once(ctx, input, args)
	if err != nil && g.unlock(err) {
		out, err = g.once(ctx, input, args)
	}
	return out, err
}

func (g *git) once(ctx context.Context, input []byte, args []string) ([]byte, error) {
	dir := g.dir
	if args[0] == "config" { // looks at a repository before it is trusted
		dir = os.DevNull
	}
	cmd := exec.CommandContext(ctx, g.program, slices.Concat([]string{"--git-dir=" + dir}, safe(), args)...)
	cmd.Env = environment()
	cmd.Dir = filepath.Dir(g.dir)
	cmd.Stdin = bytes.NewReader(input)
	cmd.WaitDelay = 5 * time.Second
	var out, text bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &text
	if err := cmd.Run(); err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, &gitError{args[0], text.String(), err}
	}
	return out.Bytes(), nil
}

// passed are the variables of git that are passed on to it: how to reach a
// server, and where the user's own settings lie.
var passed = regexp.MustCompile(`^GIT_(SSH|SSH_COMMAND|SSH_VARIANT|SSL_.*|PROXY_.*|CONFIG_GLOBAL|CONFIG_SYSTEM|CONFIG_NOSYSTEM|TRACE.*)=`)

// environment is that of git: it asks nothing, speaks the language that
// explain reads, and uses no transport but the usual ones.
func environment() []string {
	var env []string
	ssh := false
	for _, v := range os.Environ() {
		if strings.HasPrefix(v, "GIT_") && !passed.MatchString(v) || strings.HasPrefix(v, "SSH_ASKPASS") {
			continue
		}
		ssh = ssh || strings.HasPrefix(v, "GIT_SSH")
		env = append(env, v)
	}
	env = append(env, "LC_ALL=C", "LANGUAGE=C", "GIT_TERMINAL_PROMPT=0", "GIT_ASKPASS=", "GIT_ALLOW_PROTOCOL=file:ssh:http:https:git")
	if !ssh {
		env = append(env, "GIT_SSH_COMMAND=ssh -o BatchMode=yes -o ConnectTimeout=20")
	}
	return env
}

// lockFile finds the lock in the words of git.
var lockFile = regexp.MustCompile(`Unable to create '([^']+\.lock)': File exists`)

// lockAge is how old a lock must be to be taken for that of a killed program;
// git holds the ones that are met here for milliseconds.
const lockAge = time.Minute

// unlock removes a stale lock. A time in the future is that of a clock that
// was set back.
func (g *git) unlock(err error) bool {
	var failed *gitError
	if !errors.As(err, &failed) {
		return false
	}
	m := lockFile.FindStringSubmatch(failed.text)
	if m == nil {
		return false
	}
	info, err := os.Lstat(m[1])
	if err != nil {
		return errors.Is(err, fs.ErrNotExist) // gone meanwhile
	}
	if age := time.Since(info.ModTime()); !g.anyLock && age < lockAge && age > -lockAge {
		return false
	}
	return info.Mode().IsRegular() && os.Remove(m[1]) == nil
}
