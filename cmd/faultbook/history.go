package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/exchange"
)

// shownRevision is a revision of an entry as it is printed.
type shownRevision struct {
	Kind     kb.Kind `json:"kind"`
	ID       string  `json:"id"`
	Revision int     `json:"revision"`
	State    string  `json:"state"`
	By       string  `json:"by"`
	Checked  string  `json:"checked"`
	Title    string  `json:"title"`
	File     string  `json:"file"`
	text     []byte
}

// runHistory lists the revisions of an entry, or prints one.
func runHistory(s streams, id string, revision int, asJSON bool) error {
	book, err := openBook(s)
	if err != nil {
		return err
	}
	list, err := findEntries(book, id)
	if err != nil {
		return err
	}
	all := []shownRevision{}
	for _, e := range list {
		some, err := revisionsOf(book, e)
		if err != nil {
			return err
		}
		all = append(all, some...)
	}
	if revision != 0 {
		all = slices.DeleteFunc(all, func(r shownRevision) bool { return r.Revision != revision })
		if len(all) == 0 {
			return failed("there is no revision %d of %s here; `faultbook show %s --history` lists them", revision, id, id)
		}
	}
	switch {
	case asJSON:
		return printJSON(s.Out, all)
	case revision != 0:
		for i, r := range all {
			if i > 0 {
				fmt.Fprint(s.Out, between)
			}
			s.Out.Write(r.text)
		}
		return nil
	}
	for _, r := range all {
		state := orDraft(r.State)
		if r.Checked != "" {
			state += " by " + r.Checked
		}
		fmt.Fprintf(s.Out, "%s %s, revision %d, by %s, %s\n    %s\n    %s\n", r.Kind, r.ID, r.Revision, orElseText(r.By, "nobody"), state, r.Title, r.File)
	}
	return nil
}

// revisionsOf gives the entry as it stands, what was replaced of it, and the
// built-in one that it lies over, in this order.
func revisionsOf(book *kb.Book, e kb.Entry) ([]shownRevision, error) {
	dir, err := home()
	if err != nil {
		return nil, err
	}
	text, err := kb.Write(e)
	if err != nil {
		return nil, err
	}
	at := call.OwnFile(dir, book, e)
	if at != "" {
		if text, err = os.ReadFile(at); err != nil {
			return nil, failed("read the entry: %w", err)
		}
	}
	list := []shownRevision{shownFrom(e, book.File(e), text)}
	h := kb.HeadOf(e)
	old, err := exchange.History(dir, string(h.Kind), h.ID)
	if err != nil {
		return nil, failed("%w", err)
	}
	for _, o := range old {
		if was, _, _ := kb.Parse(o.Data, o.Path); was != nil {
			list = append(list, shownFrom(was, filepath.Join(dir, filepath.FromSlash(o.Path)), o.Data))
		}
	}
	return append(list, builtinOf(e, at)...), nil
}

// builtinOf is the entry of the built-in book under the user's own, if any.
func builtinOf(e kb.Entry, own string) []shownRevision {
	base, err := kb.Builtin()
	if err != nil || own == "" {
		return nil
	}
	h := kb.HeadOf(e)
	for _, b := range base.Find(h.ID) {
		if kb.HeadOf(b).Kind != h.Kind {
			continue
		}
		if text, err := kb.Write(b); err == nil {
			return []shownRevision{shownFrom(b, base.File(b), text)}
		}
	}
	return nil
}

func shownFrom(e kb.Entry, file string, text []byte) shownRevision {
	h := kb.HeadOf(e)
	return shownRevision{h.Kind, h.ID, h.Revision, h.State, h.By, h.Checked, h.Title, file, text}
}
