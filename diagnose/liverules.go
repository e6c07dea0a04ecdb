package diagnose

type liveCondition struct {
	ask   int
	yes   []bool    // per answer
	share []float64 // per cause: chance of such an answer; only for rules that exclude
}

type liveRule struct {
	when []liveCondition
	keep []bool // per cause; nil if the rule excludes nothing
	ask  []int
	stop int
}

func (p *problem) addRules(s State) {
	for i := range p.m.Rules {
		src := &p.m.Rules[i]
		when, possible := p.live(src.When, s)
		if !possible {
			continue
		}
		r := liveRule{when: when, stop: src.Stop}
		for _, q := range src.Ask {
			if l := p.localAsk[q]; l >= 0 {
				p.asks[l].watch = true
				r.ask = append(r.ask, l)
			}
		}
		if len(when) > 0 && (src.Exclude != nil || src.Only != nil) {
			r.keep = p.keep(src)
			for j := range when {
				when[j].share = p.share(&when[j])
			}
			p.excludes, p.taken = true, make([]float64, p.n)
		}
		for _, k := range when {
			p.asks[k.ask].rousedBy(k.yes)
		}
		p.rules = append(p.rules, r)
	}
	for i := range p.asks {
		for _, k := range p.asks[i].when {
			if k.ask >= 0 { // else it cannot come to hold, and only a rule may put the question
				p.asks[k.ask].watch = true
			}
		}
	}
}

// rousedBy notes the answers that a rule waits for.
func (a *ask) rousedBy(yes []bool) {
	a.watch = true
	if a.rouse == nil {
		a.rouse = make([]bool, len(yes))
	}
	for i, y := range yes {
		a.rouse[i] = a.rouse[i] || y
	}
}

func (p *problem) keep(r *Rule) []bool {
	all := make([]bool, len(p.m.Causes))
	for c := range all {
		all[c] = r.Only == nil
	}
	for _, c := range r.Only {
		all[c] = true
	}
	for _, c := range r.Exclude {
		all[c] = false
	}
	keep := make([]bool, p.n)
	for c := range keep {
		keep[c] = all[p.member[c][0]]
	}
	return keep
}

// share is the chance, per cause, of an answer that meets k.
func (p *problem) share(k *liveCondition) []float64 {
	list := make([]float64, p.n)
	given := p.m.Questions[p.asks[k.ask].id].Given
	for c := range list {
		for a, v := range given[p.member[c][0]] {
			if k.yes[a] {
				list[c] += v
			}
		}
	}
	return list
}

// live keeps the conditions that are still open; false if one cannot hold.
func (p *problem) live(list []Condition, s State) ([]liveCondition, bool) {
	var out []liveCondition
	for _, k := range list {
		if s.meets(k) {
			continue
		}
		l := p.localAsk[k.Question]
		if l < 0 {
			return []liveCondition{{ask: -1}}, false
		}
		yes := make([]bool, len(p.m.Questions[k.Question].Answers))
		for _, a := range k.Answers {
			yes[a] = true
		}
		out = append(out, liveCondition{ask: l, yes: yes})
	}
	return out, true
}

// holds reports whether all conditions are met in g.
func (g got) holds(list []liveCondition) bool {
	for _, k := range list {
		if k.ask < 0 || g[k.ask] < 0 || !k.yes[g[k.ask]] {
			return false
		}
	}
	return true
}

// demand returns the final that a rule leaves alone in g, or -1, and the
// question that a rule puts before anything else, or -1.
func (p *problem) demand(g got) (stop, ask int) {
	stop, ask = -1, -1
	for i := range p.rules {
		r := &p.rules[i]
		if r.stop < 0 && len(r.ask) == 0 || !g.holds(r.when) {
			continue
		}
		if r.stop >= 0 && stop < 0 {
			stop = r.stop
		}
		for _, q := range r.ask {
			if ask < 0 && g[q] == open {
				ask = q
			}
		}
	}
	return stop, ask
}
