package call

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// ErrFindings says that entries do not pass the check.
var ErrFindings = errors.New("the entry does not pass the check and was not saved")

// CheckEntries checks entries as part of the whole book, as they would lie in
// the user's data folder home. The findings name lines of the files that would
// be written. An error says that an entry cannot be written at all.
func CheckEntries(home string, book *kb.Book, list []kb.Entry) (texts [][]byte, own *kb.Book, findings []kb.Finding, err error) {
	if texts, own, err = render(ownFolder(home), list); err != nil {
		return nil, nil, nil, err
	}
	return texts, own, kb.FindingsFor(kb.Overlay(book, own), own), nil
}

// SaveEntries checks new entries and writes them into the user's own book
// below home; on any error, ErrFindings among them, nothing is written. What
// exists is never replaced.
func SaveEntries(home string, book *kb.Book, list []kb.Entry) ([]kb.Summary, []kb.Finding, error) {
	texts, own, findings, err := CheckEntries(home, book, list)
	if err != nil {
		return nil, nil, err
	}
	if kb.CountErrors(findings) > 0 {
		return nil, findings, ErrFindings
	}
	for i := len(list) - 1; i >= 0; i-- { // remedies first: a cause never lies there without its remedy
		path := entryPath(ownFolder(home), list[i])
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return nil, findings, fmt.Errorf("make the folder of your own book: %w", err)
		}
		if err := cases.WriteFile(path, texts[i], true); err != nil {
			return nil, findings, err
		}
	}
	var saved []kb.Summary
	for _, e := range list {
		saved = append(saved, kb.Summarise(own, e))
	}
	return saved, findings, nil
}

// ownFolder is where entries go that are made from calls.
func ownFolder(home string) string { return filepath.Join(home, "book", "own") }

func entryPath(dir string, e kb.Entry) string {
	h := kb.HeadOf(e)
	return filepath.Join(dir, string(h.Kind), h.ID+".yaml")
}

// render writes the entries as YAML and reads them back as a book, so that
// findings name lines of the files that would be written.
func render(dir string, list []kb.Entry) ([][]byte, *kb.Book, error) {
	var texts [][]byte
	own := kb.Empty()
	for _, e := range list {
		data, err := kb.Write(e)
		if err != nil {
			return nil, nil, err
		}
		texts = append(texts, data)
		if err := own.Add(bytes.NewReader(data), entryPath(dir, e)); err != nil {
			return nil, nil, err
		}
	}
	return texts, own, nil
}

// MadeFrom gives the files of the user's entries that were made from a case:
// they hold the caller's words.
func MadeFrom(desk *Desk, id string) []string {
	var files []string
	for _, kind := range kb.Kinds() {
		for _, known := range desk.Book.IDs(kind) {
			for _, e := range desk.Book.Find(known) {
				if h := kb.HeadOf(e); h.Kind == kind && slices.Contains(h.Source, "own case "+id) {
					files = append(files, desk.Book.File(e))
				}
			}
		}
	}
	return files
}

// ReplaceEntry checks the text of an entry that takes the place of one with
// the same kind and id in the user's own book, or of a built-in one, and writes
// it there. change, which may be nil, is done to it first; the revision is
// counted up. On any error, ErrFindings among them, nothing is written.
func ReplaceEntry(home string, book *kb.Book, text []byte, change func(*kb.Head)) (kb.Entry, []kb.Finding, error) {
	e, path, findings := entryFor(home, book, text)
	if kb.CountErrors(findings) > 0 {
		return nil, findings, ErrFindings
	}
	h := kb.HeadOf(e)
	if change != nil {
		change(h)
	}
	h.Revision++
	text, err := kb.Write(e)
	if err != nil {
		return nil, findings, err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, findings, fmt.Errorf("make the folder of your own book: %w", err)
	}
	return e, findings, cases.WriteFile(path, text, false)
}

// CheckText finds what is wrong with the text of an entry as part of the book.
func CheckText(home string, book *kb.Book, text []byte) []kb.Finding {
	_, _, findings := entryFor(home, book, text)
	return findings
}

// entryFor reads the text of an entry and checks it within the book; path is
// its file, where it lies already in the user's book the same one.
func entryFor(home string, book *kb.Book, text []byte) (e kb.Entry, path string, findings []kb.Finding) {
	e, _, findings = kb.Parse(text, "entry")
	if len(findings) > 0 {
		return e, "", findings
	}
	path = entryPath(ownFolder(home), e)
	h := kb.HeadOf(e)
	for _, old := range book.Find(h.ID) {
		if kb.HeadOf(old).Kind != h.Kind {
			continue
		}
		h.Revision = max(h.Revision, kb.HeadOf(old).Revision)
		if file := book.File(old); !book.Builtin(old) && inside(filepath.Join(home, "book"), file) {
			path = file
		}
	}
	own := kb.Empty()
	if err := own.Add(bytes.NewReader(text), path); err != nil {
		return e, path, []kb.Finding{{File: path, Level: kb.LevelError, Code: "bad-entry", Text: err.Error()}}
	}
	return e, path, kb.FindingsFor(kb.Overlay(book, own), own)
}

// inside reports whether a file lies below a folder.
func inside(folder, file string) bool {
	rel, err := filepath.Rel(folder, file)
	return err == nil && filepath.IsLocal(rel)
}
