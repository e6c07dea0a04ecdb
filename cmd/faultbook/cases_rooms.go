package main

import (
	"fmt"
	"strings"
	"sync"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb/cases"
)

// roomCounts gives the closed calls of one room by symptom and cause, as the
// last command that looked at the cases left them. The file with them is read
// once, when a call has a room.
func roomCounts(s streams, desk *call.Desk) func(id string) func(symptom, cause string) float64 {
	byRoom := sync.OnceValue(func() map[string]cases.Counts {
		folder, err := cacheFolder()
		if err != nil {
			return nil
		}
		counts, err := cases.ReadRoomCounts(folder, desk.Store)
		if err != nil {
			fmt.Fprintf(s.Err, "faultbook: this call does without the counts of its room: %v\n", err)
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
