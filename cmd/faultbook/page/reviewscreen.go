package page

import (
	"net/http"
	"sort"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
)

// reviewScreen lists the entries of the user's own book, has one checked by
// somebody else, and changes one as text.
func (s *Server) reviewScreen() screen {
	return screen{Path: "/review", Routes: []route{
		{Pattern: "GET /review", Do: s.review},
		{Pattern: "GET /edit/{kind}/{id}", Do: s.editForm},
		{Pattern: "POST /edit/{kind}/{id}", Do: s.edit},
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
	page.Findings = newFindings(call.CheckText(s.opt.Home, s.desk().Book, text))
	return s.render(v, "edit", "Change "+page.ID, page)
}

// edit checks the text, or saves it as a draft in the user's own book.
func (s *Server) edit(v *visit) error {
	page, _, err := s.editPage(v)
	if err != nil {
		return err
	}
	page.Text, page.Initials = strings.ReplaceAll(v.value("text"), "\r\n", "\n"), clean(v.value("by"), 10)
	findings := append(page.sameEntry(), call.CheckText(s.opt.Home, s.desk().Book, []byte(page.Text))...)
	page.Findings = newFindings(findings)
	if v.part() {
		return s.renderPart(v, http.StatusOK, "edit", "findings", page.Findings)
	}
	if v.value("do") != "save" {
		return s.render(v, "edit", "Change "+page.ID, page)
	}
	if !page.Findings.Good() || page.Initials == "" {
		page.Notice = "Not saved: something is missing or wrong. Initials are needed, so that somebody else can check it."
		return s.renderStatus(v, http.StatusUnprocessableEntity, "edit", "Change "+page.ID, page)
	}
	by := page.Initials + " " + s.opt.Now().UTC().Format("2006-01-02")
	_, _, err = call.ReplaceEntry(s.opt.Home, s.desk().Book, []byte(page.Text), func(h *kb.Head) { h.State, h.By = "draft", by })
	if err != nil {
		return err
	}
	if err := s.changedBook(); err != nil {
		return err
	}
	return v.redirect(entryHref(page.Kind, page.ID))
}

// sameEntry refuses a text that has become another entry.
func (p *editPage) sameEntry() []kb.Finding {
	e, _, findings := kb.Parse([]byte(p.Text), "entry")
	if e == nil || len(findings) > 0 {
		return nil // the check says so
	}
	if h := kb.HeadOf(e); h.ID != p.ID || string(h.Kind) != p.Kind {
		return []kb.Finding{{Line: 1, Level: kb.LevelError, Text: "kind and id must stay " + p.Kind + " and " + p.ID + "; a new entry is written under Write"}}
	}
	return nil
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
	who := strings.ToLower(clean(v.value("by"), 10))
	author, _, _ := strings.Cut(kb.HeadOf(e).By, " ")
	switch {
	case who == "":
		return wrong("Give your initials.")
	case strings.EqualFold(who, author):
		return wrong("%s wrote it. Somebody else must check it.", author)
	}
	text, err := kb.Write(e)
	if err != nil {
		return err
	}
	day := s.opt.Now().UTC().Format("2006-01-02")
	_, findings, err := call.ReplaceEntry(s.opt.Home, s.desk().Book, text, func(h *kb.Head) {
		h.State, h.By = "checked", strings.TrimPrefix(h.By+", checked by "+who+" "+day, ", ")
	})
	if isFindings(err) {
		return wrong("It does not pass the check any more: %s", newFindings(findings).Errors[0].Text)
	}
	if err != nil {
		return err
	}
	if err := s.changedBook(); err != nil {
		return err
	}
	return v.redirect(entryHref(page.Kind, page.ID))
}
