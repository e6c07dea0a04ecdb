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
	Ticks                    []tick
}

// tick is a mark on the line; Minutes is written under it where it is not "".
type tick struct{ At, Minutes string }

// mostTicks is how many numbers fit below the line on a telephone.
const mostTicks = 6

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
	r.Ticks = ticks(long)
	return r
}

// ticks marks round numbers of minutes, few enough to be read.
func ticks(long float64) []tick {
	step := 5.0
	for _, wider := range []float64{10, 15, 30, 60, 120, 240, 480, 1440, 10080} {
		if long/step > mostTicks {
			step = wider
		}
	}
	var list []tick
	for at := step; at < long*0.97; at += step {
		list = append(list, tick{share(at, long), fmt.Sprintf("%.0f", at)})
	}
	return list
}

func share(x, of float64) string { return fmt.Sprintf("%.1f%%", 100*min(1, x/of)) }
