package exchange

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"faultbook/kb/cases"
)

// Replaced is a revision of an entry, room sheet or visit that another one
// replaced.
type Replaced struct {
	Revision int
	Path     string // below the data folder
	Data     []byte
}

// KeepReplaced keeps a text of an entry, room sheet or visit before it is
// replaced, as history/KIND/ID.REVISION.HASH.yaml, so that it can be read later.
// Nothing is kept of cases, whose files hold all that happened, and of what is
// history already.
func KeepReplaced(home string, r Record) error {
	if r.Kind == KindCase || r.Kind == KindHistory {
		return nil
	}
	at := filepath.Join(home, filepath.FromSlash(historyPath(r)))
	if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
		return fmt.Errorf("make the folder for old revisions: %w", err)
	}
	if err := cases.WriteFile(at, r.Data, true); err != nil && !errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("keep the old revision: %w", err)
	}
	return nil
}

func historyPath(r Record) string {
	return path.Join(dirHistory, r.Kind, fmt.Sprintf("%s.%d.%s.yaml", r.ID, r.Revision, digest(r.Data)[:hashDigits]))
}

// parseReplaced reads what was replaced. Its name says what it is down to its
// digest, so that two of one name are one text: all that anybody kept comes
// together and nothing of it can be a conflict.
func parseReplaced(p string, data []byte) (Record, error) {
	_, name, _ := strings.Cut(p, "/")
	kind, rest, deep := strings.Cut(name, "/")
	parts := strings.Split(rest, ".")
	if !yamlName(p) || !deep || len(parts) < 4 {
		return Record{}, errNone
	}
	id := strings.Join(parts[:len(parts)-3], ".")
	if kind == KindCase || kind == KindHistory {
		return Record{}, fmt.Errorf("no old revision is kept of a %s", kind)
	}
	if err := checkPath(p); err != nil {
		return Record{}, err
	}
	inner, err := parse(place(kind, id), data)
	if err != nil {
		return Record{}, err
	}
	if historyPath(inner) != p {
		return Record{}, errors.New("its name is not that of what it holds")
	}
	return Record{Kind: KindHistory, ID: strings.TrimSuffix(name, ".yaml"), Revision: inner.Revision, Path: p, Data: data}, nil
}

// History gives what was replaced of an entry or room sheet, the newest
// revision first.
func History(home, kind, id string) ([]Replaced, error) {
	dir := filepath.Join(home, dirHistory, kind, filepath.FromSlash(path.Dir(id)))
	list, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read old revisions: %w", err)
	}
	var old []Replaced
	for _, e := range list {
		rest, ok := strings.CutPrefix(e.Name(), path.Base(id)+".")
		number, _, _ := strings.Cut(rest, ".")
		revision, err := strconv.Atoi(number)
		if !ok || err != nil {
			continue // another entry's
		}
		data, err := cases.ReadPlain(filepath.Join(dir, e.Name()))
		if err != nil {
			return nil, fmt.Errorf("read an old revision: %w", err)
		}
		old = append(old, Replaced{revision, path.Join(dirHistory, kind, path.Dir(id), e.Name()), data})
	}
	slices.SortFunc(old, func(a, b Replaced) int { return cmp.Or(b.Revision-a.Revision, cmp.Compare(a.Path, b.Path)) })
	return old, nil
}

// ParseRecord makes a record of a file of the data folder; its path is given
// below that folder, divided by slashes.
func ParseRecord(p string, data []byte) (Record, error) {
	r, err := parse(p, data)
	if errors.Is(err, errNone) {
		return r, fmt.Errorf("%s: no entry, case or room sheet", p)
	}
	return r, err
}
