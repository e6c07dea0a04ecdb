package call

import (
	"fmt"
	"strings"

	"faultbook/diagnose/measure"
	"faultbook/diagnose/measure/sums"
)

// SumInputs describes what the sum of that name is told, with what is known
// already; false where there is no such sum.
func (c *Call) SumInputs(name string) ([]Input, bool) {
	sum, ok := sums.Find(name)
	if !ok {
		return nil, false
	}
	return c.view().inputs(sum), true
}

// sum asks which sum and for its inputs, and does it.
func (t *Terminal) sum(o Out) (Out, error) {
	name, prompt := "", "Sum (empty lists all): "
	if o.Step.Kind == StepSum {
		name, prompt = o.Step.ID, fmt.Sprintf("Sum (empty for %s): ", o.Step.ID)
	}
	text, err := t.Keys.Line(prompt)
	if err != nil {
		return o, err
	}
	if text = strings.TrimSpace(text); text != "" {
		name = text
	}
	if name == "" {
		for _, sum := range sums.All() {
			t.Screen.para(fmt.Sprintf("    %-15s ", sum.Name), sum.Summary)
		}
		return o, nil
	}
	inputs, ok := t.Call.SumInputs(name)
	if !ok {
		return o, fmt.Errorf("there is no sum %q; x and an empty line list them", name)
	}
	for _, in := range inputs {
		t.Screen.para(fmt.Sprintf("    %-12s ", in.Name), inputHelp(in))
	}
	if text, err = t.Keys.Line("name=value …: "); err != nil || strings.TrimSpace(text) == "" {
		return o, err
	}
	values, err := sumValues(text, inputs)
	if err != nil {
		return o, err
	}
	return t.evidence(In{Sum: &SumIn{Name: name, Values: values}}, o)
}

func inputHelp(in Input) string {
	switch {
	case in.Known != "":
		return fmt.Sprintf("%s (known: %s)", in.Help, in.Known)
	case in.Required:
		return in.Help + " (needed)"
	case in.Default != "":
		return fmt.Sprintf("%s (else %s)", in.Help, in.Default)
	}
	return in.Help
}

// inputNames lists the inputs, in brackets those that can be left out.
func inputNames(inputs []Input) string {
	var list []string
	for _, in := range inputs {
		switch {
		case in.Known != "":
			list = append(list, fmt.Sprintf("%s (known: %s)", in.Name, in.Known))
		case in.Required:
			list = append(list, in.Name)
		default:
			list = append(list, "["+in.Name+"]")
		}
	}
	return strings.Join(list, ", ")
}

// sumValues reads "rate=HBR2 picture=1440p60, 10 bit": a word that begins with
// the name of an input opens its value, the words after it belong to it.
func sumValues(line string, inputs []Input) (measure.Values, error) {
	names := map[string]bool{}
	for _, in := range inputs {
		names[in.Name] = true
	}
	if names["format"] || names["picture"] { // see view.complete
		names["format"], names["picture"] = true, true
	}
	values, open := measure.Values{}, ""
	for _, word := range strings.Fields(line) {
		name, value, found := strings.Cut(word, "=")
		switch {
		case found && names[name]:
			open = name
			values[open] = append(values[open], value)
		case open == "":
			return nil, fmt.Errorf("%q: write name=value, with the names %s", word, inputNames(inputs))
		default:
			last := len(values[open]) - 1
			values[open][last] = strings.TrimSpace(values[open][last] + " " + word)
		}
	}
	return values, nil
}

// evidence gives a reading or a sum to the call and shows what it said.
func (t *Terminal) evidence(in In, o Out) (Out, error) {
	if in.Sum == nil && in.Read == "" {
		return o, nil
	}
	next, err := t.Call.Do(in)
	if err == nil {
		t.Screen.Evidence(next.Evidence[len(next.Evidence)-1])
	}
	return next, err
}

// Evidence prints what a reading or a sum said and what follows from it.
func (s *Screen) Evidence(e Evidence) {
	s.line("")
	s.line("  %s %s", map[string]string{"read": "File", "sum": "Sum"}[e.From], e.Name)
	for _, line := range e.Text {
		s.para("    ", line)
	}
	for _, a := range e.Answers {
		s.para("    So: ", fmt.Sprintf("%s: %s", a.Title, a.Label))
	}
	if len(e.Answers) == 0 {
		s.line("    It answers no question of the book.")
	}
}
