package call

import (
	"fmt"
	"strings"

	"faultbook/kb"
	"faultbook/kb/room"
)

// siteCounts are the closed calls that a call in a room goes by.
type siteCounts struct {
	counts func(symptom, cause string) float64
	used   func(symptom string) bool // whether those of the site alone are enough
	calls  func(symptom string) int  // closed calls of the site
}

// siteCounts narrows the counts to the rooms of the sheet's site, by the rule of
// kb.GroupCounts: symptom by symptom, where the site has calls enough.
func (v *view) siteCounts(s *room.Sheet) siteCounts {
	desk := v.call.desk
	all := desk.Counts
	none := siteCounts{all, func(string) bool { return false }, func(string) int { return 0 }}
	if s.Site == "" || desk.RoomCounts == nil || all == nil {
		return none
	}
	if known, ok := v.call.sites[s.Site]; ok {
		return known
	}
	var rooms []func(symptom, cause string) float64
	for _, id := range desk.roomsAt(s.Site) {
		if own := desk.RoomCounts(id); own != nil {
			rooms = append(rooms, own)
		}
	}
	site := func(symptom, cause string) float64 {
		n := 0.0
		for _, own := range rooms {
			n += own(symptom, cause)
		}
		return n
	}
	out := none
	out.counts, out.used = kb.GroupCounts(desk.Book, all, site)
	out.calls = func(symptom string) int {
		n := 0.0
		for _, c := range kb.Priors(desk.Book, symptom, nil) {
			n += site(symptom, c.ID)
		}
		return int(n)
	}
	if v.call.sites == nil {
		v.call.sites = map[string]siteCounts{}
	}
	v.call.sites[s.Site] = out
	return out
}

// roomsAt are the ids of the rooms of a site, letter case aside.
func (d *Desk) roomsAt(site string) []string {
	if d.Library != nil {
		return d.Library.At(site)
	}
	var ids []string
	if d.Rooms != nil {
		for _, s := range d.Rooms() {
			if strings.EqualFold(s.Site, site) {
				ids = append(ids, s.ID)
			}
		}
	}
	return ids
}

// learntFrom says whose closed calls count for the likeliest symptom.
func (v *view) learntFrom(s *room.Sheet) string {
	list := v.symptomChances()
	if len(list) == 0 || v.call.desk.Counts == nil || s.Site == "" {
		return ""
	}
	site, id := v.siteCounts(s), list[0].ID
	if site.used(id) {
		return fmt.Sprintf("the %d closed calls of %s about %s", site.calls(id), s.Site, id)
	}
	return fmt.Sprintf("the closed calls of all sites: %s has %d about %s, %d are enough", s.Site, site.calls(id), id, kb.EnoughCalls)
}
