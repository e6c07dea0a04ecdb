package exchange

import (
	"bytes"
	"context"
	"crypto/sha1"
	"encoding/hex"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"
)

// blob is a file of a commit.
type blob struct {
	mode string
	id   string
	size int // -1 for what is no file
}

// plain reports whether it is a file and no link.
func (b blob) plain() bool { return strings.HasPrefix(b.mode, "100") && b.size >= 0 }

// blobID is the name by which git knows a file with these bytes.
func blobID(data []byte) string {
	h := sha1.New()
	fmt.Fprintf(h, "blob %d\x00", len(data))
	h.Write(data)
	return hex.EncodeToString(h.Sum(nil))
}

// ref is the commit to which a name points, "" for none.
func (g *git) ref(ctx context.Context, name string) (string, error) {
	out, err := g.run(ctx, nil, "for-each-ref", "--format=%(objectname)", name)
	return strings.TrimSpace(string(out)), err
}

// common is the last commit that both hold, "" for none.
func (g *git) common(ctx context.Context, a, b string) (string, error) {
	if a == "" || b == "" {
		return "", nil
	}
	out, err := g.run(ctx, nil, "rev-list", "--max-count=1", a, "--not", b)
	if err == nil && len(out) == 0 {
		return a, nil // b goes on from a
	}
	if err != nil {
		return "", err
	}
	out, err = g.run(ctx, nil, "merge-base", "--all", a, b)
	if failed, ok := err.(*gitError); ok && failed.text == "" {
		return "", nil // nothing in common
	}
	id, _, _ := strings.Cut(string(out), "\n")
	return id, err
}

// tree lists the files of a commit; none for "".
func (g *git) tree(ctx context.Context, commit string) (map[string]blob, error) {
	files := map[string]blob{}
	if commit == "" {
		return files, nil
	}
	out, err := g.run(ctx, nil, "ls-tree", "-r", "-z", "-l", "--full-tree", commit)
	if err != nil {
		return nil, err
	}
	for _, line := range strings.Split(string(out), "\x00") {
		head, p, ok := strings.Cut(line, "\t")
		f := strings.Fields(head)
		if !ok || len(f) != 4 {
			continue // behind the last one
		}
		b := blob{mode: f[0], id: f[2], size: -1}
		if n, err := strconv.Atoi(f[3]); err == nil {
			b.size = n
		}
		files[p] = b
	}
	return files, nil
}

// read gives the contents of files by their ids.
func (g *git) read(ctx context.Context, ids []string) (map[string][]byte, error) {
	got := make(map[string][]byte, len(ids))
	if len(ids) == 0 {
		return got, nil
	}
	out, err := g.run(ctx, []byte(strings.Join(ids, "\n")+"\n"), "cat-file", "--batch")
	if err != nil {
		return nil, err
	}
	for len(out) > 0 {
		head, rest, ok := bytes.Cut(out, []byte("\n"))
		f := strings.Fields(string(head))
		if !ok || len(f) != 3 || f[1] != "blob" {
			return nil, fmt.Errorf("git cat-file: %q: the repository is damaged", head)
		}
		n, err := strconv.Atoi(f[2])
		if err != nil || n < 0 || n+1 > len(rest) {
			return nil, fmt.Errorf("git cat-file: %q: the repository is damaged", head)
		}
		got[f[0]] = rest[:n:n]
		out = rest[n+1:]
	}
	return got, nil
}

// edit is a change of a tree: a file with these bytes, one that the repository
// has, or none.
type edit struct {
	path string
	data []byte
	kept blob
	gone bool
}

// commit makes a commit of the first parent's files with the edits and puts
// the branch there, in one step. The bytes go in as they are: no filter is
// asked. With anew the branch may leave its old commits behind.
func (g *git) commit(ctx context.Context, parents []string, edits []edit, at time.Time, anew bool) (string, error) {
	var in bytes.Buffer
	message := fmt.Sprintf("Exchange %d records", len(edits))
	fmt.Fprintf(&in, "feature done\ncommit %s\ncommitter faultbook <faultbook@localhost> %d +0000\ndata %d\n%s\n", branch, at.Unix(), len(message), message)
	for i, id := range parents {
		fmt.Fprintf(&in, "%s %s\n", [...]string{"from", "merge"}[min(i, 1)], id)
	}
	for _, e := range edits {
		switch {
		case e.gone:
			fmt.Fprintf(&in, "D %s\n", quoted(e.path))
			continue
		case e.kept.id != "":
			fmt.Fprintf(&in, "M %s %s %s\n", e.kept.mode, e.kept.id, quoted(e.path))
			continue
		}
		fmt.Fprintf(&in, "M 100644 inline %s\ndata %d\n", quoted(e.path), len(e.data))
		in.Write(e.data)
		in.WriteByte('\n')
	}
	in.WriteString("done\n")
	args := []string{"fast-import", "--quiet", "--done"}
	if anew {
		args = append(args, "--force")
	}
	if _, err := g.run(ctx, in.Bytes(), args...); err != nil {
		return "", err
	}
	return g.ref(ctx, branch)
}

// quoted is a path as fast-import reads it.
func quoted(p string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range []byte(p) {
		if c < ' ' || c == '"' || c == '\\' || c > '~' {
			fmt.Fprintf(&b, `\%03o`, c)
		} else {
			b.WriteByte(c)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// shared reports whether a path lies where records do.
func shared(p string) bool {
	dir, _, deep := strings.Cut(path.Clean(p), "/")
	return deep && slices.Contains(shelves(), dir)
}
