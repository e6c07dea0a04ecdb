package drawing

// Kind says what a node of a tree is; Word gives the word for people.
type Kind string

// The kinds: two steps and four ends.
const (
	Ask      Kind = "ask"
	Try      Kind = "try"
	Cured    Kind = "cured"
	HandOver Kind = "hand-over"
	Stop     Kind = "stop"
	Cut      Kind = "cut"
)

// Word is what is printed for the kind.
func (k Kind) Word() string {
	switch k {
	case Ask:
		return "Ask"
	case Try:
		return "Try"
	case Cured:
		return "Cured"
	case HandOver:
		return "Hand over"
	case Stop:
		return "Stop"
	}
	return "Cut"
}

// Tree is the decision tree of one symptom, worded and ready to be drawn.
// Shares are parts of all calls with the symptom, 0..1.
type Tree struct {
	Symptom string `json:"symptom"`
	Title   string `json:"title"`
	// Who is on the line: caller or technician.
	Who string `json:"who"`
	// Asked is the share of the calls that was to be kept.
	Asked float64 `json:"asked_share"`
	// Kept is the share of the calls that end on the tree.
	Kept float64 `json:"kept_share"`
	// CutShare is the share of the calls that run into a cut.
	CutShare float64 `json:"cut_share"`
	// Tailed is the part of CutShare that the remedies named at the cuts cure.
	Tailed float64 `json:"cured_at_cut_share"`
	// Owned is the part of CutShare that the handovers there take to who owns
	// the cause.
	Owned float64 `json:"owned_at_cut_share"`
	// Limit says why Kept is below Asked; empty where it is not.
	Limit Limit `json:"limit,omitempty"`
	// Expected is what a call with the program takes, in minutes.
	Expected float64 `json:"expected_minutes"`
	// Steps is the number of questions and remedies on the tree.
	Steps int   `json:"steps"`
	Root  *Node `json:"root"`
	// Dangers end every call at once, whatever the step.
	Dangers []Danger `json:"dangers"`
	// Cautions are read out before the steps that name them.
	Cautions []Caution `json:"cautions"`
}

// Limit is a reason for keeping less than was asked for.
type Limit string

// The limits.
const (
	ByDepth Limit = "depth" // no branch is longer than was allowed
	BySteps Limit = "steps" // MaxSteps states were planned
	ByPage  Limit = "page"  // more does not fit on one page
)

// Node is a step or an end.
type Node struct {
	Kind Kind `json:"kind"`
	// Number of a step, from 1 in reading order; 0 for an end.
	Number int `json:"number,omitempty"`
	// ID of the question, remedy or handover; of the rule for a stop.
	ID    string  `json:"id,omitempty"`
	Share float64 `json:"share"`
	// Say is the question, the title of the remedy or of the handover, or what
	// a stop says; empty for cured.
	Say string `json:"say,omitempty"`
	// Minutes of a step or handover.
	Minutes float64 `json:"minutes,omitempty"`
	Place   string  `json:"place,omitempty"`
	// To is who takes over, at a stop.
	To string `json:"to,omitempty"`
	// Tries are remedies to try in turn at a cut, before the handover.
	Tries []Attempt `json:"tries,omitempty"`
	// Parts to take along with a handover.
	Parts []string `json:"parts,omitempty"`
	// Cautions by number in Tree.Cautions, from 1.
	Cautions []int `json:"cautions,omitempty"`
	// Causes that are likeliest here; at cured, that were mended.
	Causes   []Cause  `json:"causes,omitempty"`
	Branches []Branch `json:"branches,omitempty"`
}

// Branch is one way on from a step.
type Branch struct {
	// On is the labels of the answers that lead here; for a remedy one of
	// "it helps" and "it does not help".
	On []string `json:"on"`
	// Rest is true where On is whatever the other branches leave.
	Rest bool  `json:"rest,omitempty"`
	To   *Node `json:"to"`
}

// Attempt is a remedy at a cut.
type Attempt struct {
	ID       string  `json:"id"`
	Say      string  `json:"say"`
	Helps    float64 `json:"helps"` // share of the calls at the cut that it cures, in its turn
	Minutes  float64 `json:"minutes"`
	Cautions []int   `json:"cautions,omitempty"`
}

// Cause is a cause with its chance at a node, 0..1.
type Cause struct {
	ID     string  `json:"id"`
	Title  string  `json:"title"`
	Chance float64 `json:"chance"`
}

// Danger is what safety rules look for, one for each way to hand over.
type Danger struct {
	If []string `json:"if"` // hazards, by the titles of their cautions
	To string   `json:"to"` // who takes over
}

// Caution is a hazard text with the rules to defer to.
type Caution struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Say   string `json:"say"`
	Defer string `json:"defer"`
}

// isStep tells steps from ends.
func (n *Node) isStep() bool { return n.Kind == Ask || n.Kind == Try }

// Walk calls visit for n and everything below it in reading order.
func (n *Node) Walk(visit func(*Node)) {
	visit(n)
	for _, b := range n.Branches {
		b.To.Walk(visit)
	}
}

// steps lists the steps of the tree in the order of their numbers.
func (t *Tree) steps() []*Node {
	var list []*Node
	t.Root.Walk(func(n *Node) {
		if n.isStep() {
			list = append(list, n)
		}
	})
	return list
}
