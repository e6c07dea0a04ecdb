package exchange

import (
	"archive/tar"
	"bufio"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// ErrArchive is wrapped by every error that is the archive's fault: the caller
// cannot do better than get another copy.
var ErrArchive = errors.New("archive not used, nothing was changed")

// Read unpacks an archive into memory and verifies all of it. name is the
// archive's name for errors. They say which record is bad, at most ten; with
// any error nothing of the archive should be used.
func Read(r io.Reader, name string) ([]Record, error) {
	list, err := read(r)
	if err != nil {
		return nil, fmt.Errorf("%s: %w: %w", name, ErrArchive, err)
	}
	return list, nil
}

func read(r io.Reader) ([]Record, error) {
	in := bufio.NewReader(r)
	plain := io.Reader(in)
	if magic, _ := in.Peek(2); bytes.Equal(magic, []byte{0x1f, 0x8b}) {
		z, err := gzip.NewReader(in)
		if err != nil {
			return nil, fmt.Errorf("not a gzip file: %w", err)
		}
		plain = z
	}
	// Headers and padding come on top of the records themselves.
	u := &unpacker{in: &counted{r: plain, left: maxTotal + maxManifest + 3*512*maxRecords}}
	u.tar = tar.NewReader(u.in)
	return u.unpack()
}

// counted counts what is read and ends at a limit.
type counted struct {
	r       io.Reader
	n, left int64
}

var errTooLarge = fmt.Errorf("unpacks to more than %d MB", maxTotal>>20)

func (c *counted) Read(p []byte) (int, error) {
	if c.left <= 0 {
		return 0, errTooLarge
	}
	n, err := c.r.Read(p[:min(int64(len(p)), c.left)])
	c.n += int64(n)
	c.left -= int64(n)
	return n, err
}

// unpacker reads one archive.
type unpacker struct {
	in  *counted
	tar *tar.Reader
	bad []error
}

func (u *unpacker) unpack() ([]Record, error) {
	wanted, err := u.manifest()
	if err != nil {
		return nil, err
	}
	list := make([]Record, 0, len(wanted))
	for i := range wanted {
		r, err := u.member(&wanted[i])
		if err != nil {
			return nil, errors.Join(append(u.bad, err)...)
		}
		list = append(list, r)
	}
	if err := u.end(); err != nil {
		u.bad = append(u.bad, err)
	}
	if len(u.bad) > 0 {
		return nil, errors.Join(u.bad...)
	}
	return list, nil
}

// listed is a line of the manifest.
type listed struct {
	line string
	path string
	size int64
	sum  string
}

func (u *unpacker) manifest() ([]listed, error) {
	h, err := u.next()
	short := errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) && u.in.n < 512 // not even a header
	if short || err == nil && h.Name != manifestName || errors.Is(err, tar.ErrHeader) {
		return nil, fmt.Errorf("not an archive of faultbook, or cut off: it must begin with a file %s", manifestName)
	}
	if err != nil {
		return nil, err
	}
	if err := plainFile(h, maxManifest); err != nil {
		return nil, fmt.Errorf("%s: %w", manifestName, err)
	}
	data, err := io.ReadAll(u.tar)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", manifestName, cut(err))
	}
	return parseManifest(data)
}

func parseManifest(data []byte) ([]listed, error) {
	first, rest, _ := strings.Cut(string(data), "\n")
	number, ok := strings.CutPrefix(first, manifestWord+" ")
	version, err := strconv.Atoi(number)
	switch {
	case !ok || err != nil || version < 1:
		return nil, fmt.Errorf("%s:1: must be %q and a version", manifestName, manifestWord)
	case version > Version:
		return nil, fmt.Errorf("%s:1: written by a newer version (archive format %d, this program reads up to %d): update faultbook to import it", manifestName, version, Version)
	case rest != "" && !strings.HasSuffix(rest, "\n"):
		return nil, fmt.Errorf("%s: the last line is cut off", manifestName)
	case strings.Count(rest, "\n") > maxRecords:
		return nil, fmt.Errorf("%s: more than %d records", manifestName, maxRecords)
	}
	var list []listed
	folded, versions, total := map[string]string{}, map[string]int{}, int64(0)
	for n, line := range strings.SplitAfter(rest, "\n") {
		if line == "" {
			break // behind the last line
		}
		l, key, err := parseListed(line)
		if err == nil {
			err = fits(l, key, list, folded, versions)
		}
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", manifestName, n+2, err)
		}
		if total += l.size; total > maxTotal {
			return nil, fmt.Errorf("%s: %w", manifestName, errTooLarge)
		}
		list = append(list, l)
	}
	return list, nil
}

func parseListed(line string) (l listed, key string, err error) {
	f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
	if len(f) != 6 {
		return l, "", fmt.Errorf("must have six fields divided by tabs: kind, id, revision, size, SHA-256, path")
	}
	size, err := strconv.ParseInt(f[3], 10, 64)
	if err != nil || size < 0 || size > int64(maxSize(f[0])) {
		return l, "", fmt.Errorf("%s: size %q: must be at most %d bytes", shown(f[5]), f[3], maxSize(f[0]))
	}
	if err := checkPath(f[5]); err != nil {
		return l, "", fmt.Errorf("%s: %w", shown(f[5]), err)
	}
	return listed{line: line, path: f[5], size: size, sum: f[4]}, f[0] + "/" + fold(f[1]), nil
}

// fits looks at a line beside those before it.
func fits(l listed, key string, before []listed, folded map[string]string, versions map[string]int) error {
	if other, ok := folded[fold(l.path)]; ok {
		return fmt.Errorf("%s and %s are one name on some file systems", l.path, other)
	}
	if n := len(before); n > 0 && before[n-1].path >= l.path {
		return fmt.Errorf("%s: the lines are not sorted by path", l.path)
	}
	if versions[key]++; versions[key] > maxVersions {
		return fmt.Errorf("%s: more than %d versions of one record", l.path, maxVersions)
	}
	folded[fold(l.path)] = l.path
	return nil
}

// member reads the next file of the archive, which must be the one listed. What
// is wrong with its contents is collected in bad; the error is for what makes
// it useless to read on.
func (u *unpacker) member(l *listed) (Record, error) {
	h, err := u.next()
	if errors.Is(err, io.EOF) {
		return Record{}, fmt.Errorf("%s: missing: the archive is cut off or was changed", l.path)
	}
	if err != nil {
		return Record{}, fmt.Errorf("%s: %w", l.path, err)
	}
	if h.Name != l.path {
		return Record{}, fmt.Errorf("%s: the archive holds %s in its place", l.path, shown(h.Name))
	}
	if err := plainFile(h, l.size); err != nil {
		return Record{}, fmt.Errorf("%s: %w", l.path, err)
	}
	data, err := io.ReadAll(u.tar)
	if err != nil {
		return Record{}, fmt.Errorf("%s: %w", l.path, cut(err))
	}
	r, err := verify(l, data)
	if err != nil {
		u.bad = append(u.bad, fmt.Errorf("%s: %w", l.path, err))
		if len(u.bad) == 10 {
			return Record{}, errors.New("and perhaps more")
		}
	}
	return r, nil
}

func verify(l *listed, data []byte) (Record, error) {
	if int64(len(data)) != l.size || digest(data) != l.sum {
		return Record{}, errors.New("damaged: size or checksum is not that of the manifest")
	}
	r, err := parse(l.path, data)
	switch {
	case errors.Is(err, errNone):
		return Record{}, fmt.Errorf("no place for a record: they lie below %s", strings.Join(shelves(), ", "))
	case err != nil:
		return Record{}, err
	case r.Path != l.path:
		return Record{}, fmt.Errorf("belongs into %s", r.Path)
	case r.manifestLine() != l.line:
		return Record{}, errors.New("kind, id or revision is not that of the manifest")
	}
	return r, nil
}

func (u *unpacker) next() (*tar.Header, error) {
	h, err := u.tar.Next()
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, cut(err)
	}
	return h, err
}

// plainFile refuses everything but a file of at most that size.
func plainFile(h *tar.Header, size int64) error {
	if h.Typeflag != tar.TypeReg {
		return fmt.Errorf("not a plain file but a link, device or folder (type %q)", h.Typeflag)
	}
	if h.Size < 0 || h.Size > size {
		return fmt.Errorf("%d bytes, but at most %d are expected", h.Size, size)
	}
	return nil
}

// cut says in plain words that an archive ends too early.
func cut(err error) error {
	if errors.Is(err, io.ErrUnexpectedEOF) {
		return fmt.Errorf("the archive is cut off: %w", err)
	}
	return err
}

// end makes sure that nothing follows the last record but the two empty blocks
// that end a tar file, and reads all, so that a checksum at the end of a
// compressed archive is looked at.
func (u *unpacker) end() error {
	last := (u.in.n + 511) / 512 * 512
	h, err := u.next()
	if err == nil {
		return fmt.Errorf("%s: not in the manifest", shown(h.Name))
	}
	if !errors.Is(err, io.EOF) {
		return err
	}
	if u.in.n-last < 1024 {
		return errors.New("the archive is cut off at its end")
	}
	buf := make([]byte, 32<<10)
	for {
		n, err := u.in.Read(buf)
		if bytes.ContainsFunc(buf[:n], func(r rune) bool { return r != 0 }) {
			return errors.New("something follows the end of the archive")
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("the end of the archive: %w", cut(err))
		}
	}
}

// shown makes a name from an archive fit for a terminal.
func shown(name string) string {
	if len(name) > maxPath {
		name = name[:maxPath] + "…"
	}
	return strings.Trim(strconv.QuoteToGraphic(name), `"`)
}
