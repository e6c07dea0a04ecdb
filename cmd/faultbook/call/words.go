package call

import (
	"fmt"

	"faultbook/kb"
	"faultbook/kb/cases"
)

// TitleOf names an entry for people; its id where the book does not have it.
func TitleOf(book *kb.Book, id string) string {
	switch {
	case id == kb.SomethingElse:
		return "Something else, not in the book"
	case id == "":
		return ""
	}
	for _, e := range book.Find(id) {
		return kb.HeadOf(e).Title
	}
	return id
}

// EventText words an event for people.
func EventText(book *kb.Book, e cases.Event) string {
	switch {
	case e.Say != "":
		return fmt.Sprintf("The caller: %q", e.Say)
	case e.Symptom != "":
		return "Symptom set: " + Named(book, e.Symptom)
	case e.Answer != nil:
		return answerText(book, *e.Answer)
	case e.Unknown != "":
		return TitleOf(book, e.Unknown) + ": cannot tell"
	case e.Tried != nil:
		return fmt.Sprintf("Tried: %s: %s", Named(book, e.Tried.Remedy), e.Tried.Result)
	case e.Handover != "":
		return "Passed on: " + Named(book, e.Handover)
	case e.Close != nil:
		return closeText(book, *e.Close)
	case e.Evidence != nil:
		return evidenceText(*e.Evidence)
	}
	return recordText(e)
}

// recordText words the events that are not about the fault.
func recordText(e cases.Event) string {
	switch {
	case e.Undo:
		return "Undo: the step before is taken back"
	case e.Reopen:
		return "Reopened: what ended the call is taken back"
	case e.Redacted > 0:
		return "A text was removed from the record, in " + places(e.Redacted)
	case e.Note != "":
		return "Note: " + e.Note
	case e.Meeting != nil:
		return fmt.Sprintf("The meeting begins in %g minutes", *e.Meeting)
	case e.Who != "":
		return "On the line now: " + e.Who
	case e.Workaround == "works":
		return "A workaround got the meeting going"
	case e.Workaround != "":
		return "The workarounds were no help"
	case e.Room != "":
		return "Room: " + e.Room
	case e.Heard != "":
		return "Read out: " + e.Heard
	}
	return "something that this version cannot word"
}

// Named is the title of an entry with its id.
func Named(book *kb.Book, id string) string {
	if title := TitleOf(book, id); title != id {
		return fmt.Sprintf("%s (%s)", title, id)
	}
	return id
}

func answerText(book *kb.Book, a cases.Answer) string {
	label := a.Value
	if q := kb.Get[kb.Question](book, a.Question); q != nil {
		label = q.AnswerLabel(a.Value)
	}
	text := TitleOf(book, a.Question) + ": " + label
	if a.From != "" {
		text += " (" + a.From + ")"
	}
	return text
}

func closeText(book *kb.Book, c cases.Close) string {
	text := "Closed"
	if c.Cause != "" {
		text += ": " + Named(book, c.Cause)
	}
	if c.Note != "" {
		text += ": " + c.Note
	}
	return text
}

func evidenceText(v cases.Evidence) string {
	text := "File read: " + v.Name
	if v.From == cases.FromSum {
		text = "Sum done: " + v.Name
	}
	if len(v.Text) > 0 {
		text += ": " + v.Text[0]
	}
	return text
}

func places(n int) string {
	if n == 1 {
		return "1 place"
	}
	return fmt.Sprintf("%d places", n)
}

// NotInBook is a symptom or handover of the case that the book has lost, ""
// where it has all; without them a call cannot go on.
func NotInBook(book *kb.Book, file *cases.Case) string {
	for _, e := range file.Effective() {
		if e.Symptom != "" && kb.Get[kb.Symptom](book, e.Symptom) == nil {
			return e.Symptom
		}
		if e.Handover != "" && kb.Get[kb.Handover](book, e.Handover) == nil {
			return e.Handover
		}
	}
	return ""
}
