package diagnose

// Budgets are counted in states, so that the same model gives the same plan
// everywhere; how many states are worth their time is worked out from the size
// of the model alone, with figures measured once on one machine.

const (
	planWork = 1e6 // microseconds of such a machine for a plan
	callWork = 1.5e3
	mostPlan = 100000 // states that fit into memory
	mostCall = 200
	leastAny = 8
)

// DefaultBudget is the number of states that Plan expands when not told
// otherwise: about a second's work.
func (m *Model) DefaultBudget() int { return m.budget(planWork, mostPlan) }

// CallBudget is the number of states for one step of a call: a few
// milliseconds' work.
func (m *Model) CallBudget() int { return m.budget(callWork, mostCall) }

func (m *Model) budget(work float64, most int) int {
	answers := 0
	for q := range m.Questions {
		answers += len(m.Questions[q].Answers)
	}
	asks, tries := len(m.Questions), len(m.Repairs)
	each := 0.3 + 0.03*float64(tries) // for one outcome of one step
	first := each * float64(answers+tries)
	next := first
	if asks+tries > fewSteps {
		share := float64(min(asks, topAsks)) / float64(max(asks, 1))
		next = each * (share*float64(answers) + float64(min(tries, topTries)))
	}
	return max(leastAny, min(most, int((work-first)/(next+each))))
}
