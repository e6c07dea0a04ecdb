package page

import (
	"errors"
	"net/http"
	"net/url"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/sums"
)

// sumScreen has a form for each sum, made from the description of its inputs.
func (s *Server) sumScreen() screen {
	return screen{Path: "/sums", Label: "Sums", Routes: []route{
		{Pattern: "GET /sums", Do: s.listSums},
		{Pattern: "GET /sums/{name}", Do: s.sum},
		{Pattern: "POST /sums/{name}", Do: s.attachSum},
	}}
}

// sumPage is a sum with what was typed and what came of it.
type sumPage struct {
	Name, Title string
	Fields      []field
	Example     string // address of the page with the example filled in
	Faults      []string
	Result      *sumResult
	Case        string
	Calls       []choice // open calls that the result can be taken into
	Notice      string
}

// field is one input in the form.
type field struct {
	Name, Label, Help, Unit, Value, Place, Fault string
	Words                                        []choice
	Many, Required                               bool
}

func (s *Server) listSums(v *visit) error {
	var rows []item
	for _, sum := range sums.All() {
		rows = append(rows, item{ID: sum.Name, Text: capital(sum.Summary), Href: "/sums/" + sum.Name})
	}
	return s.render(v, "sums", "Sums", rows)
}

func capital(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

func (s *Server) sum(v *visit) error {
	page, err := s.sumPage(v)
	if err != nil {
		return err
	}
	if v.part() {
		return s.renderPart(v, http.StatusOK, "sum", "result", page)
	}
	return s.render(v, "sum", page.Title, page)
}

// sumPage reads what was typed, and does the sum where anything was.
func (s *Server) sumPage(v *visit) (*sumPage, error) {
	sum, ok := sums.Find(v.r.PathValue("name"))
	if !ok {
		return nil, missing("There is no sum %q.", v.r.PathValue("name"))
	}
	page := &sumPage{Name: sum.Name, Title: capital(sum.Summary), Example: exampleHref(sum), Case: v.value("case"), Calls: s.callChoices(v)}
	values := sumValues(sum, v)
	faults := map[string]string{}
	if len(values) > 0 {
		r, err := sum.Run(values)
		if err == nil {
			page.Result = newSumResult(r)
		}
		page.Faults = inputFaults(err, faults)
	}
	for _, in := range sum.Inputs {
		page.Fields = append(page.Fields, newField(in, values[in.Name], faults[in.Name]))
	}
	return page, nil
}

// sumValues are the inputs as typed; one that may be given several times has a
// line for each.
func sumValues(sum measure.Sum, v *visit) measure.Values {
	const most = 4000
	values := measure.Values{}
	for _, in := range sum.Inputs {
		text := strings.ToValidUTF8(v.value(in.Name), "")
		text = strings.ToValidUTF8(text[:min(len(text), most)], "")
		for line := range strings.Lines(text) {
			if line = strings.TrimSpace(line); line != "" {
				values[in.Name] = append(values[in.Name], line)
			}
		}
	}
	return values
}

// inputFaults puts what is wrong beside the inputs; what is about none of them
// is returned.
func inputFaults(err error, faults map[string]string) (rest []string) {
	if err == nil {
		return nil
	}
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range joined.Unwrap() {
			rest = append(rest, inputFaults(e, faults)...)
		}
		return rest
	}
	var bad *measure.InputError
	if !errors.As(err, &bad) {
		return []string{sentence(err.Error())}
	}
	if faults[bad.Input] != "" {
		faults[bad.Input] += " "
	}
	faults[bad.Input] += sentence(bad.Err.Error())
	return nil
}

func newField(in measure.Input, values []string, fault string) field {
	f := field{Name: in.Name, Label: capital(strings.ReplaceAll(in.Name, "-", " ")), Help: capital(in.Help), Unit: in.Unit,
		Value: strings.Join(values, "\n"), Place: in.Default, Fault: fault, Many: in.Many, Required: in.Required}
	if len(in.Words) == 0 {
		return f
	}
	if !in.Required {
		f.Words = append(f.Words, choice{"", orWord(in.Default, "not given"), false})
	}
	for _, w := range in.Words {
		f.Words = append(f.Words, choice{w, w, w == f.Value})
	}
	return f
}

func orWord(text, other string) string {
	if text == "" {
		return other
	}
	return "as usual: " + text
}

// exampleHref is the address of the form with the example of the sum filled
// in. The example is written as a command: --input "value" …
func exampleHref(sum measure.Sum) string {
	query := url.Values{}
	words := commandWords(sum.Example)
	for i := 0; i+1 < len(words); i++ {
		if name, ok := strings.CutPrefix(words[i], "--"); ok {
			if old := query.Get(name); old != "" {
				query.Set(name, old+"\n"+words[i+1])
			} else {
				query.Set(name, words[i+1])
			}
		}
	}
	return "/sums/" + sum.Name + "?" + query.Encode()
}

// commandWords splits a command at its spaces, double quotes kept together.
func commandWords(text string) []string {
	var list []string
	for i, part := range strings.Split(text, `"`) {
		if i%2 == 1 {
			list = append(list, part)
		} else {
			list = append(list, strings.Fields(part)...)
		}
	}
	return list
}

// callChoices are the open calls that this browser may add to.
func (s *Server) callChoices(v *visit) []choice {
	var list []choice
	for _, r := range s.calls.rows(v) {
		if !r.Mine && !r.Free {
			continue
		}
		label := r.ID
		if r.Words != "" {
			label = r.Words
		}
		list = append(list, choice{r.ID, label, r.ID == v.value("case")})
	}
	return list
}

// attachSum does the sum within an open call, which takes its facts over.
func (s *Server) attachSum(v *visit) error {
	page, err := s.sumPage(v)
	if err != nil {
		return err
	}
	if page.Result == nil {
		return s.renderStatus(v, http.StatusUnprocessableEntity, "sum", page.Title, page)
	}
	sum, _ := sums.Find(page.Name) // sumPage found it
	in := call.In{Sum: &call.SumIn{Name: page.Name, Values: sumValues(sum, v)}}
	err = s.caseLocked(page.Case, func(o *openCall) error {
		return o.do(s.desk(), v, input{in: in, anyTime: true})
	})
	var p problem
	if errors.As(err, &p) {
		page.Notice = p.text
		return s.renderStatus(v, p.status, "sum", page.Title, page)
	}
	if err != nil {
		return err
	}
	return v.redirect("/call/" + page.Case)
}
