package drawing

import "fmt"

// notes are paragraphs above or below the picture.
type notes struct {
	paras [][]string
	w, h  float64
}

// noteWidth is the least width of the paragraphs; they grow with the picture
// up to mostWidth.
const (
	noteWidth = 520.0
	mostWidth = 900.0
)

func newNotes(list []string, width float64) notes {
	n := notes{w: min(max(width, noteWidth), mostWidth)}
	for _, text := range list {
		lines := boxLines(text, n.w-2*border)
		n.paras = append(n.paras, lines)
		n.h += lineStep*float64(len(lines)) + 4
	}
	if n.h > 0 {
		n.h += lineStep
	}
	return n
}

// heads are what stands above the tree, the title first.
func (t *Tree) heads() []string {
	list := append([]string{t.Symptom + " " + t.Title}, t.summary()...)
	list = append(list, t.howTo()...)
	for _, d := range t.Dangers {
		list = append(list, "Stop at once, whatever the step, and hand over to "+d.text())
	}
	return list
}

// feet are the cautions, below the tree.
func (t *Tree) feet() []string {
	var list []string
	for i, c := range t.Cautions {
		list = append(list, fmt.Sprintf("Caution %d. %s", i+1, c.text()))
	}
	return list
}

func (n notes) draw(c *canvas, y float64) {
	for i, lines := range n.paras {
		weight := ""
		if i == 0 && y == border {
			weight = ` font-weight="bold"`
		}
		for _, line := range lines {
			y += lineStep
			c.add(`<text x="%.1f" y="%.1f"%s>%s</text>`, border, y, weight, escapeXML(line))
		}
		y += 4
	}
}
