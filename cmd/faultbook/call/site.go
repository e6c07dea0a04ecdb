package call

import (
	"fmt"
	"strings"

	"faultbook/kb"
	"faultbook/kb/room"
)

// groupCounts are the closed calls that a call in a room goes by.
type groupCounts struct {
	counts     func(symptom, cause string) float64
	step       func(symptom string) int // the narrowest group with calls enough, see kb.StepCounts
	site, kind func(symptom string) int // closed calls of the site, and of the type of room
}

// groupCounts narrows the counts to the rooms of the sheet's site and from there
// to those of its type, by the rule of kb.StepCounts: symptom by symptom, where
// a group has calls enough.
func (v *view) groupCounts(s *room.Sheet) groupCounts {
	desk := v.call.desk
	all := desk.Counts
	zero := func(string) int { return 0 }
	if s.Site == "" && s.Type == "" || desk.RoomCounts == nil || all == nil {
		return groupCounts{all, zero, zero, zero}
	}
	key := s.Site + "\n" + s.Type
	if known, ok := v.call.groups[key]; ok {
		return known
	}
	var at, like, both roomSum
	for _, x := range desk.labels() {
		own := desk.RoomCounts(x.ID)
		if own == nil {
			continue
		}
		here, alike := s.Site != "" && strings.EqualFold(x.Site, s.Site), s.Type != "" && strings.EqualFold(x.Type, s.Type)
		if here {
			at = append(at, own)
		}
		if alike {
			like = append(like, own)
		}
		if here && alike {
			both = append(both, own)
		}
	}
	var out groupCounts
	out.counts, out.step = kb.StepCounts(desk.Book, all, at.of, like.of, both.of)
	out.site, out.kind = at.calls(desk.Book), like.calls(desk.Book)
	if v.call.groups == nil {
		v.call.groups = map[string]groupCounts{}
	}
	v.call.groups[key] = out
	return out
}

// roomSum adds the counts of rooms up.
type roomSum []func(symptom, cause string) float64

func (r roomSum) of(symptom, cause string) float64 {
	n := 0.0
	for _, own := range r {
		n += own(symptom, cause)
	}
	return n
}

// calls gives the number of closed calls about a symptom with a cause that the
// book lists there.
func (r roomSum) calls(b *kb.Book) func(symptom string) int {
	return func(symptom string) int {
		n := 0.0
		for _, c := range kb.Priors(b, symptom, nil) {
			n += r.of(symptom, c.ID)
		}
		return int(n)
	}
}

// labels are the rooms that have a sheet, with their names, site and type at
// least.
func (d *Desk) labels() []*room.Sheet {
	switch {
	case d.Library != nil:
		return d.Library.Labels()
	case d.Rooms != nil:
		return d.Rooms()
	}
	return nil
}

// learntFrom says whose closed calls count for the likeliest symptom.
func (v *view) learntFrom(s *room.Sheet) string {
	list := v.symptomChances()
	if len(list) == 0 || v.call.desk.Counts == nil || s.Site == "" && s.Type == "" {
		return ""
	}
	groups, id := v.groupCounts(s), list[0].ID
	kind := ""
	if s.Type != "" {
		kind = fmt.Sprintf("; rooms of type %s have %d, %d are enough", s.Type, groups.kind(id), kb.EnoughCalls)
	}
	switch step := groups.step(id); {
	case step == kb.StepNarrow:
		return fmt.Sprintf("the %d closed calls of rooms of type %s about %s", groups.kind(id), s.Type, id)
	case step == kb.StepWide:
		return fmt.Sprintf("the %d closed calls of %s about %s", groups.site(id), s.Site, id) + kind
	case s.Site == "":
		return "the closed calls of all rooms about " + id + kind
	}
	return fmt.Sprintf("the closed calls of all sites: %s has %d about %s, %d are enough", s.Site, groups.site(id), id, kb.EnoughCalls) + kind
}
