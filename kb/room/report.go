package room

import (
	"fmt"
	"sort"

	"faultbook/diagnose/measure"
)

// Severity says how bad a finding about a room is.
type Severity string

// Severities. Unknown means that a figure is missing, which is said.
const (
	Error   Severity = "error"
	Warning Severity = "warning"
	Unknown Severity = "unknown"
	Note    Severity = "note"
)

func (s Severity) rank() int {
	switch s {
	case Error:
		return 0
	case Warning:
		return 1
	case Unknown:
		return 2
	}
	return 3
}

// Finding is one thing that a sum says of a room.
type Finding struct {
	Level Severity `json:"level"`
	// Code is stable, for filters: format-over, usb-current, poe-budget …
	Code string `json:"code"`
	// Text says it with the figures.
	Text string `json:"text"`
	// Sources are the check values behind it with the words of their source.
	Sources []measure.Source `json:"sources"`
	// Devices and Cables are those that it is about.
	Devices []string `json:"devices,omitempty"`
	Cables  []string `json:"cables,omitempty"`
	// Need and Limit are the figures compared, in Unit; zero where there are none.
	Need  float64 `json:"need,omitempty"`
	Limit float64 `json:"limit,omitempty"`
	Unit  string  `json:"unit,omitempty"`
	File  string  `json:"file"`
	Line  int     `json:"line"`
}

// Cell is what the matrix says of one source on one display.
type Cell struct {
	Source  string `json:"source"`
	Display string `json:"display"`
	// Routes counts the ways from one to the other, 0 for none.
	Routes int `json:"routes"`
	// Formats are the wanted ones, each with its verdict over the best way.
	Formats []CellFormat `json:"formats"`
	// Highest passes as far as limits are known, "" for nothing.
	Highest string `json:"highest,omitempty"`
	// Protected is the verdict on type 0 and type 1 content.
	Type0 measure.Verdict `json:"type0"`
	Type1 measure.Verdict `json:"type1"`
	// Via are the cables and ports of the best way.
	Via []string `json:"via"`
}

// CellFormat is how a wanted format fares.
type CellFormat struct {
	Format  string          `json:"format"`
	Verdict measure.Verdict `json:"verdict"`
	// Limit names the part that limits, with the reason.
	Limit string `json:"limit,omitempty"`
}

// Report is what all sums say of a room.
type Report struct {
	Room     string    `json:"room"`
	Title    string    `json:"title"`
	Surveyed Day       `json:"surveyed,omitzero"`
	Findings []Finding `json:"findings"`
	Matrix   []Cell    `json:"matrix"`
}

// Count is the number of findings of a severity.
func (r *Report) Count(level Severity) int {
	n := 0
	for _, f := range r.Findings {
		if f.Level == level {
			n++
		}
	}
	return n
}

// Check does every sum that the sheet has figures for.
func Check(s *Sheet) Report {
	c := &checker{s: s, said: map[string]bool{}}
	c.video()
	c.usb()
	c.network()
	c.power()
	c.audio()
	c.viewing()
	sort.SliceStable(c.findings, func(i, j int) bool {
		return c.findings[i].Level.rank() < c.findings[j].Level.rank()
	})
	r := Report{Room: s.ID, Title: s.Title, Surveyed: s.Surveyed, Findings: c.findings, Matrix: c.matrix}
	if r.Findings == nil {
		r.Findings = []Finding{}
	}
	if r.Matrix == nil {
		r.Matrix = []Cell{}
	}
	return r
}

type checker struct {
	s        *Sheet
	findings []Finding
	matrix   []Cell
	said     map[string]bool // texts that were said already
	steps    int             // of walks along USB cables, which are bounded
}

// about says where in the sheet a finding belongs.
type about struct {
	section, id string
	devices     []string
	cables      []string
}

func aboutDevice(ids ...string) about { return about{"devices", ids[0], ids, nil} }

func aboutCable(c *Cable) about { return about{"cables", c.ID, nil, []string{c.ID}} }

// compared are the two figures of a comparison.
type compared struct {
	need, limit float64
	unit        string
}

// say adds a finding once.
func (c *checker) say(level Severity, code string, a about, figures compared, sources []measure.Source, format string, args ...any) {
	f := Finding{Level: level, Code: code, Text: fmt.Sprintf(format, args...), Sources: sources, Devices: a.devices, Cables: a.cables,
		Need: figures.need, Limit: figures.limit, Unit: figures.unit, File: c.s.file}
	if c.said[string(level)+code+f.Text] {
		return
	}
	c.said[string(level)+code+f.Text] = true
	f.Line, _ = c.s.at(a.section, a.id)
	if f.Sources == nil {
		f.Sources = []measure.Source{}
	}
	c.findings = append(c.findings, f)
}

// none is for findings that compare nothing.
var none = compared{}

// src names check values that share the words of their source.
func src(words string, ids ...string) []measure.Source {
	var list []measure.Source
	for _, id := range ids {
		list = append(list, measure.Source{CheckValue: id, Words: words})
	}
	return list
}

// missing says which figure is not written, so that the sum cannot be done.
func (c *checker) missing(code string, a about, format string, args ...any) {
	c.say(Unknown, code, a, none, nil, format, args...)
}
