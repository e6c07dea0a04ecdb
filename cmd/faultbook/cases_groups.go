package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"faultbook/cmd/faultbook/call"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// roomGroup are the calls about the rooms of one site or of one type.
type roomGroup struct {
	By    string `json:"by"` // site or type
	Name  string `json:"name"`
	Rooms int    `json:"rooms"` // with a sheet
	Calls int    `json:"calls"`
	Known int    `json:"known"` // that ended with a known cause
	// Used are the symptoms with calls enough for chances of the group's own.
	Used []string `json:"used"`
}

// roomGroups counts the calls by the sites and types that sheets name, sites
// first, the most calls first, ties by name. Letter case does not part them.
func roomGroups(desk *call.Desk, list []cases.Record) []roomGroup {
	groups := []roomGroup{}
	if desk.Rooms == nil {
		return groups
	}
	calls := map[string][]cases.Record{}
	for _, r := range list {
		calls[strings.ToLower(r.Room)] = append(calls[strings.ToLower(r.Room)], r)
	}
	at := map[string]int{}
	own := [][]cases.Record{}
	for _, x := range desk.Rooms() {
		for _, g := range []roomGroup{{By: "site", Name: x.Site}, {By: "type", Name: x.Type}} {
			if g.Name == "" {
				continue
			}
			key := g.By + "\n" + strings.ToLower(g.Name)
			i, ok := at[key]
			if !ok {
				i, at[key] = len(groups), len(groups)
				groups, own = append(groups, g), append(own, nil)
			}
			groups[i].Rooms++
			own[i] = append(own[i], calls[strings.ToLower(x.ID)]...)
		}
	}
	for i := range groups {
		groups[i].take(own[i])
	}
	slices.SortFunc(groups, func(a, b roomGroup) int {
		return cmp.Or(cmp.Compare(a.By, b.By), b.Calls-a.Calls, cmp.Compare(a.Name, b.Name))
	})
	return groups
}

func (g *roomGroup) take(list []cases.Record) {
	counts := cases.CountsOf(list)
	g.Calls, g.Used = len(list), []string{}
	for symptom := range counts {
		n := counts.Calls(symptom)
		if g.Known += n; n >= kb.EnoughCalls {
			g.Used = append(g.Used, symptom)
		}
	}
	slices.Sort(g.Used)
}

func printGroups(s streams, list []roomGroup) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(s.Out, "\nRooms with a sheet, by site and type (chances of their own from %d calls of a symptom)\n", kb.EnoughCalls)
	for _, g := range list {
		used := ""
		if len(g.Used) > 0 {
			used = ", chances of their own for " + strings.Join(g.Used, ", ")
		}
		fmt.Fprintf(s.Out, "  %-5s %-30s %s, %s, %d with a known cause%s\n", g.By, g.Name, count(g.Rooms, "room"), count(g.Calls, "call"), g.Known, used)
	}
}
