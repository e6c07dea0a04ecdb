package drawing

import (
	"fmt"
	"strings"
)

// The phrases that all drawings share, so that the same node reads the same
// on a screen, on paper and aloud.

// summary says what the tree holds, in full sentences.
func (t *Tree) summary() []string {
	whom := "a caller"
	if t.Who == "technician" {
		whom = "a technician on site"
	}
	list := []string{fmt.Sprintf("For %s. %s of the calls end on this tree as they would with the program, which takes about %s a call.",
		whom, percent(t.Kept), minutes(t.Expected))}
	if t.CutShare > rounding {
		text := fmt.Sprintf("%s of the calls run into a cut", percent(t.CutShare))
		if t.Tailed <= rounding {
			text += " and are handed over"
		} else {
			text += fmt.Sprintf("; the remedies named there cure %s of all calls, the others are handed over", percent(t.Tailed))
		}
		if t.Owned > rounding {
			text += fmt.Sprintf(", %s to who owns the cause", percent(t.Owned))
		}
		list = append(list, text+".", fmt.Sprintf("So %s of the calls end well on it.", percent(t.Kept+t.Tailed+t.Owned)))
	}
	if t.Kept < t.Asked-rounding {
		why := map[Limit]string{
			ByPage:  "more does not fit on one page",
			BySteps: fmt.Sprintf("more would take over %d planned steps", MaxSteps),
			ByDepth: "no branch was to be longer"}[t.Limit]
		list = append(list, fmt.Sprintf("%s were to end as with the program; %s.", percent(t.Asked), why))
	}
	return list
}

// howTo explains the words of the tree.
func (t *Tree) howTo() []string {
	list := []string{"Begin at step 1. The per cent at steps and answers are shares of all calls; at causes, chances."}
	if t.CutShare > rounding {
		list = append(list, "Cut: the rest of this branch is left out. With the program at hand, take the call there; without it, try what is named, in turn (per cent: how often it helps), then hand over.")
	}
	return append(list, "If nobody can tell, take the likeliest answer, and come back when it leads nowhere.")
}

// about gives what goes with a step in brackets: minutes, place, needs.
func (n *Node) about() string {
	list := []string{minutes(n.Minutes)}
	if n.Place != "" {
		list = append(list, n.Place)
	}
	if len(n.Cautions) > 0 {
		list = append(list, strings.TrimPrefix(cautionMark(n.Cautions), ", "))
	}
	if len(n.Parts) > 0 {
		list = append(list, "with "+strings.Join(n.Parts, ", "))
	}
	return strings.Join(list, ", ")
}

// aboutAll is about with the share of the calls before it.
func (n *Node) aboutAll() string { return percent(n.Share) + ", " + n.about() }

// label is what leads to a branch.
func (b Branch) label() string {
	switch {
	case b.Rest:
		return "any other answer"
	case len(b.On) == 1 && (b.On[0] == helps || b.On[0] == doesNot):
		return b.On[0]
	}
	return quoted(b.On)
}

// end says what to do at an end, beginning with the word of its kind.
func (n *Node) end() string {
	var list []string
	switch n.Kind {
	case Cured:
		if len(n.Causes) == 0 {
			return "Cured."
		}
		return "Cured: " + causes(n.Causes) + "."
	case Stop:
		return "Stop. " + sentence(n.Say) + " Hand over: " + sentence(n.To+cautionMark(n.Cautions))
	case Cut:
		list = append(list, n.cut())
	default:
		list = append(list, "Hand over: "+n.Say+cautionMark(n.Cautions)+".")
	}
	if len(n.Parts) > 0 {
		list = append(list, "Take along: "+strings.Join(n.Parts, "; ")+".")
	}
	if len(n.Causes) > 0 && len(n.Tries) == 0 {
		list = append(list, "Likeliest: "+causes(n.Causes)+".")
	}
	return strings.Join(list, " ")
}

// cut is the remedies at a cut and the handover after them.
func (n *Node) cut() string {
	var tries []string
	for _, x := range n.Tries {
		tries = append(tries, fmt.Sprintf("%s (%s%s)", x.Say, percent(x.Helps), cautionMark(x.Cautions)))
	}
	if len(tries) == 0 {
		return "Cut. Hand over: " + n.Say + "."
	}
	return "Cut. Try: " + strings.Join(tries, "; ") + ". Then hand over: " + n.Say + "."
}

func causes(list []Cause) string {
	var parts []string
	for _, c := range list {
		if c.Chance > 0.995 {
			parts = append(parts, c.Title)
			continue
		}
		parts = append(parts, fmt.Sprintf("%s (%s)", c.Title, percent(c.Chance)))
	}
	return strings.Join(parts, "; ")
}

// cautionMark refers to the cautions of the tree by number.
func cautionMark(list []int) string {
	if len(list) == 0 {
		return ""
	}
	word := ", caution "
	if len(list) > 1 {
		word = ", cautions "
	}
	parts := make([]string, len(list))
	for i, x := range list {
		parts[i] = fmt.Sprint(x)
	}
	return word + strings.Join(parts, ", ")
}

// text is what ends a call for one handover.
func (d Danger) text() string { return d.To + ": " + strings.Join(d.If, "; ") + "." }

func (c Caution) text() string { return sentence(c.Say) + " Defer to: " + sentence(c.Defer) }
