package kb

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Holds reports whether a fact of that value meets v. Numbers are compared as
// numbers; a comparison never holds for a word.
func (v FactValue) Holds(value string) bool {
	op, limit, ok := v.comparison()
	if !ok {
		return v.Value == value
	}
	x, err := strconv.ParseFloat(value, 64)
	if err != nil {
		return false
	}
	switch op {
	case "<":
		return x < limit
	case "<=":
		return x <= limit
	case ">":
		return x > limit
	}
	return x >= limit
}

// comparison splits ">=1000" into operator and number; ok is false for a word.
func (v FactValue) comparison() (op string, limit float64, ok bool) {
	for _, op := range []string{"<=", ">=", "<", ">"} {
		if rest, found := strings.CutPrefix(v.Value, op); found {
			limit, err := strconv.ParseFloat(strings.TrimSpace(rest), 64)
			return op, limit, err == nil
		}
	}
	return "", 0, false
}

// Needs are the facts of the row, its own first.
func (m Measured) Needs() []FactValue {
	return append([]FactValue{{m.Fact, m.Value}}, m.And...)
}

// Answered gives the answer that follows from facts, by name, and the names of
// those that it rests on; ok is false where they say nothing about q.
func (q *Question) Answered(facts map[string]string) (answer string, by []string, ok bool) {
	for _, m := range q.Measured {
		by = by[:0]
		for _, need := range m.Needs() {
			if value, known := facts[need.Fact]; known && need.Holds(value) {
				by = append(by, need.Fact)
			}
		}
		if len(by) == 1+len(m.And) && q.Has(m.Answer) {
			return m.Answer, by, true
		}
	}
	return "", nil, false
}

// measured checks the rows of a question as far as the book alone tells.
func (c *checker) measured(q *Question) {
	for _, m := range q.Measured {
		if q.answer(m.Answer) < 0 {
			c.fail("unknown-answer", fmt.Sprintf("there is no answer %q", m.Answer), "measured", m.Answer)
		}
		for _, need := range m.Needs() {
			if _, _, ok := need.comparison(); !ok && strings.ContainsAny(need.Value[:min(1, len(need.Value))], "<>") {
				c.fail("bad-comparison", fmt.Sprintf("value %q: write a word, or <, <=, > or >= and a number", need.Value), "measured", m.Value)
			}
			if need.Fact == "" || need.Value == "" {
				c.fail("bare-fact", "a fact needs its name and `value`", "measured", m.Value)
			}
		}
	}
}

// Instruments is what readings and sums can say; the book knows neither of
// them, so it is told.
type Instruments struct {
	// Facts by name.
	Facts map[string]FactKind
	// Sums by name.
	Sums []string
}

// FactKind is what a fact can be: a number, one of Values, or any text.
type FactKind struct {
	Number bool
	Values []string
}

// CheckMeasured warns of facts, values and sums that no reading or sum knows:
// such a row can never hold.
func CheckMeasured(b *Book, known Instruments) []Finding {
	c := &checker{book: b, used: map[key]bool{}}
	names := sortedKeys(keysOf(known.Facts))
	for _, q := range All[Question](b) {
		c.entry = q
		if q.Sum != "" && !slices.Contains(known.Sums, q.Sum) {
			c.warn("unknown-sum", fmt.Sprintf("there is no sum %q%s", q.Sum, nearest(q.Sum, known.Sums)), "sum")
		}
		for _, m := range q.Measured {
			for _, need := range m.Needs() {
				c.fact(need, m.Value, known.Facts, names)
			}
		}
	}
	SortFindings(c.findings)
	return c.findings
}

func keysOf(facts map[string]FactKind) map[string]bool {
	set := map[string]bool{}
	for name := range facts {
		set[name] = true
	}
	return set
}

// fact warns at the row, which is found by its value.
func (c *checker) fact(v FactValue, row string, facts map[string]FactKind, names []string) {
	kind, ok := facts[v.Fact]
	_, _, compares := v.comparison()
	switch {
	case !ok:
		c.warn("unknown-fact", fmt.Sprintf("no reading or sum gives the fact %q%s", v.Fact, nearest(v.Fact, names)), "measured", row)
	case compares && !kind.Number:
		c.warn("unknown-fact-value", fmt.Sprintf("the fact %q is no number, so nothing is %s", v.Fact, v.Value), "measured", row)
	case !compares && len(kind.Values) > 0 && !slices.Contains(kind.Values, v.Value):
		c.warn("unknown-fact-value", fmt.Sprintf("the fact %q is never %q: it is one of %s", v.Fact, v.Value, strings.Join(kind.Values, ", ")), "measured", row)
	case !compares && kind.Number && !isNumber(v.Value):
		c.warn("unknown-fact-value", fmt.Sprintf("the fact %q is a number, never %q", v.Fact, v.Value), "measured", row)
	}
}

func isNumber(text string) bool {
	_, err := strconv.ParseFloat(text, 64)
	return err == nil
}
