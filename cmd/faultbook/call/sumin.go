package call

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/sums"
	"faultbook/kb/cases"
)

// SumIn is a sum with its inputs, as text with units. In JSON it is one object:
// {"name":"dock","rate":"HBR2","lanes":2,"picture":["2160p60"]}; values are
// strings, numbers, true and false for yes and no, or lists of them.
type SumIn struct {
	Name   string
	Values measure.Values
}

// UnmarshalJSON reads the object; numbers stay as they are written.
func (s *SumIn) UnmarshalJSON(data []byte) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	var raw map[string]any
	if err := dec.Decode(&raw); err != nil {
		return fmt.Errorf(`sum: write an object such as {"name":"dock","rate":"HBR2"}: %w`, err)
	}
	name, ok := raw["name"].(string)
	if !ok {
		return errors.New(`sum: "name" must be the name of a sum, such as "dock"`)
	}
	delete(raw, "name")
	*s = SumIn{Name: name, Values: measure.Values{}}
	for key, value := range raw {
		texts, err := inputTexts(value)
		if err != nil {
			return fmt.Errorf("sum %s: %s: %w", name, key, err)
		}
		s.Values[key] = texts
	}
	return nil
}

// inputTexts turns a JSON value into the texts of an input.
func inputTexts(value any) ([]string, error) {
	switch value := value.(type) {
	case string:
		return []string{value}, nil
	case json.Number:
		return []string{value.String()}, nil
	case bool:
		if value {
			return []string{"yes"}, nil
		}
		return []string{"no"}, nil
	case []any:
		var all []string
		for _, item := range value {
			if _, nested := item.([]any); nested {
				return nil, errors.New("a list in a list; write one list of strings or numbers")
			}
			texts, err := inputTexts(item)
			if err != nil {
				return nil, err
			}
			all = append(all, texts...)
		}
		return all, nil
	}
	return nil, errors.New("write a string, a number or a list of them")
}

// MarshalJSON writes the object that UnmarshalJSON reads.
func (s SumIn) MarshalJSON() ([]byte, error) {
	raw := map[string]any{}
	for key, texts := range s.Values {
		raw[key] = append([]string{}, texts...) // never null
		if len(texts) == 1 {
			raw[key] = texts[0]
		}
	}
	raw["name"] = s.Name
	return json.Marshal(raw)
}

// sumEvent does the sum and keeps what came of it.
func (c *Call) sumEvent(v *view, in SumIn) (cases.Event, error) {
	sum, ok := sums.Find(in.Name)
	if !ok {
		hint := ""
		if near := measure.Nearest(in.Name, measure.Names()); near != "" {
			hint = fmt.Sprintf("; did you mean %s?", near)
		}
		return cases.Event{}, fmt.Errorf("there is no sum %q%s (`faultbook calc` lists them)", in.Name, hint)
	}
	r, err := sum.Run(v.complete(sum, in.Values))
	if err != nil {
		return cases.Event{}, fmt.Errorf("sum %s: %s", sum.Name, oneLine(err))
	}
	e := cases.Evidence{From: cases.FromSum, Name: sum.Name, Text: sumText(r)}
	for _, f := range r.Facts {
		e.Facts = append(e.Facts, cases.EvidenceFact{Name: f.Name, Value: f.Value, Text: r.Sentence})
	}
	return c.evidenceEvent(e)
}

// oneLine joins the faults of several inputs.
func oneLine(err error) string { return strings.Join(strings.Split(err.Error(), "\n"), "; ") }

// complete gives the values that the sum is done with: those typed, and for
// inputs that it cannot do without, what was read already. The wanted format
// is called picture by one sum and format by others; both take either word.
func (v *view) complete(sum measure.Sum, typed measure.Values) measure.Values {
	has := map[string]bool{}
	for _, in := range sum.Inputs {
		has[in.Name] = true
	}
	values := measure.Values{}
	for name, texts := range typed {
		for _, pair := range [][2]string{{"format", "picture"}, {"picture", "format"}} {
			if name == pair[0] && !has[name] && has[pair[1]] {
				name = pair[1]
				break
			}
		}
		values[name] = append(values[name], texts...)
	}
	for _, in := range v.inputs(sum) {
		if in.Required && in.Known != "" && strings.TrimSpace(strings.Join(values[in.Name], "")) == "" {
			values[in.Name] = []string{in.Known}
		}
	}
	return values
}

// sumText is a result in lines: verdict, what went in, what came out, the
// parts of a chain that give way, and the sources.
func sumText(r measure.Result) []string {
	lines := []string{fmt.Sprintf("%s: %s", r.Verdict, r.Sentence)}
	add := func(label, join string, list []string) {
		if len(list) > 0 {
			lines = append(lines, label+": "+strings.Join(list, join))
		}
	}
	add("Given", ", ", quantities(r.Inputs))
	add("Figures", ", ", quantities(r.Outputs))
	var parts []string
	for _, p := range r.Parts {
		if p.Judged && !p.OK {
			parts = append(parts, fmt.Sprintf("%s (%s of %s)", p.Label, measure.Show(p.Need, "", 3), measure.Show(p.Capacity, p.Unit, 3)))
		}
	}
	add("Too much for", ", ", parts)
	var sources []string
	for _, s := range r.Sources {
		sources = append(sources, fmt.Sprintf("%s (%s)", s.CheckValue, s.Words))
	}
	add("Check values", ", ", sources)
	add("Note", "; ", r.Notes)
	return lines
}

func quantities(list []measure.Quantity) []string {
	var out []string
	for _, q := range list {
		out = append(out, strings.ReplaceAll(q.Name, "_", " ")+" "+q.Text)
	}
	return out
}
