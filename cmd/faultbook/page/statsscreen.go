package page

import (
	"bytes"
	"fmt"
	"html/template"
	"regexp"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/cases"
)

// replayedCalls is how many calls are played again for a page to see which
// questions helped; the command looks at more.
const replayedCalls = 200

// statsScreen counts the calls.
func (s *Server) statsScreen() screen {
	return screen{Path: "/stats", Routes: []route{{Pattern: "GET /stats", Do: s.stats}}}
}

// statsPage is what the calls of a period come to.
type statsPage struct {
	tallied
	cases.Stats
	Since, Period string
	Ended         int
	Replayed      int
	Chart         template.HTML
	Figures       []figure
	UnusedKinds   []unusedKind
}

// figure is a number with its words.
type figure struct{ Number, Words string }

// unusedKind counts entries of a kind that no call used, and names some.
type unusedKind struct {
	Title string
	Count int
	Rows  []item
}

func (s *Server) stats(v *visit) error {
	page := statsPage{Since: v.value("since"), Period: "of all time"}
	var since time.Time
	if page.Since != "" {
		day, err := time.Parse(time.DateOnly, page.Since)
		if err != nil {
			return wrong("Write the day as 2026-11-25, not %q.", page.Since)
		}
		since, page.Period = day, "since "+page.Since
	}
	page.tallied = s.records()
	picked := cases.Filter{Since: since}.Pick(page.list)
	moves, replayed := call.Moves(s.desk(), picked, replayedCalls)
	page.Stats = cases.Count(picked, moves, page.list, s.opt.Now(), call.Trade(s.desk()))
	page.Replayed, page.Ended = replayed, page.Calls-page.Open
	page.figures()
	page.unused()
	if page.Calls > 0 {
		var chart bytes.Buffer
		if err := cases.WriteChart(&chart, page.Stats, page.Period); err != nil {
			return err
		}
		page.Chart = inlinePicture(chart.Bytes())
	}
	return s.render(v, "stats", "Statistics", page)
}

// pictureStyle is the style sheet within a picture that stands alone; within a
// page the page's own is used, and the policy allows no other.
var pictureStyle = regexp.MustCompile(`(?s)<style>.*?</style>`)

// inlinePicture makes an SVG of our own, which escapes what it is given, part
// of a page.
func inlinePicture(svg []byte) template.HTML {
	return template.HTML(pictureStyle.ReplaceAll(svg, nil))
}

func (p *statsPage) figures() {
	m := p.Minutes
	p.Figures = []figure{
		{fmt.Sprint(p.Calls), "calls, " + fmt.Sprint(p.Open) + " of them open"},
		{call.Percent(p.PhoneShare), fmt.Sprintf("cured on the phone: %d of the %d that ended", p.OnPhone, p.Ended)},
		{fmt.Sprint(p.Visits), "visits"},
		{fmt.Sprint(p.Started), "meetings that a workaround got going"},
		{fmt.Sprint(p.Known), "ended calls with a known cause"},
	}
	if m.Calls > 0 {
		p.Figures = append(p.Figures,
			figure{fmt.Sprintf("%.1f min", m.Line), fmt.Sprintf("on the line in the mean, half of the calls under %.1f", m.Median)},
			figure{fmt.Sprintf("%.1f min", m.Spent), fmt.Sprintf("with handovers counted; %.1f were expected at the opening", m.Expected)})
	}
}

// namedUnused is how many unused entries of a kind are named.
const namedUnused = 12

func (p *statsPage) unused() {
	for _, e := range p.Unused.Entries {
		n := len(p.UnusedKinds)
		if n == 0 || p.UnusedKinds[n-1].Title != call.KindTitle(e.Kind) {
			p.UnusedKinds = append(p.UnusedKinds, unusedKind{Title: call.KindTitle(e.Kind)})
			n++
		}
		k := &p.UnusedKinds[n-1]
		if k.Count++; k.Count <= namedUnused {
			k.Rows = append(k.Rows, item{ID: e.ID, Text: e.Title, Href: entryHref(e.Kind, e.ID), Note: e.Last})
		}
	}
}
