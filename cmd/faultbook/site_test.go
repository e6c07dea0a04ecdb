package main

import (
	"strings"
	"testing"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/room"
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

// TestTypeCounts: a call in a room goes by the closed calls of the rooms of its
// type, wherever they are, once there are enough; below that by its site's.
func TestTypeCounts(t *testing.T) {
	open := func(alike float64) *call.Out {
		d := demoDesk(t, "2026-04-02")
		sheets := d.Rooms()
		site := ""
		for _, s := range sheets {
			if s.ID == "halyard" {
				s.Type, site = "small", s.Site
			}
		}
		other := ""
		for _, s := range sheets {
			if s.Site != site && other == "" {
				s.Type, other = "Small", s.ID
			}
		}
		d.Rooms = func() []*room.Sheet { return sheets }
		only := func(cause string, n float64) func(string, string) float64 {
			return func(symptom, c string) float64 {
				if symptom == "F-01" && c == cause {
					return n
				}
				return 0
			}
		}
		rooms := map[string]func(string, string) float64{"bowline": only("VL-03", 30), other: only("SC-01", alike)}
		d.RoomCounts = func(id string) func(symptom, cause string) float64 { return rooms[id] }
		d.Counts = func(symptom, cause string) float64 {
			return rooms["bowline"](symptom, cause) + rooms[other](symptom, cause)
		}
		_, o := openCall(t, d, "", call.In{Room: "halyard"}, call.In{Symptom: "F-01"})
		return &o
	}
	few, enough := open(19), open(20)
	if few.Causes[0].ID != "VL-03" || enough.Causes[0].ID != "SC-01" {
		t.Errorf("with 19 calls of the type %s is likeliest, with 20 %s", few.Causes[0].ID, enough.Causes[0].ID)
	}
	if !strings.Contains(few.Room.Learnt, "the 30 closed calls of Terminal building, north quay about F-01; rooms of type small have 19, 20 are enough") ||
		enough.Room.Learnt != "the 20 closed calls of rooms of type small about F-01" {
		t.Errorf("said: %q, %q", few.Room.Learnt, enough.Room.Learnt)
	}
}
