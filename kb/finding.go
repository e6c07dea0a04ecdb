package kb

import (
	"fmt"
	"sort"
	"strings"
)

// Level says how bad a finding is.
type Level string

// An error makes the entry unusable; a warning says what should be mended all
// the same; advice is what planning on the book shows could be better.
const (
	LevelError   Level = "error"
	LevelWarning Level = "warning"
	LevelAdvice  Level = "advice"
)

// Finding is one thing that is wrong with a book, at its place.
type Finding struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Level  Level  `json:"level"`
	// Code is stable, for filters: kebab-case.
	Code string `json:"code"`
	// Text says what is wrong and what to write instead.
	Text string `json:"text"`
}

// String is the line that `faultbook check` prints.
func (f Finding) String() string {
	return fmt.Sprintf("%s:%d:%d: %s: %s [%s]", f.File, f.Line, f.Column, f.Level, f.Text, f.Code)
}

// SortFindings orders findings by file, line, column, code and text.
func SortFindings(list []Finding) {
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i], list[j]
		if a.File != b.File {
			return a.File < b.File
		}
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		if a.Column != b.Column {
			return a.Column < b.Column
		}
		if a.Code != b.Code {
			return a.Code < b.Code
		}
		return a.Text < b.Text
	})
}

// CountErrors is the number of findings of level error.
func CountErrors(list []Finding) int { return Count(list, LevelError) }

// Count is the number of findings of a level.
func Count(list []Finding, level Level) int {
	n := 0
	for _, f := range list {
		if f.Level == level {
			n++
		}
	}
	return n
}

// nearest names the one of the known words that the wrong one was probably
// meant to be, as " (did you mean X?)", or nothing.
func nearest(wrong string, known []string) string {
	best, distance := "", len(wrong)/3+1
	for _, k := range known {
		if d := editDistance(strings.ToLower(wrong), strings.ToLower(k)); d < distance || d == distance && best == "" {
			best, distance = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf(" (did you mean %q?)", best)
}

// editDistance is the number of letters to add, drop or change.
func editDistance(a, b string) int {
	prev := make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := prev[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(change, prev[j]+1, row[j-1]+1)
		}
		prev = row
	}
	return prev[len(b)]
}
