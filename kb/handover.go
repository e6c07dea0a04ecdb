package kb

import "faultbook/diagnose"

// takePart is what one part more costs a visit, in minutes: fetching it from
// the store and booking it (common practice, no source).
const takePart = 2

// What a handover costs beside its own minutes (common practice, no source):
// whoever takes over looks at each cause that the ticket names, and where it
// does not name the true one searches for most of an hour.
const (
	lookAt    = 5
	searchFor = 45
)

// handovers makes a final of each way to pass the call on that owns a live
// cause, and of those that safety rules name. A handover costs its own minutes,
// and where it does not own the cause those of the one that does as well. A
// visit that comes without a part that the true cause needs must come again.
func (c *compiler) handovers() {
	wanted := map[string]bool{}
	for _, h := range c.out.Hypotheses {
		wanted[c.owner(h)] = true
	}
	for _, r := range All[Rule](c.book) {
		if r.Stop != nil {
			wanted[r.Stop.Handover] = true
		}
	}
	for _, h := range All[Handover](c.book) {
		if h.Visit {
			wanted[h.ID] = true
		}
	}
	for _, h := range All[Handover](c.book) {
		if !wanted[h.ID] {
			continue
		}
		f := diagnose.Final{ID: h.ID, Cost: make([]float64, len(c.out.Hypotheses))}
		for i, hyp := range c.out.Hypotheses {
			f.Cost[i] = c.handoverCost(h, hyp)
		}
		if h.Visit {
			f.Extras = c.extras(h)
		}
		f.Extras = append(f.Extras, c.briefs(h)...)
		c.out.Handovers = append(c.out.Handovers, h)
		c.out.Model.Finals = append(c.out.Model.Finals, f)
	}
}

// handoverCost is the minutes until h has ended the hypothesis. Something else
// takes a search by whoever comes, and is nobody's in particular.
func (c *compiler) handoverCost(h *Handover, hyp Hypothesis) float64 {
	owner := Get[Handover](c.book, c.owner(hyp))
	switch {
	case owner == nil:
		return h.Minutes + h.Wrong
	case owner.ID == h.ID:
		return h.Minutes
	}
	return h.Minutes + max(h.Wrong, owner.Minutes)
}

// BriefPrefix marks the extras of a handover that are causes to look at, not
// parts to take.
const BriefPrefix = "look-at-"

// briefs are the causes that the ticket may name for whoever takes over, in the
// order of the hypotheses.
func (c *compiler) briefs(h *Handover) []diagnose.Extra {
	at := map[string]int{}
	var list []diagnose.Extra
	for i, hyp := range c.out.Hypotheses {
		if c.owner(hyp) != h.ID {
			continue
		}
		k, ok := at[hyp.Cause]
		if !ok {
			k = len(list)
			at[hyp.Cause] = k
			list = append(list, diagnose.Extra{ID: BriefPrefix + hyp.Cause, Take: lookAt, Miss: make([]float64, len(c.out.Hypotheses))})
		}
		list[k].Miss[i] = searchFor
	}
	return list
}

// owner is the handover that ends a hypothesis; SomethingElse has none.
func (c *compiler) owner(h Hypothesis) string {
	if cause := Get[Cause](c.book, h.Cause); cause != nil {
		return cause.Owner
	}
	return ""
}

// extras are the parts that a visit may need, in order of their ids; leaving
// one that the cause needs costs a second visit.
func (c *compiler) extras(visit *Handover) []diagnose.Extra {
	miss := map[string][]float64{}
	for i, hyp := range c.out.Hypotheses {
		cause := Get[Cause](c.book, hyp.Cause)
		if cause == nil || cause.Owner != visit.ID {
			continue
		}
		for _, p := range cause.Parts {
			if miss[p] == nil {
				miss[p] = make([]float64, len(c.out.Hypotheses))
			}
			miss[p][i] = visit.Minutes / float64(len(cause.Parts)) // one visit more, however many parts are missing
		}
	}
	var list []diagnose.Extra
	for _, p := range All[Part](c.book) {
		if m := miss[p.ID]; m != nil {
			list = append(list, diagnose.Extra{ID: p.ID, Take: takePart, Miss: m})
		}
	}
	return list
}
