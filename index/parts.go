package index

import (
	"regexp"
	"strings"
)

// Part is a stretch of a caller's words that may be a complaint of its own.
type Part struct {
	Words string
	// Announced says that the words before it told of one thing more.
	Announced bool
}

// cuts are where one complaint surely ends; those in the second group announce
// one thing more. ands are where another may begin.
var (
	cuts = regexp.MustCompile(`(?i)([.;:!?]+(?:\s+|$))|,?\s*\b(and also|and on top of that|on top of that|and besides|and second(?:ly)?|secondly|another thing(?: is)?|and the other thing(?: is)?|and apart from that|plus)\b[,:]?\s*`)
	ands = regexp.MustCompile(`(?i),?\s+(?:and|but)\s+`)
)

// leastPart is how many words a part must have to be read by itself.
const leastPart = 3

// Parts cuts what was said into stretches that may be complaints of their own.
// One without enough words is left out.
func Parts(said []string) []Part {
	var list []Part
	for _, words := range said {
		from, announced := 0, false
		for _, at := range cuts.FindAllStringSubmatchIndex(words, -1) {
			list = appendPart(list, words[from:at[0]], announced)
			from, announced = at[1], at[4] >= 0
		}
		list = appendPart(list, words[from:], announced)
	}
	return list
}

func appendPart(list []Part, text string, announced bool) []Part {
	if text = strings.Trim(text, " ,.;:!?"); len(strings.Fields(text)) >= leastPart {
		list = append(list, Part{text, announced})
	}
	return list
}

// Halves are the ways to cut a part in two at an "and" or a "but".
func (p Part) Halves() [][2]Part {
	var list [][2]Part
	for _, at := range ands.FindAllStringIndex(p.Words, -1) {
		two := appendPart(appendPart(nil, p.Words[:at[0]], p.Announced), p.Words[at[1]:], false)
		if len(two) == 2 {
			list = append(list, [2]Part{two[0], two[1]})
		}
	}
	return list
}
