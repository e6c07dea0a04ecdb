package drawing

import "fmt"

// The picture runs down and to the right: the likeliest way on from a step
// stands below it, what a remedy cures stands inside its box, all else starts
// in the next column. Lines never cross: what is further down at the left is
// further down at the right.

// Measures of the picture in pixels.
const (
	boxWidth  = 252.0
	padding   = 9.0
	typeSize  = 12.0
	lineStep  = 15.0
	gapBelow  = 16.0 // between boxes of a column
	laneWidth = 7.0  // between lines side by side
	gutter    = 26.0 // between columns, beside the lanes
	border    = 12.0 // round the picture
	headDrop  = 15.0 // from the top of a box to where a line comes in
	wider     = 1.1  // room for wider faces than that of textWidth
)

// box is a node in its place.
type box struct {
	node  *Node
	x, y  float64
	w, h  float64
	head  []string // lines of the text
	ports []port   // of a step, in the order in which they stand
	below *box     // the likeliest way on
}

// port is the line of a box from which a branch starts.
type port struct {
	lines []string
	y     float64 // middle, from the top of the box
	to    *box    // in the next column; nil for the branch that goes on below
	in    *box    // inside the box, below the lines
	h     float64
}

// edge is a line from a port to a box in the next column.
type edge struct {
	from, to float64 // heights
	lane     int     // from the right
	box      *box
}

// layout is the whole picture.
type layout struct {
	columns [][]*box
	edges   [][]*edge // between a column and the next, from top to bottom
	free    []float64 // first free height of each column
	top     float64   // where the tree begins
	w, h    float64
}

func newLayout(root *Node, top float64) *layout {
	l := &layout{top: top}
	l.place(measure(root, boxWidth), 0, top)
	x := border
	for i, column := range l.columns {
		for _, b := range column {
			b.x = x
			l.h = max(l.h, b.y+b.h+border)
		}
		x += boxWidth
		if i < len(l.edges) {
			x += gutter + laneWidth*float64(lanes(l.edges[i]))
		}
	}
	l.w = x + border
	return l
}

// measure breaks the texts of a node and gives its box a height.
func measure(n *Node, width float64) *box {
	b := &box{node: n, w: width}
	text := n.end()
	if n.isStep() {
		text = fmt.Sprintf("%d %s: %s (%s)", n.Number, n.Kind.Word(), n.Say, n.aboutAll())
	}
	b.head = boxLines(text, width-2*padding-sideRoom(n.Kind))
	b.h = 2*padding + lineStep*float64(len(b.head)) - (lineStep - typeSize)
	below := n.likeliestStep()
	for i, x := range n.Branches {
		if i != below {
			b.addPort(x, false)
		}
	}
	if below >= 0 {
		b.addPort(n.Branches[below], true)
	}
	return b
}

// addPort puts a branch below the others in the box.
func (b *box) addPort(x Branch, below bool) {
	p := port{lines: boxLines(fmt.Sprintf("%s, %s", x.label(), percent(x.To.Share)), b.w-2*padding-8)}
	p.h = lineStep*float64(len(p.lines)) + 5
	p.y = b.h + p.h/2
	switch {
	case below:
		b.below = measure(x.To, b.w)
	case x.To.Kind == Cured:
		p.in = measure(x.To, b.w-2*padding-8)
		p.in.y = p.h
		p.h += p.in.h + 5
	default:
		p.to = measure(x.To, b.w)
	}
	b.h += p.h
	b.ports = append(b.ports, p)
}

// sideRoom is what a shape takes from the room for text.
func sideRoom(k Kind) float64 {
	if k == HandOver || k == Stop || k == Cured {
		return 16
	}
	return 8
}

func boxLines(text string, room float64) []string {
	return breakLines(text, room, func(s string) float64 { return textWidth(s, typeSize) * wider })
}

// likeliestStep is the branch that leads to the step of the greatest share, -1
// where none leads to a step.
func (n *Node) likeliestStep() int {
	best := -1
	for i, b := range n.Branches {
		if b.To.isStep() && (best < 0 || b.To.Share > n.Branches[best].To.Share+rounding) {
			best = i
		}
	}
	return best
}

// place puts a box and all that follows into the columns from col on, not
// above y.
func (l *layout) place(b *box, col int, y float64) {
	for len(l.columns) <= col {
		l.columns = append(l.columns, nil)
		l.free = append(l.free, l.top)
	}
	b.y = max(y, l.free[col])
	l.columns[col] = append(l.columns[col], b)
	l.free[col] = b.y + b.h + gapBelow
	for _, p := range b.ports {
		if p.to == nil {
			continue
		}
		for len(l.edges) <= col {
			l.edges = append(l.edges, nil)
		}
		e := &edge{from: b.y + p.y, box: p.to}
		l.edges[col] = append(l.edges[col], e)
		l.place(p.to, col+1, e.from-headDrop)
		e.to = p.to.y + headDrop
		e.lane = laneOf(l.edges[col], e)
	}
	if b.below != nil {
		l.place(b.below, col, b.y+b.h+gapBelow)
	}
}

// laneOf is the first lane left of all lines that are still on their way down
// where e starts.
func laneOf(list []*edge, e *edge) int {
	lane := 0
	for _, o := range list {
		if o != e && o.to > e.from-laneWidth {
			lane = max(lane, o.lane+1)
		}
	}
	return lane
}

// lanes is how many lanes a gutter needs.
func lanes(list []*edge) int {
	n := 1
	for _, e := range list {
		n = max(n, e.lane+1)
	}
	return n
}
