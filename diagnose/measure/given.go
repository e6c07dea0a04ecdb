package measure

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Given holds the inputs of one run after they were read and checked against
// their description. Its methods never fail: what could fail was reported by
// Read.
type Given struct {
	inputs  []Input
	texts   map[string][]string
	figures map[string]float64
}

// Read checks values against the inputs of a sum: no unknown names, nothing
// required missing, units that fit, figures in range, words from the list. All
// faults are reported, in the order of the inputs.
func Read(inputs []Input, values Values) (*Given, error) {
	g := &Given{inputs: inputs, texts: map[string][]string{}, figures: map[string]float64{}}
	errs := unknownNames(inputs, values)
	for _, in := range inputs {
		texts := compact(values[in.Name])
		if len(texts) == 0 && in.Default != "" {
			texts = []string{in.Default}
		}
		if err := g.take(in, texts); err != nil {
			errs = append(errs, &InputError{Input: in.Name, Err: err})
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	return g, nil
}

func unknownNames(inputs []Input, values Values) []error {
	var names, extra []string
	for _, in := range inputs {
		names = append(names, in.Name)
	}
	for name := range values {
		if !slices.Contains(names, name) {
			extra = append(extra, name)
		}
	}
	slices.Sort(extra)
	var errs []error
	for _, name := range extra {
		errs = append(errs, BadInput(name, "this sum has no such input; it has %s", strings.Join(names, ", ")))
	}
	return errs
}

// compact drops empty texts: an empty flag is as good as none.
func compact(texts []string) []string {
	var out []string
	for _, t := range texts {
		if t = strings.TrimSpace(t); t != "" {
			out = append(out, t)
		}
	}
	return out
}

func (g *Given) take(in Input, texts []string) error {
	if len(texts) == 0 {
		if in.Required {
			return fmt.Errorf("missing; give %s", in.Help)
		}
		return nil
	}
	if len(texts) > 1 && !in.Many {
		return fmt.Errorf("given %d times (%s); give it once", len(texts), strings.Join(texts, ", "))
	}
	g.texts[in.Name] = texts
	if in.Many {
		return nil // the sum reads each text itself
	}
	switch in.Kind {
	case KindFigure, KindCount:
		value, err := ReadFigure(in, texts[0])
		if err != nil {
			return err
		}
		g.figures[in.Name] = value
	case KindWord:
		word := strings.ToLower(texts[0])
		if !slices.Contains(in.Words, word) {
			return fmt.Errorf("%q is not one of %s", texts[0], strings.Join(in.Words, ", "))
		}
		g.texts[in.Name] = []string{word}
	}
	return nil
}

// ReadFigure reads one text as the figure or count that an input describes.
func ReadFigure(in Input, text string) (float64, error) {
	read := Parse
	if in.Bare {
		read = ParseBare
	}
	value, err := read(text, in.Unit)
	if err != nil {
		return 0, err
	}
	if in.Kind == KindCount && value != math.Trunc(value) {
		return 0, fmt.Errorf("%q is not a whole number", text)
	}
	if !Within(in.Min, value) || !Within(value, in.Max) {
		return 0, fmt.Errorf("%s is out of range: %s to %s can be used", text,
			Show(in.Min, in.Unit, 6), Show(in.Max, in.Unit, 6))
	}
	return value, nil
}

// Has says whether an input was given or has a default.
func (g *Given) Has(name string) bool { return len(g.texts[name]) > 0 }

// Figure returns a figure or count in the unit of its input, 0 if not given.
func (g *Given) Figure(name string) float64 { return g.figures[name] }

// Count returns a count, 0 if not given.
func (g *Given) Count(name string) int { return int(g.figures[name]) }

// Text returns the (first) text of an input, "" if not given.
func (g *Given) Text(name string) string {
	if len(g.texts[name]) == 0 {
		return ""
	}
	return g.texts[name][0]
}

// Texts returns all texts of an input.
func (g *Given) Texts(name string) []string { return slices.Clone(g.texts[name]) }

// Quantities returns all inputs in use, in the order of the sum, for a result.
func (g *Given) Quantities() []Quantity {
	var out []Quantity
	for _, in := range g.inputs {
		for _, text := range g.texts[in.Name] {
			value, isFigure := g.figures[in.Name]
			if !isFigure {
				out = append(out, Word(in.Name, text))
				continue
			}
			out = append(out, Figure(in.Name, value, in.Unit, 6))
		}
	}
	return out
}
