package kb

import (
	"slices"

	"faultbook/diagnose"
)

// Closed gives the state with what the facts and trials of it settle beyond
// themselves. It adds no evidence beside the gates that a fact implies:
//
//   - a fact that only makes sense after another one implies that one;
//   - an answer makes questions that look at nearly the same thing needless;
//   - a remedy that did not help settles the questions that it answers, which
//     are then not put any more;
//   - a remedy that makes no sense under a fact is not proposed.
func (c *Compiled) Closed(s diagnose.State) diagnose.State {
	given := s
	s = s.Clone()
	c.imply(s)
	for i, q := range c.Questions {
		for _, id := range q.Like {
			if k := c.question(id); k >= 0 {
				drop(s, given, i, k)
				drop(s, given, k, i)
			}
		}
	}
	for i, r := range c.Remedies {
		switch {
		case s.Trials[i] == diagnose.Failed:
			for _, f := range r.Settles {
				if q := c.question(f.Question); q >= 0 && s.Answers[q] == diagnose.Open {
					s.Answers[q] = diagnose.Unknown
				}
			}
		case s.Trials[i] == diagnose.Untried && slices.ContainsFunc(r.Unless, func(f Fact) bool { return c.holds(s, f) }):
			s.Trials[i] = diagnose.CouldNot
		}
	}
	return s
}

// drop takes question b off where a is answered in the state as it was given.
func drop(s, given diagnose.State, a, b int) {
	if given.Answers[a] >= 0 && s.Answers[b] == diagnose.Open {
		s.Answers[b] = diagnose.Unknown
	}
}

// imply answers the gates of what is known where a gate lets just one answer
// through.
func (c *Compiled) imply(s diagnose.State) {
	for changed := true; changed; {
		changed = false
		for i, q := range c.Questions {
			if s.Answers[i] < 0 {
				continue
			}
			for _, f := range q.When {
				g := c.question(f.Question)
				if g < 0 || s.Answers[g] >= 0 || len(f.Is) != 1 {
					continue
				}
				if a := c.Answer(g, f.Is[0]); a >= 0 {
					s.Answers[g], changed = int16(a), true
				}
			}
		}
	}
}

// holds reports whether the fact is known in s.
func (c *Compiled) holds(s diagnose.State, f Fact) bool {
	q := c.question(f.Question)
	return q >= 0 && s.Answers[q] >= 0 && slices.Contains(f.Is, c.Questions[q].Answers[s.Answers[q]].Value)
}

// question is the index of a question in the model, -1 where it is not there.
func (c *Compiled) question(id string) int {
	if i, ok := c.index[id]; ok {
		return i
	}
	return -1
}

// Planned is the policy of a call: it plans from the closed state.
func (c *Compiled) Planned(o diagnose.Options) diagnose.Policy { return c.closing(c.Model.Planned(o)) }

// closing is p as it works from the closed state: who has the answer to one of
// two questions that look at nearly the same thing does not ask the other, and
// does not count twice what is known once.
func (c *Compiled) closing(p diagnose.Policy) diagnose.Policy {
	return diagnose.PolicyFunc(func(s diagnose.State) (diagnose.Action, error) { return p.Next(c.Closed(s)) })
}
