package diagnose

// Reason says, as data, why a step is worth taking.
type Reason struct {
	Action   Action
	Minutes  float64   // the step itself with its walk; a final's whole cost
	Expected float64   // minutes from now on, this step first
	Against  *Choice   // the best other first step, nil if there is none
	Saves    float64   // minutes saved against it; negative if it is better
	Outcomes []Outcome // what may come of it, in the order of the answers
}

// Outcome is one thing that may come of a step.
type Outcome struct {
	Answer   int       // index of the answer; -1 for a repair
	Works    bool      // the repair worked and the case is over
	Chance   float64   // 0..1
	Belief   []float64 // chance of each cause afterwards; nil if it worked
	Expected float64   // minutes from then on
}

// Explain gives the reasons for taking action a in s. It searches as Plan
// does with the same options.
func (m *Model) Explain(s State, a Action, o Options) (Reason, error) {
	run, err := m.search(s, o)
	if err != nil {
		return Reason{}, err
	}
	return run.reason(a, o)
}

// Step is Plan and Explain of the plan's first step, for one search.
func (m *Model) Step(s State, o Options) (Plan, Reason, error) {
	run, err := m.search(s, o)
	if err != nil {
		return Plan{}, Reason{}, err
	}
	p := run.plan()
	why, err := run.reason(p.First, o)
	return p, why, err
}

func (r *run) reason(a Action, o Options) (Reason, error) {
	why := Reason{Action: a}
	var err error
	switch a.Kind {
	case End:
		why.Minutes = r.m.finalCost(a.Index, r.belief.P)
		why.Expected = why.Minutes
		why.Action.Extras = r.m.extras(a.Index, r.belief.P)
	case Try:
		err = r.reasonTry(&why, o)
	case Ask:
		err = r.reasonAsk(&why, o)
	}
	if err != nil {
		return why, err
	}
	for _, c := range r.plan().Choices {
		if c.Action.Kind != a.Kind || c.Action.Index != a.Index {
			why.Against, why.Saves = &c, c.Expected-why.Expected
			break
		}
	}
	return why, nil
}

func (r *run) reasonTry(why *Reason, o Options) error {
	src := &r.m.Repairs[why.Action.Index]
	why.Minutes = src.Cost + r.m.walk(r.state.Place, src.Place)
	works := dot(r.belief.P, src.Fixes)
	t := r.state.Clone()
	t.Trials[why.Action.Index] = Failed
	t.Place = moved(t.Place, src.Place)
	fails, err := r.outcome(-1, 1-works, t, o)
	if err != nil {
		return err
	}
	why.Outcomes = []Outcome{{Answer: -1, Works: true, Chance: works}, fails}
	why.Expected = why.Minutes + fails.Chance*fails.Expected
	return nil
}

func (r *run) reasonAsk(why *Reason, o Options) error {
	src := &r.m.Questions[why.Action.Index]
	why.Minutes = src.Cost + r.m.walk(r.state.Place, src.Place)
	why.Expected = why.Minutes
	for a := range src.Answers {
		chance := 0.0
		for c, p := range r.belief.P {
			chance += p * src.Given[c][a]
		}
		t := r.state.Clone()
		t.Answers[why.Action.Index] = int16(a)
		t.Place = moved(t.Place, src.Place)
		out, err := r.outcome(a, chance, t, o)
		if err != nil {
			return err
		}
		why.Outcomes = append(why.Outcomes, out)
		why.Expected += out.Chance * out.Expected
	}
	return nil
}

// outcome looks up what follows in state t, or plans it where the search did
// not come by.
func (r *run) outcome(answer int, chance float64, t State, o Options) (Outcome, error) {
	out := Outcome{Answer: answer, Chance: chance}
	b := r.m.Believe(t)
	if chance <= 0 || b.None {
		out.Chance = max(0, chance)
		return out, nil
	}
	out.Belief = b.P
	if v, ok := r.costAt(t, b); ok {
		out.Expected = v
		return out, nil
	}
	next, err := r.m.search(t, o)
	if err != nil {
		return out, err
	}
	out.Expected = next.plan().Expected
	return out, nil
}
