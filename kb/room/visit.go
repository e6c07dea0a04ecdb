package room

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"faultbook/kb"

	"gopkg.in/yaml.v3"
)

// Item is one line of the list of a verification visit.
type Item struct {
	ID    string `json:"id"` // check value, V-001 …
	Group string `json:"group"`
	Must  string `json:"must"` // what must be true
	How   string `json:"how"`
	// Expect are the room's own figures; empty where there are none.
	Expect []string `json:"expect"`
	// Weak are findings of the check that bear on it.
	Weak []string `json:"weak,omitempty"`
}

// Results of an item.
const (
	VisitOK      = "ok"
	VisitFault   = "fault"
	VisitNotDone = "not-done"
)

// Visit is what was found on one visit; it lies in the folder visits.
type Visit struct {
	// Always "visit".
	Kind string `yaml:"kind" json:"kind"`
	// The room's id.
	Room string `yaml:"room" json:"room"`
	// The day of the visit.
	Day Day `yaml:"day" json:"day"`
	// Initials of who was there.
	By string `yaml:"by" json:"by"`
	// Revision of the sheet that the list was made from.
	Revision int `yaml:"revision,omitempty" json:"revision,omitempty"`
	// How often the visit of that day was written down: the newest counts. None
	// stands for once.
	Written int `yaml:"written,omitempty" json:"written,omitempty"`
	// What was found, in the order of the list.
	Results []Result `yaml:"results" json:"results"`
}

// Result is what was found for one item.
type Result struct {
	// The check value, V-017.
	ID string `yaml:"id" json:"id"`
	// ok, fault or not-done.
	Result string `yaml:"result" json:"result"`
	// What was seen.
	Note string `yaml:"note,omitempty" json:"note,omitempty"`
}

// List is the list of a verification visit as it fits the room: what cannot be
// there is left out, and the room's own figures stand beside the rest.
func List(b *kb.Book, s *Sheet, r *Report) []Item {
	l := lister{s: s, report: r}
	var items []Item
	for _, row := range visitRows() {
		v := kb.Get[kb.Value](b, row.id)
		if v == nil || row.only != nil && !row.only(s) {
			continue
		}
		item := Item{ID: row.id, Group: strings.TrimPrefix(v.Note, "verification visit, group "), Must: v.Title, How: v.Figure, Expect: []string{}}
		if row.expect != nil {
			item.Expect = append(item.Expect, row.expect(&l)...)
		}
		for _, f := range r.Findings {
			if (f.Level == Error || f.Level == Warning) && slices.Contains(strings.Fields(row.codes), f.Code) {
				item.Weak = append(item.Weak, f.Text)
			}
		}
		items = append(items, item)
	}
	return items
}

// Result gives the result of an item, "" where the visit has none.
func (v *Visit) Result(id string) Result {
	if v != nil {
		for _, r := range v.Results {
			if r.ID == id {
				return r
			}
		}
	}
	return Result{ID: id}
}

// Change is an item whose result is not that of the visit before.
type Change struct {
	ID   string `json:"id"`
	Was  string `json:"was"`
	Is   string `json:"is"`
	Note string `json:"note,omitempty"`
}

// Compare lists what changed since the visit before; nothing for the first.
func Compare(before, now *Visit) []Change {
	list := []Change{}
	if before == nil || now == nil {
		return list
	}
	for _, r := range now.Results {
		if was := before.Result(r.ID); was.Result != r.Result && (was.Result != "" || r.Result == VisitFault) {
			list = append(list, Change{r.ID, was.Result, r.Result, r.Note})
		}
	}
	return list
}

// ParseVisit reads a visit; errors are findings as those of sheets.
func ParseVisit(data []byte, file string) (*Visit, []kb.Finding) {
	v := &Visit{}
	node, findings := kb.Strict(data, file, v)
	if node == nil {
		return nil, findings
	}
	add := func(text string) {
		findings = append(findings, kb.Finding{File: file, Line: node.Line, Column: 1, Level: kb.LevelError, Code: "bad-visit", Text: text})
	}
	if v.Kind != "visit" || v.Room == "" || v.Day.IsZero() {
		add(`a visit has "kind: visit", room and day`)
	}
	for _, r := range v.Results {
		if !slices.Contains([]string{VisitOK, VisitFault, VisitNotDone}, r.Result) {
			add(fmt.Sprintf("result %q of %s: write ok, fault or not-done", r.Result, r.ID))
		}
	}
	return v, findings
}

// Encode writes the visit as YAML.
func (v *Visit) Encode() ([]byte, error) {
	data, err := yaml.Marshal(plainVisit{"visit", v.Room, v.Day.String(), v.By, v.Revision, v.Written, v.Results})
	if err != nil {
		return nil, fmt.Errorf("write the visit: %w", err)
	}
	return data, nil
}

// plainVisit is the visit as it lies on disk.
type plainVisit struct {
	Kind     string   `yaml:"kind"`
	Room     string   `yaml:"room"`
	Day      string   `yaml:"day"`
	By       string   `yaml:"by"`
	Revision int      `yaml:"revision,omitempty"`
	Written  int      `yaml:"written,omitempty"`
	Results  []Result `yaml:"results"`
}

// VisitSchema gives the JSON Schema of a visit.
func VisitSchema(comments map[string]string) ([]byte, error) {
	return kb.SchemaOf("visit", reflect.TypeFor[Visit](), comments)
}
