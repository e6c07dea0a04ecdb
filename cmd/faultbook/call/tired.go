package call

import (
	"faultbook/diagnose"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// When a caller is asked no more: after so many questions and remedies in all
// of which nothing could be told or done, the last of them in a row (common
// practice, no source). The fault is passed on with what is known then.
const (
	blanksInAll = 8
	blanksInRow = 4
	triesThen   = 2 // remedies that are still tried where none was
)

// tired reports whether a caller can tell and do so little that further steps
// cost more patience than they bring. Whoever answers again is asked again.
func (v *view) tired() bool {
	return v.who == kb.WhoCaller && v.blanks >= blanksInAll && v.blankRow >= blanksInRow
}

// blankness counts what could not be told or done. A remedy that changed nothing
// tells little either: it neither counts nor begins a new row.
func (v *view) blankness(e cases.Event) {
	switch {
	case e.Unknown != "" && e.Unknown != AskSymptom, e.Tried != nil && e.Tried.Result == cases.CouldNot:
		v.blanks++
		v.blankRow++
	case e.Answer != nil, e.Symptom != "", e.Say != "":
		v.blankRow = 0
	}
}

// tiredStep tries the best remedies of all where hardly any was, gets the
// meeting going where nobody has tried that yet, and then passes the fault on to
// whoever costs least as things stand.
func (v *view) tiredStep() Step {
	if a, err := v.compiled.Model.ByChance().Next(v.state); err == nil && a.Kind == diagnose.Try && len(v.order) < triesThen {
		v.plan.First = a
		return v.tryStep(a.Index)
	}
	if v.workaround == "" && len(v.workarounds()) > 0 {
		return v.workaroundStep("Little can be told or done from there, so the meeting comes first and the fault is passed on.")
	}
	a, err := v.compiled.Model.Final(v.belief)
	if err != nil || a.Kind != diagnose.End {
		return v.handoverStep(v.fallback(), nil, "")
	}
	return v.handoverStep(v.compiled.Handovers[a.Index], a.Extras, "Little can be told or done from there; somebody has to look. "+v.whyHandover())
}
