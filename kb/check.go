package kb

import (
	"fmt"
	"regexp"
	"sort"
	"strings"
)

// Check looks at the book as a whole: references, rows, cycles, safety and
// what authors are advised. Findings are sorted.
func Check(b *Book) []Finding {
	c := &checker{book: b, used: map[key]bool{}}
	for _, k := range Kinds() {
		for _, id := range b.IDs(k) {
			e := b.entries[key{k, id}]
			c.entry = e
			c.common(e.head())
			c.kind(e)
			c.prose(e)
			c.safety(e)
		}
	}
	c.cycles()
	c.unused()
	SortFindings(c.findings)
	return c.findings
}

type checker struct {
	book     *Book
	entry    Entry
	used     map[key]bool
	findings []Finding

	hazardList wordlist // see hazardWords
}

// add reports at the place of the path in the entry at hand.
func (c *checker) add(level Level, code, text string, path ...string) {
	o := c.book.origins[key{c.entry.head().Kind, c.entry.head().ID}]
	line, column := o.at(path...)
	c.findings = append(c.findings, Finding{File: o.file, Line: line, Column: column, Level: level, Code: code, Text: text})
}

func (c *checker) fail(code, text string, path ...string) { c.add(LevelError, code, text, path...) }
func (c *checker) warn(code, text string, path ...string) { c.add(LevelWarning, code, text, path...) }

func (c *checker) common(h *Head) {
	if h.Title == "" {
		c.fail("no-title", "no title: write one line that names it")
	}
	if h.State != "" && h.State != "draft" && h.State != "checked" {
		c.fail("bad-state", fmt.Sprintf("state %q: write draft or checked", h.State), "state")
	}
	if by := Initials(h.By); by != "" && by == Initials(h.Checked) {
		c.fail("own-check", fmt.Sprintf("checked by its author %s: somebody else must check it", by), "checked")
	}
	switch h.Kind {
	case KindCause, KindRemedy, KindCaution, KindValue, KindPractice:
		if len(h.Source) == 0 {
			c.warn("no-source", "no source: name a check value, a standard with its clause, or \"common practice, no source\"")
		}
	}
	for _, s := range h.Source {
		if checkValueID.MatchString(s) {
			c.ref(KindValue, s, "source", s)
		}
	}
}

// Initials takes the initials out of a line such as "ab 2026-11-25", in small
// letters; "" where there are none.
func Initials(by string) string {
	f := strings.Fields(strings.ToLower(by))
	if len(f) == 0 {
		return ""
	}
	return f[0]
}

// checkValueID is what marks a source as the id of a value entry.
var checkValueID = regexp.MustCompile(`^[A-Z]-\d{3}$`)

// ref reports an id that does not exist and notes one that does as used.
func (c *checker) ref(k Kind, id string, path ...string) bool {
	if _, ok := c.book.entries[key{k, id}]; !ok {
		c.fail("unknown-"+string(k), fmt.Sprintf("there is no %s %q%s", k, id, nearest(id, c.book.IDs(k))), path...)
		return false
	}
	c.used[key{k, id}] = true
	return true
}

func (c *checker) refs(k Kind, ids []string, path string) {
	for _, id := range ids {
		c.ref(k, id, path, id)
	}
}

func (c *checker) kind(e Entry) {
	switch e := e.(type) {
	case *Cause:
		c.cause(e)
	case *Symptom:
		c.symptom(e)
	case *Question:
		c.question(e)
	case *Remedy:
		c.remedy(e)
	case *Handover:
		if e.Minutes <= 0 || e.Say == "" {
			c.fail("bad-handover", "a handover needs minutes above zero and what to say")
		}
	case *Rule:
		c.rule(e)
	case *Caution:
		if e.Say == "" || e.Defer == "" {
			c.fail("bad-caution", "a caution needs what to say and the standard to defer to")
		}
	case *Words:
		if len(e.Same) < 2 {
			c.fail("bad-words", "a group needs at least two words", "same")
		}
	case *Practice:
		c.refs(KindCaution, e.Cautions, "cautions")
	}
}

func (c *checker) cause(e *Cause) {
	if e.Why == "" || e.Plain == "" {
		c.fail("bare-cause", "a cause needs `why` and `plain`")
	}
	if e.Frequency.Weight() == 0 {
		c.fail("bad-frequency", fmt.Sprintf("frequency %q: write one of %s", e.Frequency, words(frequencies())), "frequency")
	}
	if len(e.Symptoms) == 0 {
		c.fail("no-symptom", "belongs to no symptom, so no call can reach it")
	}
	for _, s := range e.Symptoms {
		c.ref(KindSymptom, s.ID, "symptoms", s.ID)
		if s.Frequency != "" && s.Frequency.Weight() == 0 {
			c.fail("bad-frequency", fmt.Sprintf("frequency %q: write one of %s", s.Frequency, words(frequencies())), "symptoms", s.ID)
		}
	}
	c.tells(e.Tells)
	for _, t := range e.Tells {
		if q := Get[Question](c.book, t.Question); q != nil {
			c.reversed(q, t.Row)
		}
	}
	if len(e.Tells) < 3 {
		c.warn("few-tells", fmt.Sprintf("%d questions bear on it: three are needed to tell it from its neighbours", len(e.Tells)), "tells")
	}
	c.ref(KindHandover, e.Owner, "owner")
	c.cures(e)
	c.refs(KindPart, e.Parts, "parts")
	c.refs(KindCaution, e.Cautions, "cautions")
	c.refs(KindCause, e.Related, "related")
	c.refs(KindCause, e.Joint, "joint")
}

func (c *checker) cures(e *Cause) {
	if len(e.Remedies) == 0 {
		c.fail("no-remedy", "has no remedy: name at least what its owner does")
	}
	best, seen := Chance(0), map[string]bool{}
	for _, r := range e.Remedies {
		if seen[r.ID] {
			c.fail("remedy-twice", fmt.Sprintf("remedy %q stands twice", r.ID), "remedies", r.ID)
		}
		seen[r.ID] = true
		c.ref(KindRemedy, r.ID, "remedies", r.ID)
		best = max(best, r.CureChance())
	}
	if len(e.Remedies) > 0 && best < 0.65 {
		c.warn("weak-remedies", "no remedy cures it often or better", "remedies")
	}
}

// CureChance is the authored chance of curing, "usually" where none is given.
func (r Cure) CureChance() Chance {
	if r.Cures == 0 {
		return 0.8
	}
	return r.Cures
}

// tells checks rows: question and answers exist, no row above one.
func (c *checker) tells(list Tells) {
	for _, t := range list {
		if !c.ref(KindQuestion, t.Question, "tells", t.Question) {
			continue
		}
		q := Get[Question](c.book, t.Question)
		sum := 0.0
		for _, s := range t.Row {
			if q.answer(s.Answer) < 0 {
				c.fail("unknown-answer", fmt.Sprintf("question %s has no answer %q%s", q.ID, s.Answer, nearest(s.Answer, q.values())), "tells", t.Question, s.Answer)
			}
			sum += float64(s.Chance)
		}
		if len(t.Row) == 0 {
			c.fail("empty-row", "the row is empty: give an answer with its likelihood, or leave the question out", "tells", t.Question)
		}
		if sum > 1+1e-9 {
			c.fail("row-over-one", fmt.Sprintf("the row sums to %.3g, it must not be above 1: lower a word", sum), "tells", t.Question)
		}
	}
}

func (c *checker) symptom(e *Symptom) {
	if len(e.Words) < 15 {
		c.warn("few-words", fmt.Sprintf("%d phrasings of callers: 15 are wanted", len(e.Words)), "words")
	}
	if len(e.Workarounds) == 0 {
		c.warn("no-workaround", "no workaround: what gets the meeting going now?")
	}
	c.refs(KindCause, e.Order, "order")
	c.refs(KindQuestion, e.Questions, "questions")
	c.refs(KindRemedy, e.Pointless, "pointless")
	c.refs(KindQuestion, e.First, "first")
	c.tells(e.Tells)
}

func (c *checker) question(q *Question) {
	if q.Ask == "" {
		c.fail("no-wording", "a question needs `ask`, the words said to a caller")
	}
	if len(q.Answers) < 2 {
		c.fail("few-answers", "a question needs at least two answers", "answers")
	}
	seen, sum := map[string]bool{}, 0.0
	for _, a := range q.Answers {
		if a.Value == "" || a.Say == "" {
			c.fail("bare-answer", "an answer needs `value` and `say`", "answers", a.Value)
		}
		if a.Value == "unknown" || seen[a.Value] {
			c.fail("answer-twice", fmt.Sprintf("answer %q stands twice or is kept for the program", a.Value), "answers", a.Value)
		}
		seen[a.Value] = true
		sum += float64(a.Default)
	}
	if sum > 1+1e-9 {
		c.fail("row-over-one", fmt.Sprintf("the default row sums to %.3g, it must not be above 1", sum), "answers")
	}
	if q.Minutes <= 0 {
		c.fail("no-minutes", "minutes must be above zero", "minutes")
	}
	if q.Who != WhoCaller && q.Who != WhoTechnician {
		c.fail("bad-who", fmt.Sprintf("who %q: write caller or technician", q.Who), "who")
	}
	if q.Sense.reliability() == 0 {
		c.fail("bad-sense", fmt.Sprintf("sense %q: write look, colour, history, technician or instrument", q.Sense), "sense")
	}
	if q.Reliability > 1 {
		c.fail("bad-reliability", "reliability must be from 0 to 1", "reliability")
	}
	if q.Who == WhoTechnician && q.Technical == "" {
		c.warn("no-technical", "a question for a technician needs `technical`")
	}
	c.place(q.Place, q.Who)
	c.facts(q.When, "when")
	c.refs(KindQuestion, q.Like, "like")
	c.measured(q)
}

// Places are the places of the book, from the caller outwards, in the order of
// the walks between them.
func Places() []string {
	return []string{"desk", "table", "display", "rack", "ceiling", "closet"}
}

func (c *checker) place(p string, who Who) {
	if p == "" {
		return
	}
	known := false
	for _, k := range Places() {
		known = known || k == p
	}
	if !known {
		c.fail("bad-place", fmt.Sprintf("place %q: write one of %s", p, strings.Join(Places(), ", ")), "place")
	}
	if who == WhoCaller && (p == "rack" || p == "ceiling" || p == "closet") {
		c.fail("caller-place", fmt.Sprintf("a caller is never sent to the %s", p), "place")
	}
}

func (c *checker) facts(list []Fact, path string) {
	for _, f := range list {
		if !c.ref(KindQuestion, f.Question, path, f.Question) {
			continue
		}
		q := Get[Question](c.book, f.Question)
		if len(f.Is) == 0 {
			c.fail("empty-condition", "the condition names no answer", path, f.Question)
		}
		for _, v := range f.Is {
			if q.answer(v) < 0 {
				c.fail("unknown-answer", fmt.Sprintf("question %s has no answer %q%s", q.ID, v, nearest(v, q.values())), path, f.Question)
			}
		}
	}
}

func (c *checker) remedy(r *Remedy) {
	if r.Say == "" || len(r.Steps) == 0 || r.Check == "" {
		c.fail("bare-remedy", "a remedy needs `say`, `steps` and `check`")
	}
	if r.Minutes <= 0 {
		c.fail("no-minutes", "minutes must be above zero", "minutes")
	}
	if r.Who != WhoCaller && r.Who != WhoTechnician && r.Who != WhoOther {
		c.fail("bad-who", fmt.Sprintf("who %q: write caller, technician or other", r.Who), "who")
	}
	c.place(r.Place, r.Who)
	c.refs(KindCaution, r.Cautions, "cautions")
	c.refs(KindPart, r.Parts, "parts")
	c.refs(KindPractice, r.Practice, "practice")
	c.facts(r.Settles, "settles")
	c.facts(r.Unless, "unless")
}

func (c *checker) rule(r *Rule) {
	if len(r.When) == 0 {
		c.fail("empty-rule", "a rule needs facts under `when`")
	}
	if len(r.Exclude)+len(r.Only)+len(r.Ask) == 0 && r.Stop == nil {
		c.fail("empty-rule", "a rule needs exclude, only, ask or stop")
	}
	c.facts(r.When, "when")
	c.refs(KindCause, r.Exclude, "exclude")
	c.refs(KindCause, r.Only, "only")
	c.refs(KindQuestion, r.Ask, "ask")
	if r.Stop != nil {
		c.ref(KindCaution, r.Stop.Caution, "stop")
		c.ref(KindHandover, r.Stop.Handover, "stop")
		if r.Stop.Say == "" {
			c.fail("bare-stop", "a stop needs what the caller is told to do at once", "stop")
		}
	}
}

// cycles finds questions whose `when` lead back to themselves.
func (c *checker) cycles() {
	const busy, done = 1, 2
	state := map[string]int{}
	var visit func(id string) bool
	visit = func(id string) bool {
		q := Get[Question](c.book, id)
		if q == nil || state[id] == done {
			return false
		}
		if state[id] == busy {
			return true
		}
		state[id] = busy
		loop := false
		for _, f := range q.When {
			loop = visit(f.Question) || loop
		}
		state[id] = done
		return loop
	}
	for _, id := range c.book.IDs(KindQuestion) {
		if visit(id) {
			c.entry = Get[Question](c.book, id)
			c.fail("when-cycle", "its `when` leads back to itself: one of the questions must come without", "when")
		}
	}
}

// unused names questions, remedies and parts that nothing refers to.
func (c *checker) unused() {
	for _, k := range []Kind{KindQuestion, KindRemedy, KindPart, KindCaution} {
		ids := append([]string(nil), c.book.IDs(k)...)
		sort.Strings(ids)
		for _, id := range ids {
			if !c.used[key{k, id}] {
				c.entry = c.book.entries[key{k, id}]
				c.warn("unused", fmt.Sprintf("no entry refers to this %s", k))
			}
		}
	}
}
