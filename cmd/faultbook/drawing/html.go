package drawing

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"
)

//go:embed card.html
var cardText string

// card is what the template of the HTML card is filled with.
type card struct {
	Symptom, Title string
	Summary, HowTo string
	OnePage        bool
	Dangers        []string
	Steps          []cardStep
	End            string // where the tree has no step at all
	Cautions       []cardCaution
}

type cardStep struct {
	Kind        Kind
	Number      int
	Head, About string
	Branches    []cardBranch
}

// cardBranch goes to a step by its number, or ends.
type cardBranch struct {
	On     string
	Number int
	Kind   Kind
	End    string
}

type cardCaution struct {
	Number int
	Text   string
}

// HTML writes a card in one file that needs no other: numbered steps, for
// paper in A4 and for screens from 360 pixels on.
func (t *Tree) HTML(w io.Writer) error {
	page, err := template.New("card").Parse(cardText)
	if err != nil {
		return fmt.Errorf("read the card's template: %w", err)
	}
	if err := page.Execute(w, t.card()); err != nil {
		return fmt.Errorf("write the card: %w", err)
	}
	return nil
}

// card lays the texts out; pages measures what it gives.
func (t *Tree) card() card {
	c := card{Symptom: t.Symptom, Title: t.Title, Summary: strings.Join(t.summary(), " "), HowTo: strings.Join(t.howTo(), " ")}
	for _, d := range t.Dangers {
		c.Dangers = append(c.Dangers, d.text())
	}
	if !t.Root.isStep() {
		c.End = t.Root.end()
	}
	for _, n := range t.steps() {
		s := cardStep{Kind: n.Kind, Number: n.Number, Head: n.Kind.Word() + ": " + n.Say, About: n.aboutAll()}
		for _, b := range n.Branches {
			x := cardBranch{On: fmt.Sprintf("%s, %s:", b.label(), percent(b.To.Share)), Number: b.To.Number, Kind: b.To.Kind}
			if !b.To.isStep() {
				x.End = b.To.end()
			}
			s.Branches = append(s.Branches, x)
		}
		c.Steps = append(c.Steps, s)
	}
	for i, x := range t.Cautions {
		c.Cautions = append(c.Cautions, cardCaution{i + 1, x.text()})
	}
	c.OnePage = c.height() <= pageHeight
	return c
}
