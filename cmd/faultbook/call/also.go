package call

import (
	"fmt"
	"slices"

	"faultbook/index"
	"faultbook/kb"
)

// alsoSure is the chance from which a part of the caller's words is taken for
// a complaint of its own; alsoAgain the same where the words announce it, such
// as "and also".
const (
	alsoSure  = 0.8
	alsoAgain = 0.6
)

// also are the complaints in the caller's words besides the one that the call
// is about: each in a part of its own, in the order in which they were said.
// One that was set since, or whose turn has been, is none any more, nor one that
// what was mended explains as well.
func (v *view) also() []Also {
	list := []Also{}
	main, own := v.main(), false
	seen := map[string]bool{}
	for _, a := range v.complaints() {
		own = own || a.Symptom == main || v.turned[a.Symptom]
		if a.Symptom == main || v.turned[a.Symptom] || seen[a.Symptom] || v.cured && v.explained(a.Symptom) {
			continue
		}
		seen[a.Symptom] = true
		list = append(list, a)
	}
	if !own {
		return []Also{} // the parts are not read as the whole is: rather none
	}
	return list
}

// explained reports whether a cause that was found, or one that is not told
// apart from it, shows as the symptom, too.
func (v *view) explained(symptom string) bool {
	for _, id := range v.found {
		c := kb.Get[kb.Cause](v.call.desk.Book, id)
		if c == nil {
			continue
		}
		for _, same := range append([]string{id}, c.Joint...) {
			if c := kb.Get[kb.Cause](v.call.desk.Book, same); c != nil && slices.ContainsFunc(c.Symptoms, func(s kb.SymptomRef) bool { return s.ID == symptom }) {
				return true
			}
		}
	}
	return false
}

// complaints are the parts of the words that are surely about one symptom.
func (v *view) complaints() []Also {
	var list []Also
	for _, p := range index.Parts(v.words) {
		if two, ok := v.halves(p); ok {
			list = append(list, two[:]...)
		} else if a, chance := v.complaint(p); chance >= alsoAgain {
			list = append(list, a)
		}
	}
	return list
}

// halves reads a part as two complaints, where both are surely different ones.
func (v *view) halves(p index.Part) (best [2]Also, ok bool) {
	most := alsoSure
	for _, h := range p.Halves() {
		one, first := v.complaint(h[0])
		two, second := v.complaint(h[1])
		if one.Symptom != two.Symptom && min(first, second) >= most {
			best, ok, most = [2]Also{one, two}, true, min(first, second)
		}
	}
	return best, ok
}

// complaint is what a part is likeliest about, 0 where nothing is told.
func (v *view) complaint(p index.Part) (Also, float64) {
	heard := v.call.listen([]string{p.Words}).Symptoms
	if len(heard) == 0 || kb.Get[kb.Symptom](v.call.desk.Book, heard[0].ID) == nil {
		return Also{}, 0
	}
	chance := heard[0].Chance
	if !p.Announced && chance < alsoSure {
		chance = 0
	}
	return Also{Symptom: heard[0].ID, Title: heard[0].Title, Words: p.Words}, chance
}

// main is the symptom that the call is about now, "" where that is not known.
func (v *view) main() string {
	if v.set != "" {
		return v.set
	}
	if len(v.words) == 0 {
		return v.before
	}
	if heard := v.call.listen(v.words).Symptoms; len(heard) > 0 && v.before == "" {
		return heard[0].ID
	}
	return v.before
}

// alsoStep offers the next complaint after the one before is mended.
func (v *view) alsoStep(list []Also) Step {
	done := v.doneStep()
	s := Step{Kind: StepAsk, ID: AskSymptom, Title: "The other complaint", Minutes: 0.5, Cautions: []Caution{},
		Say: fmt.Sprintf("%s You also said: %q. Is that still so?", done.Say, list[0].Words),
		Why: done.Why + " The other complaint was kept; it is looked at on its own now."}
	for _, a := range list {
		s.Answers = append(s.Answers, Option{a.Symptom, "Yes: " + a.Title})
	}
	s.Answers = append(s.Answers, Option{NothingElse, "No, all is well now"})
	return s
}

// goOn takes up a further complaint after one was mended: what was found stays
// found, and facts that it explains are asked again.
func (v *view) goOn() {
	if !v.cured {
		return
	}
	v.cured = false
	v.forget(lastOf(v.found))
}
