package exchange

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"faultbook/kb/cases"
)

// What can be wrong with a sync beside the data folder itself.
var (
	ErrNoGit   = errors.New("git is not installed: install it, or share with `faultbook export` and `faultbook import`, which need nothing")
	ErrUnnamed = errors.New("it is not known with what to sync: name it once, as `faultbook sync REMOTE`; a folder on a stick or the address of a git server")
	ErrRemote  = errors.New("this cannot be synced with")
	ErrOffline = errors.New("not reachable, nothing was exchanged; your records are safe here")
	ErrGone    = errors.New("most likely an accident, so nothing was exchanged")
	ErrLocked  = errors.New("another program is at work in the repository, or was killed in it: try again in a minute")
)

// remote is where records are exchanged: a bare repository in a folder, or on
// a server.
type remote struct {
	at     string
	folder bool
}

// parseRemote looks at what a user named.
func parseRemote(text string) (remote, error) {
	switch {
	case text == "":
		return remote{}, ErrUnnamed
	case strings.HasPrefix(text, "-"):
		return remote{}, fmt.Errorf("%w: %q begins with a hyphen", ErrRemote, text)
	case strings.ContainsFunc(text, func(r rune) bool { return r < ' ' }):
		return remote{}, fmt.Errorf("%w: its name holds a control character", ErrRemote)
	}
	scheme, _, isURL := strings.Cut(text, "://")
	colon, slash := strings.Index(text, ":"), strings.IndexAny(text, `/\`)
	drive := runtime.GOOS == "windows" && colon == 1
	switch {
	case isURL:
		return parseURL(text, scheme)
	case strings.Contains(text, "::"):
		return remote{}, fmt.Errorf("%w: %s: helpers are not run", ErrRemote, text)
	case colon > 0 && (slash < 0 || colon < slash) && !drive:
		return remote{at: text}, nil // user@server:path
	}
	at, err := filepath.Abs(text)
	if err != nil {
		return remote{}, fmt.Errorf("%w: %w", ErrRemote, err)
	}
	return remote{at, true}, nil
}

func parseURL(text, scheme string) (remote, error) {
	if rest, ok := strings.CutPrefix(text, "file:///"); ok {
		if runtime.GOOS != "windows" { // there a drive follows
			rest = "/" + rest
		}
		if path, err := url.PathUnescape(rest); err == nil {
			return remote{filepath.FromSlash(path), true}, nil
		}
	}
	if scheme == "file" {
		return remote{}, fmt.Errorf("%w: %s: name the folder itself", ErrRemote, text)
	}
	if !strings.Contains(" ssh http https git ", " "+scheme+" ") {
		return remote{}, fmt.Errorf("%w: %s: known are ssh, https, http and git", ErrRemote, scheme)
	}
	u, err := url.Parse(text)
	if err != nil {
		return remote{}, fmt.Errorf("%w: its address cannot be read", ErrRemote) // the error may hold a password
	}
	if _, secret := u.User.Password(); secret {
		return remote{}, fmt.Errorf("%w: it holds a password, which would be kept in clear: leave it out and use a credential helper or a key", ErrRemote)
	}
	return remote{at: text}, nil
}

// rememberedIn is the file in the repository that names the remote.
const rememberedIn = "faultbook-remote"

func (g *git) remembered() (string, error) {
	data, err := cases.ReadPlain(filepath.Join(g.dir, rememberedIn))
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", fmt.Errorf("read where to sync: %w", err)
	}
	return strings.TrimSpace(string(data)), nil
}

func (g *git) remember(to remote) error {
	if old, err := g.remembered(); err == nil && old == to.at {
		return nil
	}
	if err := cases.WriteFile(filepath.Join(g.dir, rememberedIn), []byte(to.at+"\n"), false); err != nil {
		return fmt.Errorf("keep where to sync: %w", err)
	}
	return nil
}

// prepare makes sure that a folder is a bare repository that can be used; an
// empty or new folder is made one.
func (g *git) prepare(ctx context.Context, to remote) error {
	if !to.folder {
		return nil
	}
	info, err := os.Stat(to.at)
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Stat(filepath.Dir(to.at)); err != nil {
			return fmt.Errorf("%s: %w; is the stick plugged in?", to.at, ErrOffline)
		}
		return g.create(ctx, to.at)
	}
	if err != nil {
		return fmt.Errorf("%s: %w: %w", to.at, ErrOffline, err)
	}
	if !info.IsDir() {
		return fmt.Errorf("%w: %s is a file; an archive is brought in by `faultbook import`", ErrRemote, to.at)
	}
	if _, err := os.Lstat(filepath.Join(to.at, ".git")); err == nil {
		return fmt.Errorf("%w: %s: somebody works in it; name a folder that is for the exchange alone", ErrRemote, to.at)
	}
	if isRepository(to.at) {
		return g.checkSettings(ctx, to.at)
	}
	list, err := os.ReadDir(to.at)
	if err != nil {
		return fmt.Errorf("%s: %w: %w", to.at, ErrOffline, err)
	}
	if len(list) > 0 {
		return fmt.Errorf("%w: %s: it is not a git repository, and not empty; name a new folder in it, such as %s", ErrRemote, to.at, filepath.Join(to.at, "faultbook.git"))
	}
	return g.create(ctx, to.at)
}

// pack gives the options by which git works in a folder under our settings:
// those of the command line do not reach its other half.
func (to remote) pack(program string) []string {
	if !to.folder {
		return nil
	}
	return []string{"--" + program + "=git " + strings.Join(safe(), " ") + " " + program}
}

// fetch gives the commit that the remote holds, with all that belongs to it;
// "" where it holds none yet.
func (g *git) fetch(ctx context.Context, to remote) (string, error) {
	args := append([]string{"ls-remote"}, to.pack("upload-pack")...)
	out, err := g.run(ctx, nil, append(args, "--", to.at, branch)...)
	if err != nil {
		return "", explain(err, to)
	}
	id, _, _ := strings.Cut(string(out), "\t")
	if id == "" {
		return "", nil
	}
	args = append([]string{"fetch", "-q", "--no-tags", "--no-recurse-submodules", "--no-write-fetch-head"}, to.pack("upload-pack")...)
	if _, err := g.run(ctx, nil, append(args, "--", to.at, "+"+branch+":refs/faultbook/theirs")...); err != nil {
		return "", explain(err, to)
	}
	return g.ref(ctx, "refs/faultbook/theirs")
}

// errRaced says that somebody else was faster: there is something to merge.
var errRaced = errors.New("others sync at the same time; try again")

// push sends the commit, unless the remote went on meanwhile from what it held.
// With anew the remote need not hold any commit from which it goes on.
func (g *git) push(ctx context.Context, to remote, id string, anew bool, held string) error {
	args := append([]string{"push", "-q", "--no-verify", "--no-follow-tags", "--recurse-submodules=no"}, to.pack("receive-pack")...)
	if anew {
		args = append(args, "--force-with-lease="+branch+":"+held)
	}
	_, err := g.run(ctx, nil, append(args, "--", to.at, id+":"+branch)...)
	if err != nil {
		return explain(err, to)
	}
	return nil
}

// forget deletes what no branch holds any more, here and in a folder; a server
// does so by its own rules.
func (g *git) forget(ctx context.Context, to remote) error {
	g.run(ctx, nil, "update-ref", "-d", "refs/faultbook/theirs") // the next fetch makes it anew
	repositories := []*git{g}
	if to.folder {
		repositories = append(repositories, &git{program: g.program, dir: to.at, anyLock: g.anyLock})
	}
	for _, r := range repositories {
		for _, args := range [][]string{{"reflog", "expire", "--expire=now", "--all"}, {"gc", "-q", "--prune=now"}} {
			if _, err := r.run(ctx, nil, args...); err != nil {
				return fmt.Errorf("the records are exchanged, but old commits are still in %s: %w", r.dir, err)
			}
		}
	}
	return nil
}

// explain puts what git says into plain words.
func explain(err error, to remote) error {
	var failed *gitError
	if !errors.As(err, &failed) {
		return err
	}
	has := func(list ...string) bool {
		for _, s := range list {
			if strings.Contains(failed.text, s) {
				return true
			}
		}
		return false
	}
	switch {
	case has("non-fast-forward", "fetch first", "stale info", "failed to update ref", "reference already exists", "incorrect old value", "is at ") && failed.command == "push":
		return errRaced
	case lockFile.MatchString(failed.text):
		if failed.command == "push" {
			return fmt.Errorf("%w (%w)", errRaced, ErrLocked)
		}
		return ErrLocked
	case has("dubious ownership"):
		return fmt.Errorf("%w: %s belongs to somebody else; where you trust it: git config --global --add safe.directory '%s'", ErrRemote, to.at, to.at)
	case has("No space left", "quota"):
		return fmt.Errorf("%s: no space is left there or here; what was exchanged is whole, make room and sync again: %w", to.at, err)
	case has("Authentication failed", "Permission denied (", "could not read Username", "could not read Password", "Host key verification failed", "error: 403", "error: 401"):
		return fmt.Errorf("%w: %s: the server does not let you in: try `git ls-remote %s` by hand: %w", ErrRemote, to.at, to.at, err)
	case has("Could not resolve", "Connection refused", "Failed to connect", "onnection timed out", "unreachable", "No route to host", "Couldn't connect", "Connection reset", "Could not read from remote"):
		if to.folder {
			break
		}
		return fmt.Errorf("%s: %w: you are offline or the server is: %w", to.at, ErrOffline, err)
	case has("Permission denied", "insufficient permission", "Read-only file system", "unable to create temporary"):
		return fmt.Errorf("%s: it cannot be written; is the stick or folder read-only? %w", to.at, err)
	case has("service not enabled", "pre-receive hook declined", "hook declined", "protected branch", "prohibited", "remote rejected") && failed.command == "push":
		return fmt.Errorf("%w: %s: it refuses what is sent; your records are safe here, and those of others were fetched: ask who looks after it for leave to write: %w", ErrRemote, to.at, err)
	case has("access denied or repository not exported") && failed.command == "push":
		return fmt.Errorf("%w: %s: it can be read but not written: ask who looks after it for leave to write: %w", ErrRemote, to.at, err)
	case has("access denied or repository not exported", "not found", "does not appear to be a git repository"):
		return fmt.Errorf("%w: %s: there is no repository: make an empty one there first: %w", ErrRemote, to.at, err)
	}
	if to.folder {
		return fmt.Errorf("%s: %w; your own records are whole: if it is damaged, move it away and sync again, everybody's next sync fills the new one", to.at, err)
	}
	return fmt.Errorf("%s: %w", to.at, err)
}
