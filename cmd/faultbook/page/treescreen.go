package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"html/template"
	"sync"

	"faultbook/cmd/faultbook/drawing"
	"faultbook/kb"
)

// treeCover is the share of the calls that a tree keeps where there is room.
const treeCover = 0.8

// treeScreen shows the decision trees: as a picture, as text, as a card.
func (s *Server) treeScreen() screen {
	return screen{Path: "/tree", Label: "Trees", Routes: []route{
		{Pattern: "GET /tree", Do: s.listTrees},
		{Pattern: "GET /tree/{symptom}", Do: s.tree},
		{Pattern: "GET /tree/{symptom}/card", Do: s.treeCard},
		{Pattern: "GET /tree/{symptom}/picture", Do: s.treePicture},
	}}
}

// trees keeps the trees that were drawn: each takes a second or so to plan.
type trees struct {
	mutex sync.Mutex
	drawn map[string]*drawnTree
}

// drawnTree is a tree that is drawn once, while whoever wants it too waits.
type drawnTree struct {
	once sync.Once
	tree *drawing.Tree
	err  error
}

// get draws the tree of a symptom for who is on the line.
func (t *trees) get(book *kb.Book, symptom string, who kb.Who, onePage bool) (*drawing.Tree, error) {
	key := fmt.Sprint(book.Fingerprint(), symptom, who, onePage)
	t.mutex.Lock()
	if t.drawn == nil || len(t.drawn) > 200 {
		t.drawn = map[string]*drawnTree{}
	}
	d := t.drawn[key]
	if d == nil {
		d = &drawnTree{}
		t.drawn[key] = d
	}
	t.mutex.Unlock()
	d.once.Do(func() {
		d.tree, d.err = drawing.Build(book, drawing.Setting{Symptom: symptom, Who: who, Cover: treeCover, OnePage: onePage})
	})
	return d.tree, d.err
}

func (s *Server) listTrees(v *visit) error {
	var rows []item
	for _, e := range kb.All[kb.Symptom](s.desk().Book) {
		rows = append(rows, item{ID: e.ID, Text: e.Title, Href: "/tree/" + e.ID})
	}
	return s.render(v, "trees", "Decision trees", rows)
}

// treePage is a tree in the page.
type treePage struct {
	Symptom, Title string
	Technician     bool
	Picture        template.HTML
	Card           drawing.Card
}

// askedTree reads which tree is wanted and draws it.
func (s *Server) askedTree(v *visit) (*drawing.Tree, bool, error) {
	id := v.r.PathValue("symptom")
	if kb.Get[kb.Symptom](s.desk().Book, id) == nil {
		return nil, false, missing("There is no symptom %q.", id)
	}
	who := kb.WhoCaller
	if v.value("who") == string(kb.WhoTechnician) {
		who = kb.WhoTechnician
	}
	t, err := s.trees.get(s.desk().Book, id, who, true)
	return t, who == kb.WhoTechnician, err
}

func (s *Server) tree(v *visit) error {
	t, technician, err := s.askedTree(v)
	if err != nil {
		return err
	}
	var svg bytes.Buffer
	if err := t.SVG(&svg); err != nil {
		return err
	}
	page := treePage{Symptom: t.Symptom, Title: t.Title, Technician: technician, Picture: inlinePicture(svg.Bytes()), Card: t.Card()}
	return s.render(v, "tree", t.Symptom+" "+t.Title, page)
}

// treePicture is the picture alone, to be kept or sent.
func (s *Server) treePicture(v *visit) error {
	t, _, err := s.askedTree(v)
	if err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "image/svg+xml")
	return t.SVG(v.w)
}

// treeCard is the card to print. It is one file with its own style sheet,
// which the policy names by its digest.
func (s *Server) treeCard(v *visit) error {
	t, _, err := s.askedTree(v)
	if err != nil {
		return err
	}
	var card bytes.Buffer
	if err := t.HTML(&card); err != nil {
		return err
	}
	style := pictureStyle.Find(card.Bytes())
	sum := sha256.Sum256(bytes.TrimSuffix(bytes.TrimPrefix(style, []byte("<style>")), []byte("</style>")))
	h := v.w.Header()
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'; base-uri 'none'; frame-ancestors 'none'")
	h.Set("Content-Type", "text/html; charset=utf-8")
	_, err = card.WriteTo(v.w)
	return err
}
