package call

import (
	"fmt"
	"regexp"
	"strings"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// Draft is an entry in the making: a cause and, where no remedy of the book
// did it, the remedy that did.
type Draft struct {
	Title   string
	Plain   string
	Why     string
	Symptom string
	// Words are what the caller said; they become callers' words of the cause.
	Words []string
	Tells kb.Tells
	// Remedies of the book that cured it.
	Remedies []kb.Cure
	// Fix is what was done, in words, where the book has no such remedy.
	Fix string
	// Who may do the fix: caller or technician.
	Who    kb.Who
	Owner  string
	Source string
	By     string
}

// usually is the likelihood that a draft gives what was seen once.
const usually = 0.8

// DraftFrom fills a draft with what a case holds: its symptom, its answers
// as tells, its remedy and notes. An answer that is given as often when nothing
// is wrong is no sign of the cause and is left out.
func DraftFrom(d *Desk, file *cases.Case) Draft {
	v := Resume(d, file).view()
	v.think()
	out := Draft{Words: v.words, Source: "own case " + file.ID, Who: kb.WhoTechnician}
	if list := v.symptomChances(); len(list) > 0 {
		out.Symptom = list[0].ID
	}
	for _, f := range v.facts {
		if q := kb.Get[kb.Question](d.Book, f.Question); q != nil && q.Usual(f.Value) >= usually {
			continue
		}
		out.Tells = append(out.Tells, kb.Tell{Question: f.Question, Row: kb.Row{{Answer: f.Value, Chance: usually}}})
	}
	for _, t := range v.order {
		if t.Result == cases.Cured || t.Result == cases.Changed {
			out.Remedies = append(out.Remedies, kb.Cure{ID: t.Remedy, Cures: usually})
		}
	}
	notes := append([]string{}, v.notes...)
	if v.closed != nil && v.closed.Note != "" {
		notes = append(notes, v.closed.Note)
		if len(out.Remedies) == 0 {
			out.Fix = v.closed.Note
		}
	}
	out.Why = strings.Join(notes, " ")
	return out
}

// Missing names what a draft still needs, in the order in which to ask.
func (d Draft) Missing() []string {
	var list []string
	for _, f := range []struct {
		name string
		bare bool
	}{{"title", d.Title == ""}, {"symptom", d.Symptom == ""}, {"why", d.Why == ""}, {"fix", d.Fix == "" && len(d.Remedies) == 0}} {
		if f.bare {
			list = append(list, f.name)
		}
	}
	return list
}

var notSlug = regexp.MustCompile(`[^a-z0-9]+`)

// slug makes an id of a title; taken tells which ids exist already.
func slug(title string, taken func(id string) bool) string {
	words := strings.Split(strings.Trim(notSlug.ReplaceAllString(strings.ToLower(title), "-"), "-"), "-")
	base := "own-" + strings.Join(words[:min(6, len(words))], "-")
	base = strings.TrimRight(base[:min(48, len(base))], "-")
	id := base
	for n := 2; taken(id); n++ {
		id = fmt.Sprintf("%s-%d", base, n)
	}
	return id
}

// Entries makes the entries of a draft: the cause, and the remedy where there
// is a fix in words.
func (d Draft) Entries(b *kb.Book) []kb.Entry {
	head := func(k kb.Kind, id, title string) kb.Head {
		source := d.Source
		if source == "" {
			source = "own experience"
		}
		return kb.Head{Kind: k, ID: id, Title: title, Source: []string{source}, State: "draft", By: d.By, Revision: 1}
	}
	id := slug(d.Title, func(id string) bool { return kb.Get[kb.Cause](b, id) != nil || kb.Get[kb.Remedy](b, id) != nil })
	cause := &kb.Cause{Head: head(kb.KindCause, id, d.Title), Plain: orElse(d.Plain, d.Title+"."), Why: d.Why, Frequency: "occasional",
		Symptoms: []kb.SymptomRef{{ID: d.Symptom}}, Words: d.Words, Tells: d.Tells, Remedies: d.Remedies, Owner: orElse(d.Owner, "visit")}
	if d.Fix == "" {
		return []kb.Entry{cause}
	}
	remedy := &kb.Remedy{Head: head(kb.KindRemedy, id, orTitle(d.Fix)), Say: d.Fix, Steps: []string{d.Fix}, Check: "Does it work now?",
		Who: d.Who, Minutes: 5}
	if remedy.Who == "" {
		remedy.Who = kb.WhoTechnician
	}
	cause.Remedies = append([]kb.Cure{{ID: id, Cures: usually}}, cause.Remedies...)
	return []kb.Entry{cause, remedy}
}

func orElse(text, other string) string {
	if text != "" {
		return text
	}
	return other
}

// orTitle shortens a text to a title.
func orTitle(text string) string {
	text, _, _ = strings.Cut(text, ".")
	return clip(strings.TrimSpace(text), 70)
}
