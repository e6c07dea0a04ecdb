package index

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// longestTitle is where a caller's sentence is cut when it stands for a title.
const longestTitle = 70

// FromStore is the source of a book and of the closed cases in a store. The
// stamp of a case is the size and the time of its file, so a case that is
// written again is read again, whatever the clock said at the time.
func FromStore(book *kb.Book, store *cases.Store) (Source, error) {
	src := Source{Book: book}
	years, err := filepath.Glob(filepath.Join(store.Dir(), "[0-9][0-9][0-9][0-9]"))
	if err != nil {
		return src, fmt.Errorf("list the cases for the search: %w", err)
	}
	lists, errs := make([][]CaseRef, len(years)), make([]error, len(years))
	var wg sync.WaitGroup
	for i, year := range years {
		wg.Go(func() { lists[i], errs[i] = casesIn(year) })
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			src.Left = append(src.Left, fmt.Errorf("the search goes without some cases: %w", err))
		}
	}
	src.Cases = slices.Concat(lists...)
	src.Load = func(id string) (*Document, error) {
		c, err := store.Load(id)
		if err != nil {
			return nil, err
		}
		if !c.Ended() {
			return nil, nil
		}
		return CaseDocument(book, c), nil
	}
	return src, nil
}

// casesIn lists the cases in the folder of a year, in the order of their ids.
func casesIn(folder string) ([]CaseRef, error) {
	files, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	list := make([]CaseRef, 0, len(files))
	for _, f := range files {
		id, ok := strings.CutSuffix(f.Name(), ".jsonl")
		if !ok || strings.HasPrefix(id, ".") || len(id) < 17 || !strings.HasPrefix(id, filepath.Base(folder)) {
			continue
		}
		info, err := f.Info()
		if err != nil {
			continue // removed meanwhile
		}
		stamp := strconv.FormatInt(info.Size(), 10) + "-" + strconv.FormatInt(info.ModTime().UnixNano(), 10)
		list = append(list, CaseRef{ID: id, Stamp: stamp})
	}
	return list, nil
}

// CaseDocument makes a document of a case: its words are what the caller said,
// its tells what was answered, its remedies what was tried and what came of it.
func CaseDocument(book *kb.Book, c *cases.Case) *Document {
	d := &Document{ID: c.ID, Kind: "case", State: "open", When: c.Opened.Format("2006-01-02")}
	if c.Ended() {
		d.State = "closed"
	}
	w := caseWriter{book: book, doc: d}
	for _, e := range c.Effective() {
		w.event(e)
	}
	d.Title = w.title()
	return d
}

// caseWriter gathers what the events of a case say.
type caseWriter struct {
	book  *kb.Book
	doc   *Document
	first string // what the caller said first
	cause string // the title of the cause that was found
}

func (w *caseWriter) event(e cases.Event) {
	d := w.doc
	switch {
	case e.Say != "":
		if w.first == "" {
			w.first = e.Say
		}
		d.Words = join(d.Words, e.Say)
	case e.Symptom != "":
		d.Symptoms = append(d.Symptoms, e.Symptom)
		if s := kb.Get[kb.Symptom](w.book, e.Symptom); s != nil {
			d.Notes = join(d.Notes, s.Title)
		}
	case e.Answer != nil:
		d.Tells = join(d.Tells, w.answer(*e.Answer))
	case e.Tried != nil:
		if r := kb.Get[kb.Remedy](w.book, e.Tried.Remedy); r != nil {
			d.Remedy = join(d.Remedy, r.Title+": "+e.Tried.Result)
		}
	case e.Handover != "":
		if h := kb.Get[kb.Handover](w.book, e.Handover); h != nil {
			d.Notes = join(d.Notes, h.Title)
		}
	case e.Close != nil:
		w.closed(*e.Close)
	case e.Note != "":
		d.Notes = join(d.Notes, e.Note)
	case e.Room != "":
		d.Room = e.Room
		d.Notes = join(d.Notes, e.Room)
	}
}

func (w *caseWriter) answer(a cases.Answer) string {
	q := kb.Get[kb.Question](w.book, a.Question)
	if q == nil {
		return ""
	}
	for _, known := range q.Answers {
		if known.Value == a.Value {
			return q.Title + ": " + known.Say
		}
	}
	return ""
}

func (w *caseWriter) closed(end cases.Close) {
	w.doc.Notes = join(w.doc.Notes, end.Note)
	if c := kb.Get[kb.Cause](w.book, end.Cause); c != nil {
		w.cause = c.Title
		w.doc.Why = join(w.doc.Why, c.ID+" "+c.Title, c.Plain)
		for _, ref := range c.Symptoms {
			w.doc.Symptoms = append(w.doc.Symptoms, ref.ID)
		}
	}
}

// title is the cause that was found, with the caller's words; the words alone
// where none was.
func (w *caseWriter) title() string {
	said := strings.TrimSpace(w.first)
	if r := []rune(said); len(r) > longestTitle {
		said = strings.TrimSpace(string(r[:longestTitle])) + "…"
	}
	switch {
	case w.cause == "" && said == "":
		return "a call without words"
	case w.cause == "":
		return said
	case said == "":
		return w.cause
	}
	return w.cause + ": " + said
}
