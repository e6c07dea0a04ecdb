// Package visit prints the list and the report of a verification visit: as
// text for a terminal, as HTML for paper. What is on it comes from package room.
package visit

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"faultbook/kb/room"
)

// Sheet is everything on the paper.
type Sheet struct {
	Room    *room.Sheet
	Items   []room.Item
	Now     *room.Visit // nil for an empty list to fill in
	Before  *room.Visit // nil for the first visit
	Changes []room.Change
	Report  *room.Report
}

// Group is a run of items.
type Group struct {
	Title string
	Lines []Line
}

// Line is one item with what was found now and before.
type Line struct {
	room.Item
	Result string // ok, fault, not-done; "" to be filled in
	Note   string
	Before string
}

// Groups are the items by group, in the order of the list.
func (s *Sheet) Groups() []Group {
	var list []Group
	for _, it := range s.Items {
		if len(list) == 0 || !strings.EqualFold(list[len(list)-1].Title, it.Group) {
			list = append(list, Group{Title: title(it.Group)})
		}
		g := &list[len(list)-1]
		now := s.Now.Result(it.ID)
		before := s.Before.Result(it.ID)
		g.Lines = append(g.Lines, Line{it, now.Result, now.Note, before.Result})
	}
	return list
}

func title(text string) string {
	if text == "" {
		return "More"
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// Head is the line below the title.
func (s *Sheet) Head() string {
	day := "to be filled in"
	if s.Now != nil {
		day = strings.TrimSpace(s.Now.Day.String() + " by " + s.Now.By)
	}
	text := "Verification visit, " + day
	if s.Before != nil {
		text += fmt.Sprintf("; last visit %s by %s", s.Before.Day, s.Before.By)
	} else {
		text += "; no visit before"
	}
	return text
}

// Count is the number of items with that result.
func (s *Sheet) Count(result string) int {
	n := 0
	for _, it := range s.Items {
		if s.Now.Result(it.ID).Result == result {
			n++
		}
	}
	return n
}

// Word is a result for people, with a sign that is no colour.
func Word(result string) string {
	switch result {
	case room.VisitOK:
		return "✓ ok"
	case room.VisitFault:
		return "✗ fault"
	case room.VisitNotDone:
		return "– not done"
	}
	return "☐"
}

// Text prints the list for a terminal or a mail.
func (s *Sheet) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n", s.Room.Title, s.Head())
	if s.Now != nil {
		fmt.Fprintf(&b, "%d ok, %d faults, %d not done\n", s.Count(room.VisitOK), s.Count(room.VisitFault), s.Count(room.VisitNotDone))
	}
	for _, c := range s.Changes {
		was := c.Was
		if was == "" {
			was = "not looked at"
		}
		fmt.Fprintf(&b, "Changed: %s was %s, is %s %s\n", c.ID, was, c.Is, c.Note)
	}
	for _, g := range s.Groups() {
		fmt.Fprintf(&b, "\n%s\n", g.Title)
		for _, l := range g.Lines {
			fmt.Fprintf(&b, "  %-11s %s  %s (%s)\n", Word(l.Result), l.ID, l.Must, l.How)
			for _, x := range l.Expect {
				fmt.Fprintf(&b, "                       here: %s\n", x)
			}
			for _, x := range l.Weak {
				fmt.Fprintf(&b, "                       known weak spot: %s\n", x)
			}
			if l.Note != "" {
				fmt.Fprintf(&b, "                       seen: %s\n", l.Note)
			}
			if l.Before != "" && l.Before != l.Result {
				fmt.Fprintf(&b, "                       last time: %s\n", l.Before)
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

//go:embed visit.html
var page string

// HTML prints the report for paper.
func (s *Sheet) HTML(w io.Writer) error {
	t, err := template.New("visit").Funcs(template.FuncMap{"word": Word}).Parse(page)
	if err != nil {
		return fmt.Errorf("read the report's template: %w", err)
	}
	if err := t.Execute(w, s); err != nil {
		return fmt.Errorf("write the report: %w", err)
	}
	return nil
}
