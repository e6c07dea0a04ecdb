package visit

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"faultbook/kb"
	"faultbook/kb/room"
)

const sheet = `kind: room
id: test
title: Room <1>
surveyed: 2026-01-01
devices:
  - {id: laptop, kind: laptop, hdcp: "2.2", ports: [{id: o, carries: video, way: out, class: HDMI 2.0}]}
  - {id: wall, kind: display, title: the wall display, hdcp: "2.2", ports: [{id: i, carries: video, way: in, class: HDMI 1.4}]}
cables: [{id: c, from: laptop/o, to: wall/i, class: High Speed, length: 3 m}]
wanted: [2160p60, 1080p60]
`

func paper(t *testing.T) *Sheet {
	t.Helper()
	s, findings := room.Parse([]byte(sheet), "x.yaml", nil)
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	b, err := kb.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	r := room.Check(s)
	day := room.Day{Time: s.Surveyed.Time}
	before := &room.Visit{Kind: "visit", Room: "test", Day: day, By: "kl", Results: []room.Result{{ID: "V-017", Result: room.VisitOK}}}
	now := &room.Visit{Kind: "visit", Room: "test", Day: day, By: "mo", Results: []room.Result{{ID: "V-017", Result: room.VisitFault, Note: "only <1080p>"}}}
	return &Sheet{Room: s, Items: room.List(b, s, &r), Now: now, Before: before, Changes: room.Compare(before, now), Report: &r}
}

// TestPaper: the report is well formed, escapes what was typed, and holds what
// changed, the expected figures and the known weak spots, as the text does.
func TestPaper(t *testing.T) {
	p := paper(t)
	var html, text bytes.Buffer
	if err := p.HTML(&html); err != nil {
		t.Fatal(err)
	}
	if err := p.Text(&text); err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(strings.NewReader(html.String()))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	headings, rows := 0, 0
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			switch e.Name.Local {
			case "h1", "h2":
				headings++
			case "tr":
				rows++
			}
		}
	}
	if headings < 8 || rows < len(p.Items) {
		t.Errorf("%d headings, %d rows for %d lines", headings, rows, len(p.Items))
	}
	for _, want := range []string{"Room &lt;1&gt;", "only &lt;1080p&gt;", "laptop laptop on the wall display: 1080p60", "it carries 340 MHz and 594 MHz is needed", "Changed since the last visit", "@page"} {
		if !strings.Contains(html.String(), want) {
			t.Errorf("the report has no %q", want)
		}
	}
	for _, want := range []string{"Changed: V-017 was ok, is fault only <1080p>", "known weak spot:", "last time: ok", "0 ok, 1 faults"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the text has no %q", want)
		}
	}
}

// TestEmptyList is there to be filled in by hand.
func TestEmptyList(t *testing.T) {
	p := paper(t)
	p.Now, p.Before, p.Changes = nil, nil, nil
	var html bytes.Buffer
	if err := p.HTML(&html); err != nil {
		t.Fatal(err)
	}
	if got := strings.Count(html.String(), "☐ ok ☐ fault"); got != len(p.Items) {
		t.Errorf("%d boxes for %d lines", got, len(p.Items))
	}
}
