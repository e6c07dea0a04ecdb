package page

import (
	"fmt"

	"faultbook/cmd/faultbook/call"
)

// ruler is the call's time on one line, from its beginning to the later of its
// expected end and the meeting. Places are shares of the line in percent.
type ruler struct {
	Spent, Expected, Meeting string
	HasMeeting, Late         bool
}

// shortestRuler is the least number of minutes that the line is long.
const shortestRuler = 10

func newRuler(m call.Minutes) ruler {
	long := max(shortestRuler, m.Spent+m.Expected)
	var r ruler
	if m.Meeting != nil {
		r.HasMeeting = true
		r.Late = m.Expected > *m.Meeting
		long = max(long, m.Spent+min(*m.Meeting, 3*long))
		r.Meeting = share(m.Spent+*m.Meeting, long)
	}
	r.Spent, r.Expected = share(m.Spent, long), share(m.Spent+m.Expected, long)
	return r
}

func share(x, of float64) string { return fmt.Sprintf("%.1f%%", 100*min(1, x/of)) }
