package sums

import (
	"errors"
	"strings"
	"testing"

	"faultbook/diagnose/measure"
)

// FuzzSums does any sum with any inputs, a line `name=value` each, and what the
// sum cannot do without filled in from its example: the inputs at fault are
// named, or the result is sound.
func FuzzSums(f *testing.F) {
	for i, s := range All() {
		f.Add(uint8(i), strings.Join(exampleInputs(s), "\n"))
		f.Add(uint8(i), "")
		for _, in := range s.Inputs {
			f.Add(uint8(i), in.Name+"=1e308\n"+in.Name+"=-0")
		}
	}
	f.Fuzz(func(t *testing.T, n uint8, lines string) {
		s := All()[int(n)%len(All())]
		v := measure.Values{}
		for _, line := range append(strings.Split(lines, "\n"), exampleInputs(s)...) {
			name, value, _ := strings.Cut(line, "=")
			if len(v[name]) < 8 && (len(v[name]) == 0 || strings.Contains(lines, line)) {
				v[name] = append(v[name], value)
			}
		}
		r, err := s.Run(v)
		var at *measure.InputError
		switch {
		case err == nil:
			sound(t, s, r)
		case err.Error() == "" || !errors.As(err, &at):
			t.Fatalf("%s %v: no input is named: %v", s.Name, v, err)
		}
	})
}

// exampleInputs are the inputs of the example, as name=value.
func exampleInputs(s measure.Sum) []string {
	var list []string
	words := strings.Split(s.Example, " --")
	for _, w := range words[1:] {
		name, value, _ := strings.Cut(strings.ReplaceAll(w, "=", " "), " ")
		list = append(list, name+"="+strings.Trim(value, `"' `))
	}
	return list
}
