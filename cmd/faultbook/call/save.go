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
