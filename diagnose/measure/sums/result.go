package sums

import (
	"fmt"

	"faultbook/diagnose/measure"
)

// result is a measure.Result while it is being filled.
type result struct {
	measure.Result
	judged bool // add has been called
}

// out adds a figure to the outputs; the first one is the result proper.
func (r *result) out(name string, value float64, unit string, places int) {
	r.Outputs = append(r.Outputs, measure.Figure(name, value, unit, places))
}

// say adds a word to the outputs.
func (r *result) say(name, format string, args ...any) {
	r.Outputs = append(r.Outputs, measure.Word(name, fmt.Sprintf(format, args...)))
}

// judge sets verdict and sentence.
func (r *result) judge(v measure.Verdict, format string, args ...any) {
	r.Verdict, r.Sentence = v, fmt.Sprintf(format, args...)
}

// add judges one more thing: the verdict becomes the worse one and the
// sentences follow one another. The first call replaces what judge has set.
func (r *result) add(v measure.Verdict, format string, args ...any) {
	if !r.judged {
		r.judged = true
		r.judge(v, format, args...)
		return
	}
	r.Verdict = measure.Worse(r.Verdict, v)
	r.Sentence += " " + fmt.Sprintf(format, args...)
}

// src names a rule: check value and the words of its source.
func (r *result) src(id, words string) {
	r.Sources = append(r.Sources, measure.Source{CheckValue: id, Words: words})
}

// note adds a remark.
func (r *result) note(format string, args ...any) {
	r.Notes = append(r.Notes, fmt.Sprintf(format, args...))
}

// fact adds a yes-or-no fact.
func (r *result) fact(name string, yes bool) {
	r.Facts = append(r.Facts, measure.Fact{Name: name, Value: yesNo(yes)})
}

// factValue adds a fact whose value is a word of its own.
func (r *result) factValue(name, value string) {
	r.Facts = append(r.Facts, measure.Fact{Name: name, Value: value})
}

// part adds a row of the chart.
func (r *result) part(label string, need, capacity float64, unit string, ok bool) {
	r.Parts = append(r.Parts, measure.Part{Label: label, Need: need, Capacity: capacity, Unit: unit, OK: ok, Judged: capacity > 0})
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// passOrFail is the verdict of a plain comparison.
func passOrFail(ok bool) measure.Verdict {
	if ok {
		return measure.Pass
	}
	return measure.Fail
}

// yes describes a yes-or-no fact.
func yesFact(name, help string) measure.FactName {
	return measure.FactName{Name: name, Values: []string{"yes", "no"}, Help: help}
}

// figure describes an input with a unit and a range.
func figure(name, unit string, low, high float64, help, fallback string) measure.Input {
	return measure.Input{Name: name, Kind: measure.KindFigure, Unit: unit, Min: low, Max: high, Help: help, Default: fallback}
}

// count describes a whole number.
func count(name string, low, high float64, help, fallback string) measure.Input {
	return measure.Input{Name: name, Kind: measure.KindCount, Min: low, Max: high, Help: help, Default: fallback}
}

// word describes one of a list of words.
func word(name string, words []string, help, fallback string) measure.Input {
	return measure.Input{Name: name, Kind: measure.KindWord, Words: words, Help: help, Default: fallback}
}

// text describes an input that the sum reads itself.
func text(name, help, fallback string) measure.Input {
	return measure.Input{Name: name, Kind: measure.KindText, Help: help, Default: fallback}
}

// required, many and bare mark an input.
func required(in measure.Input) measure.Input { in.Required = true; return in }
func many(in measure.Input) measure.Input     { in.Many = true; return in }
func bare(in measure.Input) measure.Input     { in.Bare = true; return in }

// yesNoInput describes a switch.
func yesNoInput(name, help string) measure.Input {
	return word(name, []string{"yes", "no"}, help, "no")
}

// item is one labelled figure of a repeated input.
type item struct {
	label string
	value float64
}

// figures reads a repeated input of labelled figures such as "camera=500 mA".
func figures(g *measure.Given, in measure.Input, kind string) ([]item, error) {
	var out []item
	for i, t := range g.Texts(in.Name) {
		label, rest := measure.Item(t, kind, i+1)
		value, err := measure.ReadFigure(in, rest)
		if err != nil {
			return nil, measure.BadInput(in.Name, "%w", err)
		}
		out = append(out, item{label, value})
	}
	return out, nil
}

// total adds up items.
func total(items []item) float64 {
	sum := 0.0
	for _, i := range items {
		sum += i.value
	}
	return sum
}
