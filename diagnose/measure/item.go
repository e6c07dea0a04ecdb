package measure

import (
	"fmt"
	"strings"
)

// Item splits "camera=500 mA" into its label and the rest. Without a label
// the number of the item makes one: "device 2".
func Item(text, kind string, number int) (label, rest string) {
	before, after, found := strings.Cut(text, "=")
	if !found {
		return fmt.Sprintf("%s %d", kind, number), strings.TrimSpace(text)
	}
	label = strings.TrimSpace(before)
	if label == "" {
		label = fmt.Sprintf("%s %d", kind, number)
	}
	return label, strings.TrimSpace(after)
}

// Tokens splits a description at its commas and drops empty pieces.
func Tokens(text string) []string {
	var out []string
	for piece := range strings.SplitSeq(text, ",") {
		if piece = strings.TrimSpace(piece); piece != "" {
			out = append(out, piece)
		}
	}
	return out
}
