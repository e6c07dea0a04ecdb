package measure

import (
	"encoding/json"
	"strings"
)

// Verdict is the outcome of a sum in one word.
type Verdict string

// Verdicts. Tight means: inside what a standard allows or what arithmetic
// needs, but outside what the trade advises, so it may work today and fail
// tomorrow. Unknown means: nothing to judge by, or not decidable by this sum.
const (
	Pass    Verdict = "pass"
	Tight   Verdict = "tight"
	Fail    Verdict = "fail"
	Unknown Verdict = "unknown"
)

// Worse returns the more serious of two verdicts: fail, then unknown, then
// tight, then pass.
func Worse(a, b Verdict) Verdict {
	if rank(b) > rank(a) {
		return b
	}
	return a
}

func rank(v Verdict) int {
	switch v {
	case Fail:
		return 3
	case Unknown:
		return 2
	case Tight:
		return 1
	}
	return 0
}

// Words of sources that are not a tool or a document.
const (
	Computed = "computed"
	Practice = "common practice, no source"
)

// Source says where a rule or figure of a sum comes from: the check value's id
// and the words of its source ("computed", "from memory (IEEE 802.3 cl. 40)",
// "common practice, no source", "ran: …", "read: …").
type Source struct {
	CheckValue string `json:"check_value_id"`
	Words      string `json:"source"`
}

// Fact is an answer that a call can take over, such as format-fits = yes.
type Fact struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// Part is one row of the chart: what one member of a chain carries against
// what is asked of it, both in Unit. Capacity 0 with Judged false means that
// the part's limit is not known.
type Part struct {
	Label    string  `json:"label"`
	Capacity float64 `json:"capacity"`
	Need     float64 `json:"need"`
	Unit     string  `json:"unit"`
	OK       bool    `json:"ok"`
	Judged   bool    `json:"judged"`
	Note     string  `json:"note"`
}

// Result is what a sum returns. The first output is the result proper; the
// others are the working. Sentence is one plain sentence for the verdict.
// Rounding says how shown figures were rounded.
type Result struct {
	Name     string
	Inputs   []Quantity
	Outputs  []Quantity
	Verdict  Verdict
	Sentence string
	Formula  string
	Sources  []Source
	Facts    []Fact
	Parts    []Part
	Notes    []string
	Rounding string
}

// Main returns the first output, or an empty word if there is none.
func (r Result) Main() Quantity {
	if len(r.Outputs) == 0 {
		return Word("result", "")
	}
	return r.Outputs[0]
}

// Output returns an output by its name.
func (r Result) Output(name string) (Quantity, bool) {
	for _, q := range r.Outputs {
		if q.Name == name {
			return q, true
		}
	}
	return Quantity{}, false
}

// Fact returns the value of a fact, or "" if the sum did not settle it.
func (r Result) Fact(name string) string {
	for _, f := range r.Facts {
		if f.Name == name {
			return f.Value
		}
	}
	return ""
}

// SourceText joins the different words of all sources in order.
func (r Result) SourceText() string {
	var out []string
	seen := map[string]bool{}
	for _, s := range r.Sources {
		if !seen[s.Words] {
			seen[s.Words] = true
			out = append(out, s.Words)
		}
	}
	return strings.Join(out, "; ")
}

// MarshalJSON writes the contract of faultbook calc --json: result and unit of
// the first output beside all outputs, and lists that are never null.
func (r Result) MarshalJSON() ([]byte, error) {
	main := r.Main()
	var value any = main.Value
	if main.Unit == UnitText {
		value = main.Text
	}
	id := ""
	if len(r.Sources) > 0 {
		id = r.Sources[0].CheckValue
	}
	return json.Marshal(struct {
		Name       string     `json:"name"`
		Inputs     []Quantity `json:"inputs"`
		Result     any        `json:"result"`
		Unit       string     `json:"unit"`
		ResultName string     `json:"result_name"`
		Verdict    Verdict    `json:"verdict"`
		Sentence   string     `json:"sentence"`
		Formula    string     `json:"formula"`
		Source     string     `json:"source"`
		CheckValue string     `json:"check_value_id"`
		Sources    []Source   `json:"sources"`
		Outputs    []Quantity `json:"outputs"`
		Facts      []Fact     `json:"facts"`
		Parts      []Part     `json:"parts"`
		Notes      []string   `json:"notes"`
		Rounding   string     `json:"rounding"`
	}{
		r.Name, full(r.Inputs), value, main.Unit, main.Name, r.Verdict, r.Sentence, r.Formula,
		r.SourceText(), id, full(r.Sources), full(r.Outputs), full(r.Facts), full(r.Parts), full(r.Notes), r.Rounding,
	})
}

// full turns a nil list into an empty one, so that JSON shows [] and not null.
func full[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
