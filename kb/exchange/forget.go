package exchange

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"faultbook/kb/cases"
)

// forgetting begins the name of the folder in which Forget works.
const forgetting = ".forgetting-"

// Redact takes a text out of a case of the data folder (see cases.Store.Redact)
// and out of what was set aside of it.
func Redact(home string, s *cases.Store, caseID, text string, now func() time.Time) (cases.Redaction, error) {
	done, err := s.Redact(caseID, text)
	if err != nil {
		return done, err
	}
	aside, err := Forget(home, caseID, text, now)
	done.Places += aside
	return done, err
}

// Forget takes a text out of what was set aside of a case: call it after
// cases.Store.Redact has taken it out of the case itself, with the same clock.
// It returns the number of places. Copies that then hold nothing of their own
// are deleted.
//
// Archives and git history that exist already are out of its reach; what they
// hold does not come back by merging them, see the package comment.
func Forget(home, caseID, text string, now func() time.Time) (int, error) {
	f, err := openFolder(home)
	if err != nil {
		return 0, err
	}
	defer f.close()
	if err := sweep(home); err != nil {
		return 0, err
	}
	only := func(id string) bool { return id == caseID }
	s, err := f.load(only)
	if err != nil {
		return 0, err
	}
	key := KindCase + "/" + fold(caseID)
	places := 0
	var list []Record
	for _, r := range s.versions(key) {
		if r.Aside {
			n := 0
			if r, n, err = redacted(home, r, text, now); err != nil {
				return 0, err
			}
			places += n
		}
		list = append(list, r)
	}
	c := change{have: s.files[key], want: reduce(list)}
	if !c.needed() {
		return places, nil
	}
	return places, f.apply(c)
}

// sweep deletes what a killed Forget left, which may hold the text.
func sweep(home string) error {
	left, err := filepath.Glob(filepath.Join(home, forgetting+"*"))
	if err != nil {
		return fmt.Errorf("look for remains in %s: %w", home, err)
	}
	for _, dir := range left {
		if err := os.RemoveAll(dir); err != nil {
			return fmt.Errorf("delete remains: %w", err)
		}
	}
	return nil
}

// redacted lets package cases take the text out, in a folder of its own.
func redacted(home string, r Record, text string, now func() time.Time) (Record, int, error) {
	dir, err := os.MkdirTemp(home, forgetting)
	if err != nil {
		return r, 0, fmt.Errorf("make a folder to work in: %w", err)
	}
	defer os.RemoveAll(dir) // else the next Forget does
	_, inner, _ := strings.Cut(place(KindCase, r.ID), "/")
	at := filepath.Join(dir, filepath.FromSlash(inner))
	if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
		return r, 0, fmt.Errorf("make a folder to work in: %w", err)
	}
	if err := cases.WriteFile(at, r.Data, true); err != nil {
		return r, 0, err
	}
	done, err := cases.NewStore(dir, now).Redact(r.ID, text)
	if err != nil {
		return r, 0, fmt.Errorf("set-aside copy %s: %w", r.Path, err)
	}
	data, err := cases.ReadPlain(at)
	if err != nil {
		return r, 0, fmt.Errorf("set-aside copy %s: %w", r.Path, err)
	}
	out, err := caseRecord(data)
	out.Aside, out.Path = true, asidePath(KindCase, r.ID, data)
	return out, done.Places, err
}
