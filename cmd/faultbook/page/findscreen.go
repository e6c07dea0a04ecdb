package page

import (
	"net/http"
	"slices"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
	"faultbook/kb"
)

// How many hits a page shows: of all kinds together, and of one beside others.
const (
	mostFound  = 60
	mostOfKind = 8
)

// findScreen looks things up by words, while they are typed too.
func (s *Server) findScreen() screen {
	return screen{Path: "/find", Label: "Find", Routes: []route{{Pattern: "GET /find", Do: s.find}}}
}

// findPage is what was looked for and what was found.
type findPage struct {
	Words   string
	Kinds   []choice
	Symptom string // only what belongs to it, "" for everything
	Groups  []hitGroup
	Mended  string // the words with their misspellings mended
	Asked   bool
	Total   int
	NoIndex bool
	Shelves []shelf // the kinds of entries, where nothing was asked
}

// choice is one of several that can be picked in a form.
type choice struct {
	Value, Label string
	Picked       bool
}

// hitGroup are the hits of one kind.
type hitGroup struct {
	Title, Kind string
	Hits        []foundHit
	More        int // not shown, among the hits that were looked at
}

type foundHit struct {
	item
	Matched string
}

func (s *Server) find(v *visit) error {
	page := findPage{Words: cleanQuery(v.value("words")), Symptom: v.value("symptom"), NoIndex: s.opt.Find == nil}
	kind := v.value("kind")
	if kind != "" && !slices.Contains(call.FindKinds(), kind) {
		return wrong("There is no kind %q to find.", kind)
	}
	page.Kinds = append(page.Kinds, choice{"", "Everything", kind == ""})
	for _, k := range call.FindKinds() {
		page.Kinds = append(page.Kinds, choice{k, call.KindTitle(k), k == kind})
	}
	s.search(&page, kind)
	if !page.Asked {
		page.Shelves = s.shelves()
	}
	if v.part() {
		return s.renderPart(v, http.StatusOK, "find", "hits", page)
	}
	return s.render(v, "find", "Find", page)
}

// cleanQuery bounds words that are looked for.
func cleanQuery(text string) string {
	const most = 300
	text = strings.TrimSpace(strings.ToValidUTF8(text, ""))
	return strings.ToValidUTF8(text[:min(len(text), most)], "")
}

// search fills the page with hits. The index is a help: without it, or while it
// is made anew, the page says so and shows its lists.
func (s *Server) search(page *findPage, kind string) {
	if page.Words == "" || s.opt.Find == nil {
		return
	}
	o := index.Options{Limit: mostFound, Symptom: page.Symptom}
	if kind != "" {
		o.Kinds = []string{kind}
	}
	res, err := s.opt.Find(page.Words, o)
	if err != nil {
		page.NoIndex = true
		return
	}
	page.Asked = true
	page.Mended, page.Total = res.DidYouMean, res.Total
	page.group(res.Hits, kind != "")
}

// group puts the hits of a kind together; the kind with the best hit comes
// first.
func (p *findPage) group(hits []index.Hit, all bool) {
	at := map[string]int{}
	for _, h := range hits {
		i, ok := at[h.Kind]
		if !ok {
			i = len(p.Groups)
			at[h.Kind] = i
			p.Groups = append(p.Groups, hitGroup{Title: call.KindTitle(h.Kind), Kind: h.Kind})
		}
		g := &p.Groups[i]
		if !all && len(g.Hits) == mostOfKind {
			g.More++
			continue
		}
		g.Hits = append(g.Hits, foundHit{item{ID: h.ID, Text: h.Title, Href: entryHref(h.Kind, h.ID)}, strings.Join(h.Matched, " · ")})
	}
}

// entryHref is the page of an entry or a case.
func entryHref(kind, id string) string {
	if kind == "case" {
		return "/cases/" + id
	}
	return "/book/" + kind + "/" + id
}

// shelf is a kind of entries with their number.
type shelf struct {
	Kind, Title string
	Count       int
}

func (s *Server) shelves() []shelf {
	var list []shelf
	for _, k := range kb.Kinds() {
		if n := len(s.desk().Book.IDs(k)); n > 0 {
			list = append(list, shelf{string(k), call.KindTitle(string(k)), n})
		}
	}
	return list
}
