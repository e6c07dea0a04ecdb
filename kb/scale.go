package kb

import (
	"fmt"
	"strconv"
	"strings"
)

// Chance is a likelihood, 0..1, written as a word of the scale or as a number.
type Chance float64

// Frequency is how common a cause is, written as a word of the scale.
type Frequency string

// step is one word of a scale with its figure.
type step struct {
	word   string
	figure float64
}

// likelihoods is the scale for tells and cures, from the surest down.
func likelihoods() []step {
	return []step{
		{"always", 0.98}, {"nearly always", 0.93}, {"usually", 0.8},
		{"often", 0.65}, {"as often as not", 0.5}, {"sometimes", 0.3},
		{"seldom", 0.12}, {"hardly ever", 0.04}, {"never", 0.01},
	}
}

// frequencies is the scale for how common a cause is, as weights.
func frequencies() []step {
	return []step{{"very common", 12}, {"common", 4}, {"occasional", 1}, {"rare", 0.25}}
}

// Weight is the prior weight of the word: very common 12, common 4,
// occasional 1, rare 0.25; 0 for a word that is not on the scale.
func (f Frequency) Weight() float64 {
	for _, s := range frequencies() {
		if s.word == string(f) {
			return s.figure
		}
	}
	return 0
}

// ParseChance reads a word of the scale or a number from 0 to 1.
func ParseChance(text string) (Chance, error) {
	text = strings.TrimSpace(text)
	for _, s := range likelihoods() {
		if s.word == text {
			return Chance(s.figure), nil
		}
	}
	if v, err := strconv.ParseFloat(text, 64); err == nil && v >= 0 && v <= 1 {
		return Chance(v), nil
	}
	return 0, fmt.Errorf("%q is no likelihood: write a number from 0 to 1 or one of %s", text, words(likelihoods()))
}

// String gives the word where the figure is on the scale, else the number.
func (c Chance) String() string {
	for _, s := range likelihoods() {
		if s.figure == float64(c) {
			return s.word
		}
	}
	return strconv.FormatFloat(float64(c), 'g', -1, 64)
}

func words(scale []step) string {
	list := make([]string, len(scale))
	for i, s := range scale {
		list[i] = s.word
	}
	return strings.Join(list, ", ")
}

// Beside gives the words of the scale next to a likelihood, the higher first;
// for a number, the words just above and below it.
func (c Chance) Beside() []Chance {
	var list []Chance
	for _, v := range beside(likelihoods(), float64(c)) {
		list = append(list, Chance(v.figure))
	}
	return list
}

// Beside gives the words of the scale next to a frequency, the higher first.
func (f Frequency) Beside() []Frequency {
	var list []Frequency
	for _, v := range beside(frequencies(), f.Weight()) {
		list = append(list, Frequency(v.word))
	}
	return list
}

// beside gives the steps just above and below a figure on a scale that goes
// down.
func beside(scale []step, figure float64) []step {
	var list []step
	for i := len(scale) - 1; i >= 0; i-- {
		if scale[i].figure > figure {
			list = append(list, scale[i])
			break
		}
	}
	for _, s := range scale {
		if s.figure < figure {
			return append(list, s)
		}
	}
	return list
}
