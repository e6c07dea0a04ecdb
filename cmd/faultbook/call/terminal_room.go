package call

import "strings"

// room sets the room of the call and shows what its sheet says.
func (t *Terminal) room(name string) (Out, error) {
	o, err := t.Call.Do(In{Room: name})
	if err == nil {
		t.Screen.Room(o.Room)
	}
	return o, err
}

// shownFindings is how many findings of a room's check are shown in a call.
const shownFindings = 3

// Room prints what the sheet of the room says, nothing without one.
func (s *Screen) Room(r *Room) {
	if r == nil {
		return
	}
	day := "never surveyed"
	if r.Surveyed != "" {
		day = "surveyed " + strings.TrimSpace(r.Surveyed+" "+r.By)
	}
	s.para("  Room  ", r.Title+" ("+r.ID+"), "+day+", trusted "+Percent(r.Trust))
	for _, w := range r.Works {
		s.para("    Lately: ", w)
	}
	if r.Learnt != "" {
		s.para("    Chances from: ", "the book and "+r.Learnt)
	}
	for i, f := range r.Findings {
		if i == shownFindings {
			s.line("    and %d findings more: faultbook room check %s", len(r.Findings)-i, r.ID)
			break
		}
		s.para("    Known weak spot: ", f.Text)
	}
	for _, l := range r.Lamps {
		s.para("    ", l)
	}
}
