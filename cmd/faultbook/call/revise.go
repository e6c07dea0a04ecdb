package call

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/exchange"
)

// ErrOwn says that the author of an entry would check it.
var ErrOwn = errors.New("somebody else must check it than who wrote it")

// Revise writes new revisions of entries into the user's own book below home.
// What an entry replaces there is kept in the history, see exchange.History; an
// entry of the built-in book gets a copy that is laid over it. On any error,
// ErrFindings among them, nothing is replaced.
func Revise(home string, book *kb.Book, list []kb.Entry) ([]kb.Summary, []kb.Finding, error) {
	texts, own, findings, err := CheckEntries(home, book, list)
	if err != nil {
		return nil, nil, err
	}
	if kb.CountErrors(findings) > 0 {
		return nil, findings, ErrFindings
	}
	var saved []kb.Summary
	for i, e := range list {
		sum := kb.Summarise(own, e)
		if sum.File, err = revise(home, book, e, texts[i]); err != nil {
			return saved, findings, err
		}
		saved = append(saved, sum)
	}
	return saved, findings, nil
}

// revise writes one entry over the file in which the user has it, and returns
// its path.
func revise(home string, book *kb.Book, e kb.Entry, text []byte) (string, error) {
	at := OwnFile(home, book, e)
	if at == "" {
		at = entryPath(ownFolder(home), e)
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			return "", fmt.Errorf("make the folder of your own book: %w", err)
		}
		return at, cases.WriteFile(at, text, true)
	}
	old, err := os.ReadFile(at)
	if err != nil {
		return "", fmt.Errorf("read the revision before: %w", err)
	}
	inner, err := filepath.Rel(home, at)
	if err != nil {
		return "", fmt.Errorf("keep the revision before: %w", err)
	}
	before, err := exchange.ParseRecord(filepath.ToSlash(inner), old)
	if err != nil {
		return "", fmt.Errorf("keep the revision before: %w", err)
	}
	if err := exchange.KeepReplaced(home, before); err != nil {
		return "", err
	}
	return at, cases.ReplaceFile(at, text, func() error {
		if now, err := os.ReadFile(at); err != nil || !bytes.Equal(now, old) {
			return fmt.Errorf("%s was changed by somebody else meanwhile; do it again", at)
		}
		return nil
	})
}

// OwnFile is the file in which the user has an entry, "" for one that only the
// built-in book has.
func OwnFile(home string, book *kb.Book, e kb.Entry) string {
	at := book.File(e)
	if !strings.HasPrefix(at, filepath.Join(home, "book")+string(filepath.Separator)) {
		return ""
	}
	if _, err := os.Stat(at); errors.Is(err, fs.ErrNotExist) {
		return ""
	}
	return at
}

// Checked gives an entry marked as checked by somebody, on a day as
// 2026-11-25. Its author may not (ErrOwn), nor may anybody where no author is
// named.
func Checked(e kb.Entry, by, day string) (kb.Entry, error) {
	h := kb.HeadOf(e)
	switch author := kb.Initials(h.By); {
	case author == "":
		return nil, fmt.Errorf("%s %s names no author: whoever wrote it puts the initials into its line `by`", h.Kind, h.ID)
	case author == kb.Initials(by):
		return nil, fmt.Errorf("%s %s was written by %s: %w", h.Kind, h.ID, author, ErrOwn)
	}
	out, err := kb.Copy(e)
	if err != nil {
		return nil, err
	}
	h = kb.HeadOf(out)
	h.State, h.Checked, h.Revision = "checked", kb.Initials(by)+" "+day, h.Revision+1
	return out, nil
}

// Changed gives an entry as the next revision by somebody: a draft again.
func Changed(e kb.Entry, before int, by, day string) (kb.Entry, error) {
	out, err := kb.Copy(e)
	if err != nil {
		return nil, err
	}
	h := kb.HeadOf(out)
	h.State, h.Checked, h.Revision = "draft", "", max(h.Revision, before+1)
	if by != "" {
		h.By = kb.Initials(by) + " " + day
	}
	return out, nil
}
