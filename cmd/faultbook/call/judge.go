package call

import (
	"faultbook/kb"
	"faultbook/kb/cases"
)

// Judge says what cases come to, where their events alone do not: the symptom
// that nobody set, and the cause that a remedy mended. It goes by the book
// alone, never by what was learnt, so that learning does not feed on itself
// and the order of the calls does not matter.
//
// It is not safe for several goroutines at once.
type Judge struct {
	desk   Desk
	calls  map[string]*Call // by opening, for the models that they keep
	priors map[string]map[string]float64
}

// keptCalls is how many openings a Judge keeps models for.
const keptCalls = 64

// NewJudge judges by the book of the desk.
func NewJudge(d *Desk) *Judge {
	own := *d
	own.Counts, own.Similar, own.Rooms, own.Library = nil, nil, nil, nil
	return &Judge{desk: own, calls: map[string]*Call{}, priors: map[string]map[string]float64{}}
}

// Record is what the case comes to. Its cause is the one that it was closed
// with, else the last that a remedy mended. Its symptom is the one that was
// set, else, of those that were heard in the words, the likeliest given the
// cause, or given all that was answered where no cause is known.
func (j *Judge) Record(file *cases.Case) cases.Record {
	r := file.Record()
	repaired := r.Cause == "" && mended(&r)
	if r.Judged = repaired || r.Symptom == ""; !r.Judged {
		return r
	}
	c := j.call(file)
	if repaired {
		if r.Cause = lastOf(c.view().found); r.Cause != "" {
			r.CauseFrom = cases.CauseFound
		}
	}
	if r.Symptom == "" {
		r.Symptom = j.symptom(c, r.Cause)
	}
	return r
}

// mended reports whether some remedy showed an effect.
func mended(r *cases.Record) bool {
	for _, t := range r.Tried {
		if t.Result == cases.Cured || t.Result == cases.Changed {
			return true
		}
	}
	return false
}

// lastOf is the last id that is not empty.
func lastOf(list []string) string {
	for i := len(list) - 1; i >= 0; i-- {
		if list[i] != "" {
			return list[i]
		}
	}
	return ""
}

// call gives a call on the case. Those about one symptom that was set share a
// model, and so do those that were opened with the same words.
func (j *Judge) call(file *cases.Case) *Call {
	set, words := "", ""
	for _, e := range file.Events {
		if e.Symptom != "" || e.Who != "" {
			set += e.Symptom + e.Who + " "
		}
		words += e.Say + "\n"
	}
	key := set
	if key == "" {
		key = words
	}
	c := j.calls[key]
	if c == nil {
		if len(j.calls) >= keptCalls {
			clear(j.calls)
		}
		c = &Call{desk: &j.desk}
		j.calls[key] = c
	}
	c.file = file
	return c
}

// symptom is the likeliest of those that were heard, "" where nothing was.
func (j *Judge) symptom(c *Call, cause string) string {
	if cause == "" {
		v := c.view()
		if v.think() {
			return v.symptomChances()[0].ID
		}
		return ""
	}
	words := c.view().words
	if len(words) == 0 {
		return ""
	}
	heard := c.listen(words).Symptoms
	if len(heard) == 0 || heard[0].Chance < understood {
		return ""
	}
	best, weight := "", 0.0
	for _, s := range heard {
		if w := s.Chance * j.prior(s.ID, cause); w > weight {
			best, weight = s.ID, w
		}
	}
	return best
}

// prior is the chance of a cause under a symptom by the book.
func (j *Judge) prior(symptom, cause string) float64 {
	if j.priors[symptom] == nil {
		j.priors[symptom] = map[string]float64{}
		for _, w := range kb.Priors(j.desk.Book, symptom, nil) {
			j.priors[symptom][w.ID] = w.Chance
		}
	}
	return j.priors[symptom][cause]
}

// Moves tells of each question that was asked and answered whether the answer
// changed which cause was likeliest.
func (j *Judge) Moves(file *cases.Case) []cases.Move {
	all := file.Effective()
	part := *file
	c := j.call(file)
	c.file = &part
	leader := func(n int) string {
		part.Events = all[:n]
		v := c.view()
		if !v.think() || v.belief.None {
			return ""
		}
		return v.causes()[0].ID
	}
	var list []cases.Move
	for i, e := range all {
		if e.Answer == nil || e.Answer.From != "" {
			continue
		}
		if before := leader(i); before != "" {
			list = append(list, cases.Move{Question: e.Answer.Question, Moved: leader(i+1) != before})
		}
	}
	return list
}

// Expected gives the minutes that the engine expects of a call about the
// symptom before anything is known; false where the book has no such symptom.
func (j *Judge) Expected(symptom string, technician bool) (float64, bool) {
	if kb.Get[kb.Symptom](j.desk.Book, symptom) == nil {
		return 0, false
	}
	file := &cases.Case{Events: []cases.Event{{Symptom: symptom}}}
	if technician {
		file.Events = append(file.Events, cases.Event{Who: string(kb.WhoTechnician)})
	}
	v := Resume(&j.desk, file).view()
	if !v.think() || v.makePlan() != nil {
		return 0, false
	}
	return v.plan.Expected, true
}
