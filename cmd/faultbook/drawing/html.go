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

// Card is a tree laid out as numbered steps that refer to each other: what the
// HTML card shows.
type Card struct {
	Symptom, Title string
	Summary, HowTo string
	OnePage        bool
	Dangers        []string
	Steps          []CardStep
	End            string // where the tree has no step at all
	Cautions       []CardCaution
}

// CardStep is a question or a remedy with what follows each answer.
type CardStep struct {
	Kind        Kind
	Number      int
	Head, About string
	Branches    []CardBranch
}

// CardBranch goes to a step by its number, or ends.
type CardBranch struct {
	On     string
	Number int
	Kind   Kind
	End    string
}

// CardCaution is a caution by its number on the card.
type CardCaution struct {
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
	if err := page.Execute(w, t.Card()); err != nil {
		return fmt.Errorf("write the card: %w", err)
	}
	return nil
}

// Card lays the texts out; pages measures what it gives.
func (t *Tree) Card() Card {
	c := Card{Symptom: t.Symptom, Title: t.Title, Summary: strings.Join(t.summary(), " "), HowTo: strings.Join(t.howTo(), " ")}
	for _, d := range t.Dangers {
		c.Dangers = append(c.Dangers, d.text())
	}
	if !t.Root.isStep() {
		c.End = t.Root.end()
	}
	for _, n := range t.steps() {
		s := CardStep{Kind: n.Kind, Number: n.Number, Head: n.Kind.Word() + ": " + n.Say, About: n.aboutAll()}
		for _, b := range n.Branches {
			x := CardBranch{On: fmt.Sprintf("%s, %s:", b.label(), percent(b.To.Share)), Number: b.To.Number, Kind: b.To.Kind}
			if !b.To.isStep() {
				x.End = b.To.end()
			}
			s.Branches = append(s.Branches, x)
		}
		c.Steps = append(c.Steps, s)
	}
	for i, x := range t.Cautions {
		c.Cautions = append(c.Cautions, CardCaution{i + 1, x.text()})
	}
	c.OnePage = c.height() <= pageHeight
	return c
}
