package diagnose

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// Played is what came of one simulated case.
type Played struct {
	Cured     bool     // a repair worked
	Final     int      // the final that was taken, -1 if cured
	Leaders   []string // groups that no other outweighed when it was handed over
	Wrong     int      // repairs done that could not have cured the cause
	Vain      int      // repairs done that cure the cause at times, but did not
	Questions int      // questions put
	Minutes   float64  // spent in all, walks and the final included
	Stopped   bool     // a safety rule ended it
}

// maxPlay ends a play that a policy does not end; no sound policy comes near.
const maxPlay = 500

// Play lets p work on a case whose true cause is c. Answers are drawn from the
// model's own rows, so misreadings occur as often as the rows say; repairs
// work by their chance of curing c. The same r gives the same play.
func (m *Model) Play(c int, p Policy, r *rand.Rand) (Played, error) {
	return m.PlayFrom(c, Opening{State: m.NewState()}, p, r)
}

// Opening is how a play begins: what is known already, and rows from which
// the answers to some questions are drawn instead of the model's, by question,
// where the world is known better than to the model.
type Opening struct {
	State State
	Rows  map[int][]float64
}

// PlayFrom is Play from an opening.
func (m *Model) PlayFrom(c int, o Opening, p Policy, r *rand.Rand) (Played, error) {
	out := Played{Final: -1}
	s := o.State.Clone()
	for range maxPlay {
		a, err := p.Next(s)
		if err != nil {
			return out, err
		}
		switch a.Kind {
		case Ask:
			out.Questions++
			out.Minutes += m.move(&s, m.Questions[a.Index].Place) + m.Questions[a.Index].Cost
			row, ok := o.Rows[a.Index]
			if !ok {
				row = m.Questions[a.Index].Given[c]
			}
			s.Answers[a.Index] = drawAnswer(row, r)
		case Try:
			out.Minutes += m.move(&s, m.Repairs[a.Index].Place) + m.Repairs[a.Index].Cost
			if r.Float64() < m.Repairs[a.Index].Fixes[c] {
				out.Cured = true
				return out, nil
			}
			if m.Repairs[a.Index].Fixes[c] > 0 {
				out.Vain++
			} else {
				out.Wrong++
			}
			s.Trials[a.Index] = Failed
		case End:
			b := m.Believe(s)
			out.Final, out.Leaders, out.Stopped = a.Index, m.leaders(b), b.Stop >= 0
			out.Minutes += m.finalFor(a, c)
			return out, nil
		default:
			return out, nil
		}
	}
	return out, fmt.Errorf("play of %s: the policy does not end within %d steps", m.Causes[c].ID, maxPlay)
}

// move walks to a place and gives the minutes.
func (m *Model) move(s *State, place int) float64 {
	if place < 0 {
		return 0
	}
	from := s.Place
	s.Place = place
	if from < 0 || m.Walk == nil {
		return 0
	}
	return m.Walk[from][place]
}

// drawAnswer picks an answer by its chance.
func drawAnswer(row []float64, r *rand.Rand) int16 {
	x := r.Float64()
	for a, p := range row {
		if x -= p; x < 0 {
			return int16(a)
		}
	}
	return int16(len(row) - 1)
}

// leaders are the groups that no other group outweighs, in the order of the
// model; more than one only where they are equal.
func (m *Model) leaders(b Belief) []string {
	sum := map[string]float64{}
	top := 0.0
	for i, p := range b.P {
		g := m.Causes[i].group()
		sum[g] += p
		top = max(top, sum[g])
	}
	var list []string
	for _, c := range m.Causes {
		g := c.group()
		if sum[g] >= top-1e-12 && !slices.Contains(list, g) {
			list = append(list, g)
		}
	}
	return list
}

// group is the name under which a person knows the cause.
func (c Cause) group() string {
	if c.Group != "" {
		return c.Group
	}
	return c.ID
}

// finalFor is what final a costs if the cause is c.
func (m *Model) finalFor(a Action, c int) float64 {
	f := &m.Finals[a.Index]
	cost := f.Cost[c]
	taken := make([]bool, len(f.Extras))
	for _, x := range a.Extras {
		taken[x] = true
	}
	for i, x := range f.Extras {
		if taken[i] {
			cost += x.Take
		} else {
			cost += x.Miss[c]
		}
	}
	return cost
}

// Planned is the policy of a call: plan anew in each state, within a budget.
// Steps are kept, so that a state met again costs nothing; it is not safe for
// several goroutines.
func (m *Model) Planned(o Options) Policy {
	kept := map[string]Action{}
	return PolicyFunc(func(s State) (Action, error) {
		key := s.key()
		if a, ok := kept[key]; ok {
			return a, nil
		}
		p, err := m.Plan(s, o)
		if err != nil {
			return Action{}, err
		}
		kept[key] = p.First
		return p.First, nil
	})
}

// key names a state.
func (s State) key() string {
	b := make([]byte, 0, len(s.Answers)+len(s.Trials)+1)
	for _, a := range s.Answers {
		b = append(b, byte(a+2))
	}
	for _, t := range s.Trials {
		b = append(b, byte(t))
	}
	return string(append(b, byte(s.Place+1)))
}
