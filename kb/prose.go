package kb

import (
	"fmt"
	"strings"
)

// The prose checks look at what is said to a caller and at what a reader of
// the book has to know. All of them are advice:
//
//   - hard-reading: a text of some length is hard to follow by ear
//   - long-sentence: nobody can keep the sentence in mind
//   - jargon: a word that callers do not know (lists/jargon.txt)
//   - no-term: a word of lists/terms.txt without an entry in the glossary
//
// Spelling is held by a test over the book, since it needs a word list.
const (
	// leastEase is the least reading ease of a caller text of longText words
	// and more: "fairly easy" in Flesch's words. A shorter one, in which two or
	// three long names weigh much, must be plain English: leastShort. Below
	// shortText words the figure says nothing.
	leastEase, longText   = 70, 30
	leastShort, shortText = 60, 10
	// longestAsked and longestSaid are the longest sentences in words: common
	// practice of plain-language guides, no source.
	longestAsked = 20
	longestSaid  = 25
)

// passage is a piece of text that is said to a caller, and its place.
type passage struct {
	text string
	as   speech
	path []string
}

// speech says what a passage is.
type speech uint8

const (
	said  speech = iota // sentences
	asked               // the question
	label               // an answer to choose: no sentence
)

// heard lists what a caller hears of an entry. Of what a technician does or
// looks at, the caller hears nothing.
func heard(e Entry) []passage {
	switch e := e.(type) {
	case *Question:
		return heardOfQuestion(e)
	case *Remedy:
		return heardOfRemedy(e)
	case *Cause:
		return []passage{{e.Plain, said, []string{"plain"}}}
	case *Handover:
		return []passage{{e.Say, said, []string{"say"}}}
	case *Caution:
		return []passage{{e.Say, said, []string{"say"}}}
	case *Symptom:
		return saidList(nil, "workarounds", e.Workarounds)
	case *Rule:
		if e.Stop != nil {
			return []passage{{e.Stop.Say, said, []string{"stop", "say"}}}
		}
	}
	return nil
}

func heardOfQuestion(q *Question) []passage {
	list := []passage{{q.Ask, asked, []string{"ask"}}}
	if q.Who != WhoCaller {
		return list // its wording stands in the ticket
	}
	list = append(list, passage{q.Look, said, []string{"look"}})
	for _, a := range q.Answers {
		list = append(list, passage{a.Say, label, []string{"answers", a.Value, "say"}})
	}
	return list
}

func heardOfRemedy(r *Remedy) []passage {
	if r.Who != WhoCaller {
		return nil
	}
	list := []passage{{r.Say, said, []string{"say"}}}
	list = saidList(list, "steps", r.Steps)
	return append(list, passage{r.Check, said, []string{"check"}}, passage{r.Undo, said, []string{"undo"}})
}

func saidList(list []passage, key string, texts []string) []passage {
	for _, text := range texts {
		list = append(list, passage{text, said, []string{key, text}})
	}
	return list
}

// prose reports what is hard for a caller in an entry, and technical words
// without an explanation.
func (c *checker) prose(e Entry) {
	if !c.fresh(e) {
		return
	}
	list := heard(e)
	var whole []string
	for _, p := range list {
		if p.as != label {
			c.sentences(p)
			whole = append(whole, p.text)
		}
		for _, j := range jargonIn(unquoted(p.text)) {
			c.warn("jargon", fmt.Sprintf("%q is no word for a caller: say %s", j.word, j.instead), p.path...)
		}
	}
	if ease, least := easeOf(strings.Join(whole, " . ")); ease < least {
		c.warn("hard-reading", fmt.Sprintf("reading ease %.1f, wanted %.0f or more: shorter sentences, shorter words", ease, least), list[0].path...)
	}
	c.glossary(e)
}

// fresh reports whether an entry was read from YAML. Those of the built-in
// book were checked when it was packed, and a call must not wait for it again.
func (c *checker) fresh(e Entry) bool {
	return c.book.origins[key{e.head().Kind, e.head().ID}].node != nil
}

// easeOf gives the reading ease of a text and the least that is wanted.
func easeOf(text string) (ease, least float64) {
	r := read(text)
	switch {
	case r.words >= longText:
		return r.ease(), leastEase
	case r.words >= shortText:
		return r.ease(), leastShort
	}
	return r.ease(), -1000
}

func (c *checker) sentences(p passage) {
	most := longestSaid
	if p.as == asked {
		most = longestAsked
	}
	if n := read(p.text).longest; n > most {
		c.warn("long-sentence", fmt.Sprintf("a sentence of %d words, wanted %d or less: make two of it", n, most), p.path...)
	}
}

// unquoted leaves out what stands in double quotes: the caller reads it off a
// screen or a plug.
func unquoted(text string) string {
	parts := strings.Split(text, `"`)
	if len(parts)%2 == 0 { // an inch mark, or a quote that is not closed
		return text
	}
	for i := 1; i < len(parts); i += 2 {
		parts[i] = ""
	}
	return strings.Join(parts, " ")
}

// glossary reports technical words of an entry that the glossary lacks.
func (c *checker) glossary(e Entry) {
	key := "technical"
	if e.head().Kind == KindCause {
		key = "why"
	}
	for _, t := range termsIn(technicalText(e)) {
		if Get[Term](c.book, t.instead) == nil {
			c.warn("no-term", fmt.Sprintf("%q is explained nowhere: write the term %s", t.word, t.instead), key)
		}
	}
}

// technicalText is what an entry says to people of the trade.
func technicalText(e Entry) string {
	switch e := e.(type) {
	case *Cause:
		return e.Why
	case *Question:
		return e.Technical
	case *Remedy:
		return e.Technical
	}
	return ""
}
