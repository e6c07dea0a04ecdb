package page

import (
	"errors"
	"net/http"
	"sort"
	"strings"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/exchange"
)

// reviewScreen lists the entries of the user's own book, has one checked by
// somebody else, and changes one as text.
func (s *Server) reviewScreen() screen {
	return screen{Path: "/review", Routes: []route{
		{Pattern: "GET /review", Do: s.review},
		{Pattern: "GET /edit/{kind}/{id}", Do: s.editForm},
		{Pattern: "POST /edit/{kind}/{id}", Do: s.edit},
		{Pattern: "GET /history/{kind}/{id}", Do: s.history},
		{Pattern: "POST /review/{kind}/{id}", Do: s.markChecked},
	}}
}

// reviewRow is an entry of the user's own.
type reviewRow struct {
	Kind, ID, Title, State, By, Href string
	Replaces                         bool // a built-in entry
}

func (s *Server) review(v *visit) error {
	book := s.desk().Book
	var rows []reviewRow
	for _, kind := range kb.Kinds() {
		for _, id := range book.IDs(kind) {
			e := findEntry(book, kind, id)
			if book.Builtin(e) {
				continue
			}
			h := kb.HeadOf(e)
			rows = append(rows, reviewRow{Kind: string(kind), ID: id, Title: h.Title, State: orDraft(h.State), By: h.By, Href: entryHref(string(kind), id)})
		}
	}
	sort.SliceStable(rows, func(i, j int) bool { return rows[i].State == "draft" && rows[j].State != "draft" })
	return s.render(v, "review", "Review", rows)
}

// editPage is an entry as text.
type editPage struct {
	Kind, ID, Title, Text, Initials, Notice string
	Own, Draft                              bool
	Findings                                findingsView
}

// editPage reads which entry is meant.
func (s *Server) editPage(v *visit) (*editPage, kb.Entry, error) {
	book := s.desk().Book
	e := findEntry(book, kb.Kind(v.r.PathValue("kind")), v.r.PathValue("id"))
	if e == nil {
		return nil, nil, missing("The book has no %s %q.", v.r.PathValue("kind"), v.r.PathValue("id"))
	}
	h := kb.HeadOf(e)
	return &editPage{Kind: string(h.Kind), ID: h.ID, Title: h.Title, Own: !book.Builtin(e), Draft: orDraft(h.State) == "draft", Initials: initials(v.agent)}, e, nil
}

func (s *Server) editForm(v *visit) error {
	page, e, err := s.editPage(v)
	if err != nil {
		return err
	}
	text, err := kb.Write(e)
	if err != nil {
		return err
	}
	page.Text = string(text)
	_, page.Findings = s.checkText(page)
	return s.render(v, "edit", "Change "+page.ID, page)
}

// checkText reads the text of the page as the entry that it must stay, and
// checks it as part of the book.
func (s *Server) checkText(page *editPage) (kb.Entry, findingsView) {
	e, _, findings := kb.Parse([]byte(page.Text), "entry")
	if len(findings) > 0 || e == nil {
		return nil, newFindings(findings)
	}
	if h := kb.HeadOf(e); h.ID != page.ID || string(h.Kind) != page.Kind {
		return nil, newFindings([]kb.Finding{{Line: 1, Level: kb.LevelError,
			Text: "kind and id must stay " + page.Kind + " and " + page.ID + "; a new entry is written under Write"}})
	}
	_, _, findings, err := call.CheckEntries(s.opt.Home, s.desk().Book, []kb.Entry{e})
	if err != nil {
		findings = []kb.Finding{{Level: kb.LevelError, Text: err.Error()}}
	}
	return e, newFindings(findings)
}

// edit checks the text, or saves it as the next revision, a draft, in the
// user's own book.
func (s *Server) edit(v *visit) error {
	page, before, err := s.editPage(v)
	if err != nil {
		return err
	}
	page.Text, page.Initials = strings.ReplaceAll(v.value("text"), "\r\n", "\n"), clean(v.value("by"), 10)
	e, findings := s.checkText(page)
	page.Findings = findings
	if v.part() {
		return s.renderPart(v, http.StatusOK, "edit", "findings", page.Findings)
	}
	if v.value("do") != "save" {
		return s.render(v, "edit", "Change "+page.ID, page)
	}
	if !findings.Good() || page.Initials == "" {
		page.Notice = "Not saved: something is missing or wrong. Initials are needed, so that somebody else can check it."
		return s.renderStatus(v, http.StatusUnprocessableEntity, "edit", "Change "+page.ID, page)
	}
	next, err := call.Changed(e, kb.HeadOf(before).Revision, page.Initials, s.today())
	if err != nil {
		return err
	}
	return s.revise(v, next)
}

// today is the day as it is written into entries.
func (s *Server) today() string { return s.opt.Now().UTC().Format(time.DateOnly) }

// revise saves the next revision of an entry and shows it.
func (s *Server) revise(v *visit, e kb.Entry) error {
	_, findings, err := call.Revise(s.opt.Home, s.desk().Book, []kb.Entry{e})
	if errors.Is(err, call.ErrFindings) {
		return wrong("It does not pass the check: %s", newFindings(findings).Errors[0].Text)
	}
	if err != nil {
		return err
	}
	if err := s.changedBook(); err != nil {
		return err
	}
	h := kb.HeadOf(e)
	return v.redirect(entryHref(string(h.Kind), h.ID))
}

// markChecked notes that somebody else has read an entry of the user's own.
func (s *Server) markChecked(v *visit) error {
	page, e, err := s.editPage(v)
	if err != nil {
		return err
	}
	if !page.Own {
		return wrong("A built-in entry is checked by its authors. Change it first: the change lies in your own book and can be checked there.")
	}
	who := clean(v.value("by"), 10)
	if who == "" {
		return wrong("Give your initials.")
	}
	checked, err := call.Checked(e, who, s.today())
	if err != nil {
		return wrong("%s", sentence(err.Error()))
	}
	return s.revise(v, checked)
}

// revisionView is one revision of an entry.
type revisionView struct {
	Revision        int
	State, By, Text string
}

// history shows what was replaced of an entry, the newest first.
func (s *Server) history(v *visit) error {
	page, e, err := s.editPage(v)
	if err != nil {
		return err
	}
	old, err := exchange.History(s.opt.Home, page.Kind, page.ID)
	if err != nil {
		return err
	}
	text, err := kb.Write(e)
	if err != nil {
		return err
	}
	list := []revisionView{newRevision(e, text)}
	for _, o := range old {
		if was, _, _ := kb.Parse(o.Data, o.Path); was != nil {
			list = append(list, newRevision(was, o.Data))
		}
	}
	return s.render(v, "history", "History of "+page.ID, map[string]any{"Entry": page, "Revisions": list})
}

func newRevision(e kb.Entry, text []byte) revisionView {
	h := kb.HeadOf(e)
	return revisionView{h.Revision, stateText(h), h.By, string(text)}
}

// stateText says whether somebody else has checked an entry.
func stateText(h *kb.Head) string {
	switch {
	case h.State != "checked":
		return "a draft: nobody else has checked it yet"
	case h.Checked != "":
		return "checked by " + h.Checked
	}
	return "checked by somebody else"
}
