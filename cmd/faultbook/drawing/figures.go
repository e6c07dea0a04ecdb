package drawing

import (
	"math"
	"strconv"
	"strings"
)

// noBreak holds a figure and its unit together on one line; Text and Markdown
// print it as a plain space.
const noBreak = "\u00a0"

// percent is a share for people: whole figures from one per cent on, never a
// nought or a hundred that is not exact.
func percent(p float64) string {
	n := int(math.Round(100 * p))
	switch {
	case p <= 0:
		return "0" + noBreak + "%"
	case p < 0.001:
		return "under" + noBreak + "0.1" + noBreak + "%"
	case p < 0.00995:
		return strconv.FormatFloat(100*p, 'f', 1, 64) + noBreak + "%"
	case p < 1-rounding && n == 100:
		return "over" + noBreak + "99" + noBreak + "%"
	}
	return strconv.Itoa(n) + noBreak + "%"
}

// minutes is a time for people, in whole minutes from 1 on.
func minutes(m float64) string {
	return strconv.Itoa(int(max(1, math.Round(m)))) + noBreak + "min"
}

// plain has no spaces but plain ones.
func plain(s string) string { return strings.ReplaceAll(s, noBreak, " ") }

// quoted joins labels: "a" or "b" or "c".
func quoted(list []string) string {
	q := make([]string, len(list))
	for i, s := range list {
		q[i] = "“" + strings.TrimSuffix(s, ".") + "”"
	}
	return strings.Join(q, " or ")
}

// sentence puts a full stop behind a text that has no mark of its own.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?:") {
		return s
	}
	return s + "."
}
