package page

import (
	"sort"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
)

// bookScreen shows the entries of the book, all kinds alike.
func (s *Server) bookScreen() screen {
	return screen{Path: "/book", Routes: []route{
		{Pattern: "GET /book/{kind}", Do: s.shelf},
		{Pattern: "GET /book/{kind}/{id}", Do: s.entryPage},
	}}
}

// shelfPage lists the entries of one kind.
type shelfPage struct {
	Kind, Title string
	Rows        []item
}

func (s *Server) shelf(v *visit) error {
	kind := kb.Kind(v.r.PathValue("kind"))
	page := shelfPage{Kind: string(kind), Title: call.KindTitle(string(kind))}
	ids := s.desk().Book.IDs(kind)
	if len(ids) == 0 {
		return missing("The book has no entries of the kind %q.", kind)
	}
	for _, id := range ids {
		h := kb.HeadOf(findEntry(s.desk().Book, kind, id))
		page.Rows = append(page.Rows, item{ID: id, Text: h.Title, Href: entryHref(string(kind), id)})
	}
	if kind == kb.KindTerm { // a glossary is looked up by its words
		sort.SliceStable(page.Rows, func(i, j int) bool {
			return strings.ToLower(page.Rows[i].Text) < strings.ToLower(page.Rows[j].Text)
		})
	}
	return s.render(v, "shelf", page.Title, page)
}

// findEntry gives an entry by kind and id, nil where there is none.
func findEntry(book *kb.Book, kind kb.Kind, id string) kb.Entry {
	for _, e := range book.Find(id) {
		if kb.HeadOf(e).Kind == kind {
			return e
		}
	}
	return nil
}

func (s *Server) entryPage(v *visit) error {
	book := s.desk().Book
	kind, id := kb.Kind(v.r.PathValue("kind")), v.r.PathValue("id")
	e := findEntry(book, kind, id)
	if e == nil {
		e = findEntry(book, kind, strings.ToUpper(id))
	}
	if e == nil {
		return missing("The book has no %s %q.", kind, id)
	}
	view := newEntryView(book, e)
	return s.render(v, "entry", view.Title, view)
}
