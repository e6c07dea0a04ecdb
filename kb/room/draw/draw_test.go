package draw

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"faultbook/kb/room"
)

const sheet = `kind: room
id: test
title: Room <1> & "2"
devices:
  - {id: laptop, kind: laptop, title: the guest laptop, ports: [{id: out, carries: video, way: out}]}
  - {id: box, kind: switcher, title: the small box, ports: [{id: in-1, title: input 1, carries: video, way: in}, {id: out, carries: video, way: out}, {id: loop, carries: video, way: in}]}
  - {id: wall, kind: display, title: the wall display, control: {by: serial, from: ctl, baud: 9600}, ports: [{id: hdmi, carries: video, way: in}, {id: thru, carries: video, way: out}]}
  - {id: ctl, kind: controller, title: the control box}
cables:
  - {id: lead, title: the grey lead, from: laptop/out, to: box/in-1, class: High Speed, length: 3 m}
  - {id: run, from: box/out, to: wall/hdmi}
  - {id: back, from: wall/thru, to: box/loop, length: 2 m}
`

func parse(t *testing.T) *room.Sheet {
	t.Helper()
	s, findings := room.Parse([]byte(sheet), "x.yaml", nil)
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	return s
}

// TestTextTellsEveryPath, and says what is unknown.
func TestTextTellsEveryPath(t *testing.T) {
	text := Text(parse(t))
	for _, want := range []string{
		"the guest laptop [out] --(the grey lead, High Speed, 3 m)--> the small box [input 1]",
		"the small box [out] --(run, length unknown)--> the wall display [hdmi]",
		"the control box --(serial 9600 baud)--> the wall display",
		"No list is said to be whole", "At place unknown",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// TestPictureIsWellFormed, ends in spite of a loop, and carries its text.
func TestPictureIsWellFormed(t *testing.T) {
	svg := SVG(parse(t))
	d := xml.NewDecoder(strings.NewReader(svg))
	paths, desc := 0, false
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			desc = desc || e.Name.Local == "desc"
			for _, a := range e.Attr {
				if a.Name.Local == "class" && a.Value == "way" {
					paths++
				}
			}
		}
	}
	if paths != 4 || !desc {
		t.Errorf("%d lines of 4, description %v", paths, desc)
	}
	if !strings.Contains(svg, "Picture: the guest laptop [out]") {
		t.Error("the description does not tell the paths")
	}
}
