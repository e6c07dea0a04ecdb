package index

import (
	"strings"

	"faultbook/kb"
)

// tellFrom is the likelihood from which an answer counts as a sign of a cause
// when it is looked for by words ("as often as not" on the scale of the book).
const tellFrom = 0.5

// Entries makes documents of a book, in order of kind and id: symptoms,
// causes, practice pages, and remedies, cautions, parts, values and terms,
// which count less where nobody asks for their kind. Questions, rules, groups
// of words and handovers are found through the entries that use them.
func Entries(book *kb.Book) []Document {
	m := maker{book: book}
	var list []Document
	add := func(h *kb.Head, d Document) {
		d.ID, d.Kind, d.Title, d.State = h.ID, string(h.Kind), h.Title, h.State
		d.Notes = join(d.Notes, strings.Join(h.Source, ". "))
		list = append(list, d)
	}
	for _, s := range kb.All[kb.Symptom](book) {
		add(&s.Head, m.symptom(s))
	}
	for _, c := range kb.All[kb.Cause](book) {
		add(&c.Head, m.cause(c))
	}
	for _, p := range kb.All[kb.Practice](book) {
		add(&p.Head, Document{Words: p.Text, Notes: sentences(p.Ticks)})
	}
	for _, r := range kb.All[kb.Remedy](book) {
		add(&r.Head, Document{Words: r.Say, Remedy: sentences(r.Steps), Tells: r.Check, Why: r.Technical, Notes: r.Undo})
	}
	for _, c := range kb.All[kb.Caution](book) {
		add(&c.Head, Document{Words: c.Say, Notes: c.Defer})
	}
	for _, p := range kb.All[kb.Part](book) {
		add(&p.Head, Document{Notes: p.Note})
	}
	for _, v := range kb.All[kb.Value](book) {
		add(&v.Head, Document{Words: v.Figure, Notes: v.Note})
	}
	for _, t := range kb.All[kb.Term](book) {
		add(&t.Head, Document{Why: t.Text})
	}
	return list
}

// maker looks up what an entry refers to.
type maker struct{ book *kb.Book }

func (m maker) symptom(s *kb.Symptom) Document {
	return Document{
		Symptoms: []string{s.ID},
		Words:    sentences(typical(s.Words)),
		Remedy:   sentences(s.Workarounds),
		Tells:    m.tells(s.Tells),
	}
}

func (m maker) cause(c *kb.Cause) Document {
	d := Document{Words: c.Plain, Why: c.Why, Tells: m.tells(c.Tells)}
	for _, ref := range c.Symptoms {
		d.Symptoms = append(d.Symptoms, ref.ID)
		if s := kb.Get[kb.Symptom](m.book, ref.ID); s != nil {
			d.Heard = join(d.Heard, s.Title, sentences(typical(s.Words)))
		}
	}
	for _, cure := range c.Remedies {
		if r := kb.Get[kb.Remedy](m.book, cure.ID); r != nil {
			d.Remedy = join(d.Remedy, r.Title, r.Say)
		}
	}
	for _, id := range c.Parts {
		if p := kb.Get[kb.Part](m.book, id); p != nil {
			d.Notes = join(d.Notes, p.Title)
		}
	}
	return d
}

// tells writes out the answers that are given often: what is seen where the
// cause is present.
func (m maker) tells(tells kb.Tells) string {
	var parts []string
	for _, t := range tells {
		q := kb.Get[kb.Question](m.book, t.Question)
		if q == nil {
			continue
		}
		for _, share := range t.Row {
			if share.Chance < tellFrom {
				continue
			}
			for _, a := range q.Answers {
				if a.Value == share.Answer {
					parts = append(parts, q.Title, a.Say)
					parts = append(parts, a.Words...)
				}
			}
		}
	}
	return sentences(parts)
}

// sentences joins texts so that no phrase reaches from one into the next.
func sentences(list []string) string { return strings.Join(list, ". ") }

// join adds texts to a text, the same way.
func join(text string, more ...string) string {
	for _, m := range more {
		if m == "" {
			continue
		}
		if text != "" {
			text += ". "
		}
		text += m
	}
	return text
}

// typicalWords is how many of a symptom's phrasings are indexed: the first
// ones, which say it most plainly. The rest teach the reader of opening words;
// indexed, they would only outweigh the causes.
const typicalWords = 40

func typical(words []string) []string { return words[:min(len(words), typicalWords)] }
