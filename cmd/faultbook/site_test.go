package main

import (
	"strings"
	"testing"

	"faultbook/cmd/faultbook/call"
)

// TestSiteCounts: a call in a room goes by the closed calls of its site once
// there are enough, else by those of all.
func TestSiteCounts(t *testing.T) {
	open := func(here float64) *call.Out {
		d := demoDesk(t, "2026-04-02")
		site := func(symptom, cause string) float64 {
			if symptom == "F-01" && cause == "SC-01" {
				return here
			}
			return 0
		}
		d.Counts = func(symptom, cause string) float64 { // 60 of other sites had another cause
			if symptom == "F-01" && cause == "VL-03" {
				return 60
			}
			return site(symptom, cause)
		}
		d.RoomCounts = func(id string) func(symptom, cause string) float64 {
			if id == "bowline" { // another room of the same site
				return site
			}
			return nil
		}
		_, o := openCall(t, d, "", call.In{Room: "halyard"}, call.In{Symptom: "F-01"})
		return &o
	}
	chance := func(o *call.Out) float64 {
		if i := causeIn(o.Causes, "SC-01"); i >= 0 {
			return o.Causes[i].Chance
		}
		return 0
	}
	few, enough := open(19), open(20)
	if chance(enough) < 1.5*chance(few) {
		t.Errorf("with 19 calls of the site %.3f, with 20 %.3f: the site does not count", chance(few), chance(enough))
	}
	if !strings.Contains(few.Room.Learnt, "has 19 about F-01, 20 are enough") || !strings.Contains(enough.Room.Learnt, "the 20 closed calls of") {
		t.Errorf("said: %q, %q", few.Room.Learnt, enough.Room.Learnt)
	}
}
