package diagnose

// Extras lists what is worth taking along with a final under a belief: the
// extras that cost less to take than, in expectation, to leave.
func (m *Model) Extras(final int, b Belief) []int { return m.extras(final, b.P) }
