package measure

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// UnitText marks a quantity that is a word and has no number.
const UnitText = "text"

// longestFigure bounds what is read as one figure, in bytes.
const longestFigure = 64

// Quantity is a named figure or word of a sum. Value is in Unit and not
// rounded beyond nine significant digits; Text is what a person reads, rounded
// to the places its sum states. For a word Unit is UnitText and Value is 0.
type Quantity struct {
	Name  string
	Value float64
	Unit  string
	Text  string
}

// MarshalJSON writes name, value (null for a word), unit and text.
func (q Quantity) MarshalJSON() ([]byte, error) {
	var value any
	if q.Unit != UnitText {
		value = q.Value
	}
	return json.Marshal(struct {
		Name  string `json:"name"`
		Value any    `json:"value"`
		Unit  string `json:"unit"`
		Text  string `json:"text"`
	}{q.Name, value, q.Unit, q.Text})
}

// Figure makes a quantity shown with at most the given decimal places.
func Figure(name string, value float64, unit string, places int) Quantity {
	return Quantity{Name: name, Value: trim(value), Unit: unit, Text: Show(value, unit, places)}
}

// Word makes a quantity that is text.
func Word(name, text string) Quantity {
	return Quantity{Name: name, Unit: UnitText, Text: text}
}

// Show writes a value with its unit and at most the given decimal places;
// zeros at the end of the fraction are left out.
func Show(value float64, unit string, places int) string {
	text := strconv.FormatFloat(value, 'f', places, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		text = "0"
	}
	if unit == "" || unit == UnitText {
		return text
	}
	if unit == "%" {
		return text + " %"
	}
	return text + " " + unit
}

// trim keeps nine significant digits: binary noise such as 11.137499999999999
// is not part of the answer.
func trim(value float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(value, 'g', 9, 64), 64)
	if err != nil || math.IsNaN(out) || math.IsInf(out, 0) {
		return 0
	}
	return out
}

// Within says whether a value is at or below its limit. A part in 10^9 above
// is taken as equal: it is the noise of binary arithmetic.
func Within(value, limit float64) bool {
	return value <= limit+math.Abs(limit)*1e-9
}

// Parse reads a figure such as "500mA", "0.5 A" or "-10 dBV" and returns it in
// the wanted unit ("A", "mA", "m", "MHz", "" for a plain count). Several
// figures in a row are added for a time: "4min 20s". Errors say what was read
// and which units fit.
func Parse(text, want string) (float64, error) {
	return parse(text, want, false)
}

// ParseBare is Parse, but a figure without a unit is taken in the wanted unit.
func ParseBare(text, want string) (float64, error) {
	return parse(text, want, true)
}

func parse(text, want string, bare bool) (float64, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, fmt.Errorf("no figure given; write one such as %s", example(want))
	}
	if len(text) > longestFigure {
		return 0, fmt.Errorf("a figure of %d characters is too long", len(text))
	}
	if want == "" {
		return parseCount(text)
	}
	dim, ok := dimensionOf(want)
	if !ok {
		return 0, fmt.Errorf("the unit %q is not known", want)
	}
	total, rest, err := parseOne(text, want, dim, bare)
	for err == nil && rest != "" {
		if dim != dimTime {
			return 0, fmt.Errorf("%q goes on after the figure; write one such as %s", text, example(want))
		}
		var more float64
		more, rest, err = parseOne(rest, want, dim, false)
		total += more
	}
	return total, err
}

// parseOne reads one number with its unit and returns what follows it.
func parseOne(text, want, dim string, bare bool) (float64, string, error) {
	number, rest := splitNumber(text)
	if number == "" {
		return 0, "", fmt.Errorf("%q is not a figure; write one such as %s", text, example(want))
	}
	value, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(value, 0) {
		return 0, "", fmt.Errorf("%q is not a figure that can be used", text)
	}
	symbol, rest := splitUnit(rest)
	if symbol == "" {
		if !bare {
			return 0, "", fmt.Errorf("%q has no unit; write %s", text, example(want))
		}
		return value, rest, nil
	}
	from, ok := findUnit(dim, symbol)
	if !ok {
		return 0, "", wrongUnit(text, symbol, dim)
	}
	to, _ := findUnit(dim, want)
	if from.symbol == to.symbol {
		return value, rest, nil
	}
	return (value*from.factor + from.offset - to.offset) / to.factor, rest, nil
}

func wrongUnit(text, symbol, dim string) error {
	if other, known := dimensionOf(symbol); known && other != dim {
		return fmt.Errorf("%q is in a unit of %s, but one of %s is wanted (%s)", text, other, dim, symbols(dim))
	}
	return fmt.Errorf("the unit %q is not known for %s; use one of %s", symbol, dim, symbols(dim))
}

func parseCount(text string) (float64, error) {
	number, rest := splitNumber(text)
	if number == "" || strings.TrimSpace(rest) != "" {
		return 0, fmt.Errorf("%q is not a plain number", text)
	}
	value, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(value, 0) {
		return 0, fmt.Errorf("%q is not a plain number", text)
	}
	return value, nil
}

// splitNumber takes sign, digits and one point from the front. Exponents,
// commas and hexadecimal are not read as numbers.
func splitNumber(text string) (number, rest string) {
	text = strings.TrimSpace(text)
	text = strings.Replace(text, "\u2212", "-", 1) // the typographic minus
	i := 0
	if i < len(text) && (text[i] == '+' || text[i] == '-') {
		i++
	}
	digits, points := 0, 0
	for ; i < len(text); i++ {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
			digits++
		case c == '.' && points == 0:
			points++
		default:
			return cut(text, i, digits)
		}
	}
	return cut(text, i, digits)
}

func cut(text string, i, digits int) (string, string) {
	if digits == 0 {
		return "", text
	}
	return text[:i], text[i:]
}

// splitUnit takes the unit from the front: everything up to the next space
// that is followed by a number, or up to the next digit of a compound time.
func splitUnit(text string) (symbol, rest string) {
	text = strings.TrimLeft(text, " \t")
	for i, r := range text {
		if unicode.IsSpace(r) {
			return text[:i], strings.TrimSpace(text[i:])
		}
		// "min20s": a digit after letters starts the next figure, but mm2, m3/h do not.
		if i > 0 && r >= '0' && r <= '9' && isTimeUnit(text[:i]) {
			return text[:i], text[i:]
		}
	}
	return text, ""
}

func isTimeUnit(symbol string) bool {
	_, ok := findUnit(dimTime, symbol)
	return ok
}

// example writes a figure in a unit, for messages.
func example(want string) string {
	if want == "" {
		return "3"
	}
	if want == "%" {
		return "\"5 %\""
	}
	return "\"12 " + want + "\""
}
