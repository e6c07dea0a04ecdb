package kb

import "faultbook/diagnose"

// takePart is what one part more costs a visit, in minutes: fetching it from
// the store and booking it (common practice, no source).
const takePart = 2

// handovers makes a final of each way to pass the call on that owns a live
// cause, and of those that safety rules name. A handover costs its base where
// it owns the cause and its `wrong` minutes more where it does not; a visit
// that comes without a part that the true cause needs must come again.
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
			f.Cost[i] = h.Minutes
			if c.owner(hyp) != h.ID {
				f.Cost[i] += h.Wrong
			}
		}
		if h.Visit {
			f.Extras = c.extras(h)
		}
		c.out.Handovers = append(c.out.Handovers, h)
		c.out.Model.Finals = append(c.out.Model.Finals, f)
	}
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
			miss[p][i] = visit.Minutes
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
