package page

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
)

// entryView is an entry laid out for reading: the cautions first, then blocks
// in the order in which somebody on the phone wants them.
type entryView struct {
	Kind, KindTitle, ID, Title string
	Lead                       string // what to say or to know first
	LeadTitle                  string
	Cautions                   []cautionView
	Blocks                     []block
	Aside                      []block // leads on to other entries
	State, StateText, By       string
	Revision                   int
	Sources                    []item
	Own                        bool // from the user's own book
	Tree                       string
	book                       *kb.Book
}

type cautionView struct {
	ID, Title, Say, Defer string
}

// block is one heading with what stands below it. Style is text, list, steps,
// ticks, links or shares.
type block struct {
	Title, Style string
	Items        []item
}

// item is a line of a block; empty fields are left out.
type item struct {
	ID, Text, Href, Note string
	Share                float64 // of shares, 0..1
}

// Number is the id where it is one that people say, as VL-03, and no name of
// our own for a file.
func (i item) Number() string { return number(i.ID) }

// Number is that of the entry.
func (v *entryView) Number() string { return number(v.ID) }

func number(id string) string {
	if strings.ToUpper(id) != id {
		return ""
	}
	return id
}

func newEntryView(book *kb.Book, e kb.Entry) *entryView {
	h := kb.HeadOf(e)
	v := &entryView{book: book, Kind: string(h.Kind), KindTitle: call.KindTitle(string(h.Kind)), ID: h.ID, Title: h.Title,
		State: orDraft(h.State), StateText: capital(stateText(h)), By: h.By, Revision: h.Revision}
	v.Own = !book.Builtin(e)
	switch e := e.(type) {
	case *kb.Cause:
		v.cause(e)
	case *kb.Symptom:
		v.symptom(e)
	case *kb.Question:
		v.question(e)
	case *kb.Remedy:
		v.remedy(e)
	case *kb.Practice:
		v.practice(e)
	case *kb.Rule:
		v.rule(e)
	default:
		v.plain(e)
	}
	v.sources(h.Source)
	return v
}

func orDraft(state string) string {
	if state == "" {
		return "draft"
	}
	return state
}

// add puts a block with items below what is there, unless it has none.
func (v *entryView) add(title, style string, items ...item) {
	if len(items) > 0 {
		v.Blocks = append(v.Blocks, block{Title: title, Style: style, Items: items})
	}
}

// aside adds links to other entries, unless there are none.
func (v *entryView) aside(title string, items []item) {
	if len(items) > 0 {
		v.Aside = append(v.Aside, block{Title: title, Style: "links", Items: items})
	}
}

// text adds a block of paragraphs, unless it is empty.
func (v *entryView) text(title, text string) {
	v.add(title, "text", paragraphs(text)...)
}

func paragraphs(text string) []item {
	var list []item
	for _, p := range strings.Split(text, "\n") {
		if p = strings.TrimSpace(p); p != "" {
			list = append(list, item{Text: p})
		}
	}
	return list
}

func lines(texts []string) []item {
	var list []item
	for _, t := range texts {
		list = append(list, item{Text: t})
	}
	return list
}

// links names entries of one kind, with their pages.
func (v *entryView) links(kind kb.Kind, ids []string) []item {
	var list []item
	for _, id := range ids {
		it := item{ID: id, Text: id}
		if e := findEntry(v.book, kind, id); e != nil {
			it.Text, it.Href = kb.HeadOf(e).Title, entryHref(string(kind), id)
		}
		list = append(list, it)
	}
	return list
}

func (v *entryView) warn(ids []string) {
	for _, id := range ids {
		if c := kb.Get[kb.Caution](v.book, id); c != nil {
			v.Cautions = append(v.Cautions, cautionView{id, c.Title, c.Say, c.Defer})
		}
	}
}

// sources spells check values out and links them.
func (v *entryView) sources(list []string) {
	for _, text := range list {
		it := item{Text: text}
		if x := kb.Get[kb.Value](v.book, text); x != nil {
			it = item{ID: text, Text: x.Title + ": " + x.Figure, Href: entryHref("value", text), Note: strings.Join(x.Source, "; ")}
		}
		if id, ok := strings.CutPrefix(text, "own case "); ok {
			it.Href = entryHref("case", id)
		}
		v.Sources = append(v.Sources, it)
	}
}

func (v *entryView) cause(e *kb.Cause) {
	v.LeadTitle, v.Lead = "To say when it is found", e.Plain
	v.warn(kb.AllCautions(v.book, e))
	v.text("Why it happens", e.Why)
	var cures []item
	for _, r := range e.Remedies {
		for _, it := range v.links(kb.KindRemedy, []string{r.ID}) {
			if rem := kb.Get[kb.Remedy](v.book, r.ID); rem != nil {
				it.Note = fmt.Sprintf("%s, %s, cures it %s", whoText(rem.Who), minutesText(rem.Minutes), likelihoodText(r.CureChance()))
			}
			cures = append(cures, it)
		}
	}
	v.add("What cures it, in the order to try", "links", cures...)
	v.add("What tells it", "told", v.told(e.Tells)...)
	var shows []item
	for _, ref := range e.Symptoms {
		for _, it := range v.links(kb.KindSymptom, []string{ref.ID}) {
			it.Note = string(e.Frequency)
			if ref.Frequency != "" {
				it.Note = string(ref.Frequency)
			}
			shows = append(shows, it)
		}
	}
	v.aside("Shows as", shows)
	v.add("Callers said", "list", lines(e.Words)...)
	v.aside("Passed on to", v.links(kb.KindHandover, []string{e.Owner}))
	v.aside("Parts for a visit", v.links(kb.KindPart, e.Parts))
	v.aside("Easily mistaken for it", v.links(kb.KindCause, e.Related))
	v.aside("Not told apart from it, because one remedy serves both", v.links(kb.KindCause, e.Joint))
}

// told words the rows: the question, the answers with their likelihood.
func (v *entryView) told(tells kb.Tells) []item {
	var list []item
	for _, t := range tells {
		q := kb.Get[kb.Question](v.book, t.Question)
		if q == nil {
			continue
		}
		var says []string
		for _, a := range t.Row {
			says = append(says, fmt.Sprintf("“%s” %s", q.AnswerLabel(a.Answer), likelihoodText(a.Chance)))
		}
		list = append(list, item{Text: q.Title, Href: entryHref("question", q.ID), Note: strings.Join(says, ", ")})
	}
	return list
}

// likelihoodText is the word of the scale, or per cent where an author gave a
// number.
func likelihoodText(c kb.Chance) string {
	text := c.String()
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		return call.Percent(float64(c))
	}
	return text
}

func (v *entryView) symptom(e *kb.Symptom) {
	v.Tree = "/tree/" + e.ID
	v.add("What gets the meeting going now", "steps", lines(e.Workarounds)...)
	var causes []item
	priors := kb.Priors(v.book, e.ID, nil)
	sort.SliceStable(priors, func(i, j int) bool { return priors[i].Chance > priors[j].Chance })
	for _, w := range priors {
		share := w.Chance / priors[0].Chance // the longest bar is the likeliest cause
		if w.ID == kb.SomethingElse {
			causes = append(causes, item{Text: "Something else, not in the book", Note: call.Percent(w.Chance), Share: share})
			continue
		}
		for _, it := range v.links(kb.KindCause, []string{w.ID}) {
			it.Note, it.Share = call.Percent(w.Chance), share
			causes = append(causes, it)
		}
	}
	v.add("Causes, by how often the trade meets them", "shares", causes...)
	v.add("Callers say", "list", lines(e.Words)...)
	v.aside("Asked first, for safety", v.links(kb.KindQuestion, e.First))
	v.add("What it tells by itself", "told", v.told(e.Tells)...)
}

func (v *entryView) question(e *kb.Question) {
	v.LeadTitle, v.Lead = "To ask", e.Ask
	v.text("How to look", e.Look)
	var answers []item
	for _, a := range e.Answers {
		answers = append(answers, item{Text: a.Say, Note: strings.Join(a.Words, " · ")})
	}
	v.add("Answers, with what callers say of their own accord", "list", answers...)
	v.text("For a technician", e.Technical)
	v.add("Who, where", "list", lines([]string{whoText(e.Who) + ", " + minutesText(e.Minutes) + placeText(e.Place)})...)
	if e.Sum != "" {
		v.add("The sum that answers it", "links", item{Text: e.Sum, Href: "/sums/" + e.Sum})
	}
	var bears []string
	for _, c := range kb.All[kb.Cause](v.book) {
		for _, t := range c.Tells {
			if t.Question == e.ID {
				bears = append(bears, c.ID)
			}
		}
	}
	v.aside("Causes that it tells apart", v.links(kb.KindCause, bears))
}

func (v *entryView) remedy(e *kb.Remedy) {
	v.LeadTitle, v.Lead = "To say", e.Say
	v.warn(e.Cautions)
	v.add("Steps", "steps", lines(e.Steps)...)
	v.text("Then ask", e.Check)
	v.text("To put it back", e.Undo)
	v.text("For a technician", e.Technical)
	v.add("Who, where", "list", lines([]string{whoText(e.Who) + ", " + minutesText(e.Minutes) + placeText(e.Place)})...)
	v.aside("Parts", v.links(kb.KindPart, e.Parts))
	v.aside("Ways of working", v.links(kb.KindPractice, e.Practice))
	v.aside("Causes that it cures", v.links(kb.KindCause, curedBy(v.book, e.ID)))
}

func curedBy(book *kb.Book, remedy string) []string {
	var list []string
	for _, c := range kb.All[kb.Cause](book) {
		for _, r := range c.Remedies {
			if r.ID == remedy {
				list = append(list, c.ID)
			}
		}
	}
	return list
}

func (v *entryView) practice(e *kb.Practice) {
	v.warn(e.Cautions)
	v.text("", e.Text)
	v.add("To tick", "ticks", lines(e.Ticks)...)
	var used []string
	for _, r := range kb.All[kb.Remedy](v.book) {
		for _, id := range r.Practice {
			if id == e.ID {
				used = append(used, r.ID)
			}
		}
	}
	v.aside("Remedies that go by it", v.links(kb.KindRemedy, used))
}

func (v *entryView) rule(e *kb.Rule) {
	var when []item
	for _, f := range e.When {
		it := item{Text: f.Question, Note: strings.Join(f.Is, " or ")}
		if q := kb.Get[kb.Question](v.book, f.Question); q != nil {
			var labels []string
			for _, a := range f.Is {
				labels = append(labels, "“"+q.AnswerLabel(a)+"”")
			}
			it = item{Text: q.Title, Href: entryHref("question", q.ID), Note: strings.Join(labels, " or ")}
		}
		when = append(when, it)
	}
	v.add("When all of this is so", "told", when...)
	if e.Stop != nil {
		v.LeadTitle, v.Lead = "The questions end, and the caller is told", e.Stop.Say
		v.warn([]string{e.Stop.Caution})
		v.aside("Passed on to", v.links(kb.KindHandover, []string{e.Stop.Handover}))
	}
	v.add("These causes cannot be", "links", v.links(kb.KindCause, e.Exclude)...)
	v.add("Only these causes can be", "links", v.links(kb.KindCause, e.Only)...)
	v.add("These questions are put at once", "links", v.links(kb.KindQuestion, e.Ask)...)
}

// plain lays out the kinds that are little more than a text.
func (v *entryView) plain(e kb.Entry) {
	switch e := e.(type) {
	case *kb.Caution:
		v.Cautions = []cautionView{{e.ID, e.Title, e.Say, e.Defer}}
	case *kb.Handover:
		v.LeadTitle, v.Lead = "To say", e.Say
		v.text("Minutes", fmt.Sprintf("%s; %s more where it turns out not to own the cause", minutesText(e.Minutes), minutesText(e.Wrong)))
	case *kb.Part:
		v.text("What to check when picking it", e.Note)
		v.aside("Causes that a visit with it cures", v.links(kb.KindCause, causesWithPart(v.book, e.ID)))
	case *kb.Value:
		v.LeadTitle, v.Lead = "Figure", e.Figure
		v.text("Holds when", e.Note)
	case *kb.Words:
		v.add("Words that stand for each other", "list", lines(e.Same)...)
	case *kb.Term:
		v.text("", e.Text)
	}
}

func causesWithPart(book *kb.Book, part string) []string {
	var list []string
	for _, c := range kb.All[kb.Cause](book) {
		for _, id := range c.Parts {
			if id == part {
				list = append(list, c.ID)
			}
		}
	}
	return list
}

func whoText(w kb.Who) string {
	switch w {
	case kb.WhoCaller:
		return "The caller can do it"
	case kb.WhoTechnician:
		return "For a technician on site"
	}
	return "For whom it is passed on to"
}

func placeText(place string) string {
	if place == "" {
		return ""
	}
	return ", at the " + place
}
