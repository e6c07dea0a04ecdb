package drawing

import "strings"

// breakLines breaks text at plain spaces into lines no longer than room, as
// measured by width, which adds up over the parts of a text; a word that is
// longer stands alone.
func breakLines(text string, room float64, width func(string) float64) []string {
	lines := []string{}
	current, used, space := "", 0.0, width(" ")
	for _, word := range strings.Split(text, " ") {
		if word == "" {
			continue
		}
		w := width(word)
		if current != "" && used+space+w > room {
			lines = append(lines, current)
			current, used = "", 0
		}
		if current != "" {
			current += " "
			used += space
		}
		current += word
		used += w
	}
	return append(lines, current)
}

// advances are the widths of printable ASCII from the space on, in thousandths
// of the size of the type, of a common face without serifs (from memory; what
// the browser makes of it is measured in a test).
var advances = [...]int{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, // space to /
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, // 0 to ?
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778, // @ to O
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, // P to _
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, // ` to o
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, // p to ~
}

// roomy is how much wider than that another face may be.
const roomy = 1.02

// textWidth is the width of text at size, in the unit of size, with room for
// wider faces.
func textWidth(text string, size float64) float64 {
	total := 0
	for _, r := range text {
		if i := int(r) - ' '; i >= 0 && i < len(advances) {
			total += advances[i]
		} else if r == '\u00a0' {
			total += advances[0]
		} else {
			total += 600
		}
	}
	return float64(total) * size / 1000 * roomy
}
