package drawing

// move makes the tree shorter at one twig: a branch is cut, or two branches
// are made alike so that they print as one.
type move struct {
	from, to *twig
	kept     float64 // share of calls no longer kept
	good     float64 // what is lost of burden.good
	rows     int     // lines saved, at least 1
}

// prune shortens root by the move that costs the smallest share of calls for
// each line that it saves, of those that leave at least cover kept. It returns
// nil where there is none. Moves that cost nothing kept but cures at cuts are
// made only if those are too few for their lines.
func (g *grower) prune(root *twig, cover float64) *twig {
	return g.weakest(root, func(m *move) bool {
		spared := m.kept <= rounding || root.burden.kept-m.kept >= cover-rounding
		return spared && (m.kept > rounding || m.good < worthRow*float64(m.rows))
	})
}

// weakest makes the allowed move that loses least for its lines.
func (g *grower) weakest(root *twig, allowed func(*move) bool) *twig {
	var best *move
	var look func(*twig)
	look = func(t *twig) {
		for i := range g.movesOf(t) {
			m := &t.moves[i]
			if allowed(m) && (best == nil || m.good*float64(best.rows) < best.good*float64(m.rows)-rounding) {
				best = m
			}
		}
		for _, x := range t.groups {
			look(x.to)
		}
		if t.next != nil {
			look(t.next)
		}
	}
	look(root)
	if best == nil {
		return nil
	}
	return g.replace(root, best.from, best.to)
}

// worthRow is the share of calls that a printed line should serve.
const worthRow = 0.0005

// replace returns t with one twig in the place of another; answers that print
// alike go on doing so.
func (g *grower) replace(t, from, to *twig) *twig {
	if t == from {
		return to
	}
	if t.next != nil {
		if n := g.replace(t.next, from, to); n != t.next {
			u := t.fresh()
			u.next = n
			return g.finish(u)
		}
	}
	for _, x := range t.groups {
		if n := g.replace(x.to, from, to); n != x.to {
			return g.finish(t.withKids(func(k *twig) *twig {
				if k.like == x.to.like {
					return g.shape(k, n)
				}
				return k
			}))
		}
	}
	return t
}

// withKids is a copy of t with every kid changed.
func (t *twig) withKids(change func(*twig) *twig) *twig {
	u := t.fresh()
	u.kids = nil
	for _, k := range t.kids {
		u.kids = append(u.kids, kid{k.answer, change(k.to)})
	}
	return u
}

// movesOf are the moves at t itself, not below it.
func (g *grower) movesOf(t *twig) []move {
	if t.moved {
		return t.moves
	}
	t.moved = true
	if t.kind == Try && t.next != nil && t.next.kind != Cut && t.next.kind != Stop {
		u := t.fresh()
		u.next = g.cutOf(t.next)
		g.offer(t, u)
	}
	if t.kind != Ask {
		return t.moves
	}
	for i, a := range t.groups {
		if a.to.kind != Cut && a.to.kind != Stop {
			like := g.cutOf(a.to)
			g.offer(t, t.withKids(func(k *twig) *twig {
				if k.like == a.to.like {
					return g.cutLike(k, like.tail)
				}
				return k
			}))
		}
		for _, b := range t.groups[i+1:] {
			g.offerAlign(t, a.to, b.to)
		}
	}
	return t.moves
}

// offerAlign offers to make two branches of a question alike.
func (g *grower) offerAlign(t, a, b *twig) {
	if a.small() && b.small() {
		return // they share a line already
	}
	pattern := g.align(a, b)
	if pattern == nil {
		return
	}
	g.offer(t, t.withKids(func(k *twig) *twig {
		if k.like == a.like || k.like == b.like {
			return g.shape(k, pattern)
		}
		return k
	}))
}

// offer takes in a move if it saves lines.
func (g *grower) offer(t, u *twig) {
	n := g.finish(u)
	if rows := t.burden.rows - n.burden.rows; rows > 0 {
		t.moves = append(t.moves, move{t, n, t.burden.kept - n.burden.kept, t.burden.good - n.burden.good, rows})
	}
}
