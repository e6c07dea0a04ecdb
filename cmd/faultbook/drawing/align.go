package drawing

import "slices"

// align gives the pattern that two branches have in common: the steps that
// both take, and a cut wherever they part. It is worked on the calls of both
// together. It is nil where one would have to hide a stop of the other.
func (g *grower) align(a, b *twig) *twig {
	switch {
	case a.kind == Stop || b.kind == Stop:
		if a.like == b.like {
			return a.and(b)
		}
		return nil
	case a.like == b.like:
		return a.and(b)
	case a.kind != b.kind || a.kind == Cut || a.action.Index != b.action.Index:
		return g.cutBoth(a, b)
	}
	u := a.fresh()
	u.share += b.share
	u.weight = added(a.weight, b.weight)
	u.cured = added(a.cured, b.cured)
	switch a.kind {
	case HandOver:
		u.action.Extras = g.extras(a.action.Index, u.weight)
	case Try:
		if a.next == nil || b.next == nil {
			return g.cutBoth(a, b)
		}
		if u.next = g.align(a.next, b.next); u.next == nil {
			return nil
		}
	case Ask:
		if !slices.EqualFunc(a.kids, b.kids, func(x, y kid) bool { return x.answer == y.answer }) {
			return g.cutBoth(a, b)
		}
		u.kids = nil
		for i, k := range a.kids {
			to := g.align(k.to, b.kids[i].to)
			if to == nil {
				return nil
			}
			u.kids = append(u.kids, kid{k.answer, to})
		}
	}
	return g.finish(u)
}

// cutBoth is one cut for the calls of two branches.
func (g *grower) cutBoth(a, b *twig) *twig {
	return g.cutOf(&twig{trials: a.trials, share: a.share + b.share, weight: added(a.weight, b.weight)})
}

// shape gives t the form of a pattern that was made of it: the same steps, cut
// where the pattern is cut, with the calls of t.
func (g *grower) shape(t, pattern *twig) *twig {
	switch {
	case t.like == pattern.like:
		return t
	case pattern.kind == Cut:
		return g.cutLike(t, pattern.tail)
	case t.kind == Ask && (pattern.kind != Ask || pattern.action.Index != t.action.Index):
		// The pattern has lost this question because all answers came to the same.
		return g.finish(t.withKids(func(k *twig) *twig { return g.shape(k, pattern) }))
	}
	u := t.fresh()
	u.action = pattern.action
	if t.next != nil {
		u.next = g.shape(t.next, pattern.next)
	}
	u.kids = nil
	for i, k := range t.kids {
		u.kids = append(u.kids, kid{k.answer, g.shape(k.to, pattern.kids[i].to)})
	}
	return g.finish(u)
}
