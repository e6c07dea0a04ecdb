package main

import (
	"strings"
	"sync"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/cases"
)

// roomCounts gives the closed calls of one room by symptom and cause. The
// records are gathered once, when a call has a room.
func roomCounts(s streams, desk *call.Desk) func(id string) func(symptom, cause string) float64 {
	byRoom := sync.OnceValue(func() map[string]cases.Counts {
		of := map[string][]cases.Record{}
		all, _ := allRecords(s, desk)
		for _, r := range all {
			if r.Room != "" {
				of[strings.ToLower(r.Room)] = append(of[strings.ToLower(r.Room)], r)
			}
		}
		counts := map[string]cases.Counts{}
		for id, list := range of {
			counts[id] = cases.CountsOf(list)
		}
		return counts
	})
	return func(id string) func(symptom, cause string) float64 {
		if c := byRoom()[strings.ToLower(id)]; len(c) > 0 {
			return c.Of
		}
		return nil
	}
}
