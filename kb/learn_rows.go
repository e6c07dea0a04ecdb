package kb

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"gopkg.in/yaml.v3"
)

// Seen is one answer of a closed call whose cause is known.
type Seen struct {
	Symptom, Cause  string
	Question, Value string
	Who             Who  // who looked
	Instrument      bool // a reading or a sum said it
}

// Contradicted is a row of a cause that closed calls contradict: an answer was
// given much more, or much less, often than the row says. It is a proposal for
// an author; nothing is changed by it.
type Contradicted struct {
	Cause    string `json:"cause"`
	Question string `json:"question"`
	// Answer is the one that deviates most.
	Answer string `json:"answer"`
	Given  int    `json:"given"` // calls that gave it
	Calls  int    `json:"calls"` // calls with the cause in which the question was answered
	// Expected is how often the row lets the answer be given, misreadings
	// included, 0..1.
	Expected float64 `json:"expected"`
	// P is the chance of a deviation at least as unlikely, if the row is right:
	// the two-sided exact binomial test.
	P    float64 `json:"p"`
	File string  `json:"file"`
	Now  string  `json:"now"` // the line of the entry as it stands
	New  string  `json:"new"` // and as the calls would have it
}

// The bounds of Contradictions.
const (
	// RowCalls is how many answers a row needs before it is tested.
	RowCalls = 8
	// RowLevel is the level of the tests of all rows together: each one is held
	// against RowLevel divided by their number (Bonferroni), so that a book that
	// is right is contradicted in at most one report in twenty.
	RowLevel = 0.05
)

// Contradictions tests every row of a cause on which enough closed calls bear,
// each answer of its question by the two-sided exact binomial test, and gives
// the rows that fail, the clearest first; tested is the number of tests.
//
// A row that a symptom overrules is not tested by the calls of that symptom.
// Where a remedy and not the agent named the cause, the answers helped to find
// it, so the test is milder on the row than it looks: what it reports stands.
func Contradictions(b *Book, seen []Seen) (list []Contradicted, tested int) {
	tallies := tallyRows(b, seen)
	keys := make([]rowKey, 0, len(tallies))
	for k, t := range tallies {
		if t.calls >= RowCalls {
			keys = append(keys, k)
			tested += len(t.given)
		}
	}
	sort.Slice(keys, func(i, j int) bool {
		a, b := keys[i], keys[j]
		return a.cause < b.cause || a.cause == b.cause && a.question < b.question
	})
	list = []Contradicted{}
	for _, k := range keys {
		if c, ok := tallies[k].contradiction(b, k, RowLevel/float64(tested)); ok {
			list = append(list, c)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].P < list[j].P })
	return list, tested
}

type rowKey struct{ cause, question string }

// rowTally sums what the calls say about one row: how often each answer was
// given, and by whom.
type rowTally struct {
	row      Row
	question *Question
	calls    int
	given    []int  // by answer
	by       [3]int // callers, technicians, instruments
}

func tallyRows(b *Book, seen []Seen) map[rowKey]*rowTally {
	tallies := map[rowKey]*rowTally{}
	for _, s := range seen {
		q, row := Get[Question](b, s.Question), rowOf(b, s)
		if q == nil || row == nil || !q.Has(s.Value) {
			continue
		}
		k := rowKey{s.Cause, s.Question}
		if tallies[k] == nil {
			tallies[k] = &rowTally{row: row, question: q, given: make([]int, len(q.Answers))}
		}
		tallies[k].take(s)
	}
	return tallies
}

// rowOf is the row of the cause for the question, nil where it has none or the
// symptom's own row stands in its place.
func rowOf(b *Book, s Seen) Row {
	cause, symptom := Get[Cause](b, s.Cause), Get[Symptom](b, s.Symptom)
	if cause == nil || symptom == nil {
		return nil
	}
	for _, t := range symptom.Tells {
		if t.Question == s.Question {
			return nil
		}
	}
	for _, t := range cause.Tells {
		if t.Question == s.Question {
			return t.Row
		}
	}
	return nil
}

func (t *rowTally) take(s Seen) {
	t.calls++
	t.given[t.question.answer(s.Value)]++
	switch {
	case s.Instrument:
		t.by[2]++
	case s.Who == WhoTechnician:
		t.by[1]++
	default:
		t.by[0]++
	}
}

// trust is how far the answers are believed, on average.
func (t *rowTally) trust() float64 {
	each := [...]float64{t.question.Trust(WhoCaller), t.question.Trust(WhoTechnician), SenseInstrument.reliability()}
	sum := 0.0
	for i, r := range each {
		sum += r * float64(t.by[i])
	}
	return sum / float64(t.calls)
}

// expected is how often each answer is given by the row, misreadings included.
func (t *rowTally) expected() []float64 {
	trust, base := t.trust(), t.question.DefaultRow()
	row := t.question.FullRow(t.row)
	for a := range row {
		row[a] = trust*row[a] + (1-trust)*base[a]
	}
	return row
}

// contradiction reports the answer with the smallest p, where that is below
// the level. Calls with different trust are tested at their mean chance.
func (t *rowTally) contradiction(b *Book, k rowKey, level float64) (Contradicted, bool) {
	best, least, expected := -1, level, t.expected()
	flagged := make([]bool, len(t.given))
	for a := range t.given {
		p := BinomialTest(t.given[a], t.calls, expected[a])
		flagged[a] = p < level
		if p < least {
			best, least = a, p
		}
	}
	if best < 0 {
		return Contradicted{}, false
	}
	q := t.question
	return Contradicted{Cause: k.cause, Question: k.question, Answer: q.Answers[best].Value, Given: t.given[best], Calls: t.calls,
		Expected: expected[best], P: least, File: b.File(Get[Cause](b, k.cause)),
		Now: tellLine(k.question, t.row), New: tellLine(k.question, t.proposed(flagged))}, true
}

// proposed is the row with the answers that deviate set to what the calls say,
// as the nearest words of the scale. Answers that are rarer than the row's own
// rest are not added to it.
func (t *rowTally) proposed(flagged []bool) Row {
	var row Row
	expected := t.expected()
	for _, s := range t.row {
		if i := t.question.answer(s.Answer); i >= 0 && flagged[i] {
			s.Chance = t.observed(i)
		}
		row = append(row, s)
	}
	for i, a := range t.question.Answers {
		if flagged[i] && !hasAnswer(t.row, a.Value) && float64(t.given[i]) > expected[i]*float64(t.calls) {
			row = append(row, Share{a.Value, t.observed(i)})
		}
	}
	return fitting(row)
}

func hasAnswer(row Row, value string) bool {
	for _, s := range row {
		if s.Answer == value {
			return true
		}
	}
	return false
}

// observed is the share in which the answer was given, freed of misreadings,
// as the nearest word of the scale.
func (t *rowTally) observed(answer int) Chance {
	n, trust := float64(t.calls), t.trust()
	share := (float64(t.given[answer])/n - (1-trust)*t.question.DefaultRow()[answer]) / trust
	best, distance := Chance(0), math.Inf(1)
	for _, s := range likelihoods() {
		if d := math.Abs(s.figure - share); d < distance {
			best, distance = Chance(s.figure), d
		}
	}
	return best
}

// fitting makes figures of a row that would sum to more than one: the words
// were chosen one by one.
func fitting(row Row) Row {
	sum := 0.0
	for _, s := range row {
		sum += float64(s.Chance)
	}
	if sum <= 1 {
		return row
	}
	for i := range row {
		row[i].Chance = Chance(math.Floor(100*float64(row[i].Chance)/sum) / 100)
	}
	return row
}

// BinomialTest is the two-sided exact binomial test: the chance that n trials
// with chance p each give a number of successes that is at most as likely as k
// (the sum of the point chances up to that of k; the definition of two-sided
// that statistics programs use, from memory). k from 0 to n, p from 0 to 1.
func BinomialTest(k, n int, p float64) float64 {
	if p <= 0 || p >= 1 {
		if float64(k) == p*float64(n) {
			return 1
		}
		return 0
	}
	limit := logBinomial(k, n, p) + 1e-7 // chances that are equal but for rounding count
	sum := 0.0
	for i := 0; i <= n; i++ {
		if l := logBinomial(i, n, p); l <= limit {
			sum += math.Exp(l)
		}
	}
	return math.Min(1, sum)
}

// logBinomial is the logarithm of the chance of just k successes.
func logBinomial(k, n int, p float64) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p)
}

// tellLine is a row as it stands in an entry.
func tellLine(question string, row Row) string {
	return yamlLine(Tells{{question, row}})
}

func symptomsLine(list []SymptomRef) string {
	var parts []string
	for _, s := range list {
		parts = append(parts, yamlLine(s))
	}
	return fmt.Sprintf("symptoms: [%s]", strings.Join(parts, ", "))
}

// yamlLine is a value as one line of YAML.
func yamlLine(v any) string {
	data, err := yaml.Marshal(v)
	if err != nil {
		return fmt.Sprint(v) // rows and references always marshal
	}
	return strings.TrimSpace(string(data))
}
