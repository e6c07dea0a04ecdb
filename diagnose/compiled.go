package diagnose

import "fmt"

// Compiled is the whole policy that a search found: what to do in every state
// that following it can lead to.
type Compiled struct {
	run    *run
	policy map[key]*node // states of the policy that the search kept
}

// Policy plans from s and returns the whole policy with the plan.
func (m *Model) Policy(s State, o Options) (*Compiled, Plan, error) {
	r, err := m.search(s, o)
	if err != nil {
		return nil, Plan{}, err
	}
	c := &Compiled{run: r, policy: map[key]*node{}}
	if r.search != nil {
		c.mark(r.search.root)
	}
	return c, r.plan(), nil
}

// mark notes the states that the best steps lead to.
func (c *Compiled) mark(n *node) {
	c.policy[n.key] = n
	if n.edges == nil {
		return
	}
	for _, k := range n.chosen().kids {
		c.mark(k.node)
	}
}

// Next is the step to take in s, which must follow from the state that was
// planned for by the policy's own steps.
func (c *Compiled) Next(s State) (Action, error) {
	r := c.run
	if r.search == nil {
		return r.over, nil
	}
	g, k, ok := r.locate(s)
	if !ok {
		return Action{}, fmt.Errorf("the state does not follow from the one that was planned for")
	}
	b := r.m.Believe(s)
	if n := c.policy[k]; n != nil {
		return r.actionUnder(n.best, b), nil
	}
	w := r.search.p.project(b)
	return r.actionUnder(r.search.value(w, g, r.search.p.at(s.Place)).first, b), nil
}

// actionUnder names a step and takes along what pays under b.
func (r *run) actionUnder(a action, b Belief) Action {
	out := r.action(a)
	if out.Kind == End {
		out.Extras = r.m.extras(out.Index, b.P)
	}
	return out
}

// locate finds the state of the search that s is; false if s does not follow
// from the root.
func (r *run) locate(s State) (got, key, bool) {
	p := r.search.p
	g, k := p.start(), p.spot(s.Place)
	for q, a := range s.Answers {
		l := p.localAsk[q]
		switch {
		case a == r.state.Answers[q]:
		case l < 0 || a < 0:
			return nil, key{}, false
		default:
			g[l] = a
			k = k.with(p.saltAsk[l][a])
		}
	}
	for i, t := range s.Trials {
		l := p.localTry[i]
		switch {
		case t == r.state.Trials[i]:
		case l < 0 || t != Failed:
			return nil, key{}, false
		default:
			g[len(p.asks)+l] = 1
			k = k.with(p.saltTry[l])
		}
	}
	return g, k, true
}

// project joins a belief of the model into one of the problem.
func (p *problem) project(b Belief) []float64 {
	w := make([]float64, p.n)
	for l, list := range p.member {
		for _, c := range list {
			w[l] += b.P[c]
		}
	}
	return w
}

// costAt is the upper bound that the search holds for s; false if s is no
// state that it can name.
func (r *run) costAt(s State, b Belief) (float64, bool) {
	if r.search == nil {
		return 0, false
	}
	g, k, ok := r.locate(s)
	if !ok {
		return 0, false
	}
	if n := r.search.nodes[k]; n != nil {
		return n.hi, true
	}
	return r.search.value(r.search.p.project(b), g, r.search.p.at(s.Place)).hi, true
}
