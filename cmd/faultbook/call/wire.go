package call

import (
	"faultbook/kb/cases"
	"faultbook/kb/room"
)

// In is one input: just one field is set. Its JSON is the line form of
// `faultbook call --json`.
type In struct {
	Answer     *cases.Answer `json:"answer,omitempty"`
	Unknown    string        `json:"unknown,omitempty"`
	Tried      *cases.Tried  `json:"tried,omitempty"`
	Symptom    string        `json:"symptom,omitempty"`
	Say        string        `json:"say,omitempty"`
	Undo       bool          `json:"undo,omitempty"`
	Handover   string        `json:"handover,omitempty"`
	Close      *cases.Close  `json:"close,omitempty"`
	Note       string        `json:"note,omitempty"`
	Meeting    *float64      `json:"meeting,omitempty"`
	Who        string        `json:"who,omitempty"`
	Workaround string        `json:"workaround,omitempty"`
	// Room is the id or name of a room with a sheet, "none" to take it away.
	Room string `json:"room,omitempty"`
	// Read is the path of an evidence file; PATH#PART takes one part of a file
	// that holds several, by name or number.
	Read string `json:"read,omitempty"`
	Sum  *SumIn `json:"sum,omitempty"`
}

// Kinds of steps.
const (
	StepAsk      = "ask"
	StepTry      = "try"
	StepSum      = "sum" // as ask, but a sum can answer it
	StepHandover = "handover"
	StepStop     = "stop"
	StepDone     = "done"
)

// AskSymptom is the id of the question that asks what the caller rings about;
// its answers are symptoms.
const AskSymptom = "symptom"

// NothingElse answers that question where a further complaint is offered after
// a cure and all is well.
const NothingElse = "none"

// TryWorkaround is the id of the step that gets the meeting going first.
const TryWorkaround = "workaround"

// Out is the state after an input.
type Out struct {
	Case       string      `json:"case"`
	Step       Step        `json:"step"`
	Causes     []Chance    `json:"causes"`
	Symptoms   []Chance    `json:"symptoms"`
	Facts      []Fact      `json:"facts"`
	Suggested  []Suggested `json:"suggested_facts"`
	Also       []Also      `json:"also"`
	Minutes    Minutes     `json:"minutes"`
	Doubt      *Doubt      `json:"doubt"`
	Similar    []Similar   `json:"similar"`
	Workaround []string    `json:"workarounds"`
	Found      []Chance    `json:"found"`
	Notes      []string    `json:"notes"`
	Evidence   []Evidence  `json:"evidence"`
	Room       *Room       `json:"room,omitempty"`
	Ticket     string      `json:"ticket,omitempty"`
}

// Step is what to do now.
type Step struct {
	Kind string `json:"kind"`
	ID   string `json:"id"`
	// Question is what a sum step answers; the answers are those of the question.
	Question string `json:"question,omitempty"`
	// Inputs are what the sum of the step is told.
	Inputs []Input `json:"inputs,omitempty"`
	// Title names it in lists; Say is read out; Look says how to look.
	Title string `json:"title"`
	Say   string `json:"say"`
	Look  string `json:"look,omitempty"`
	// Technical is the same for a technician.
	Technical string `json:"technical,omitempty"`
	// Steps are the acts of a remedy; Check tells whether it helped; Back puts
	// it back.
	Steps []string `json:"steps,omitempty"`
	Check string   `json:"check,omitempty"`
	Back  string   `json:"back,omitempty"`
	Why   string   `json:"why"`
	// Answers can be given: of a question its values, of a remedy its results.
	Answers  []Option  `json:"answers"`
	Cautions []Caution `json:"cautions"`
	Parts    []string  `json:"parts,omitempty"`
	Place    string    `json:"place,omitempty"`
	Minutes  float64   `json:"minutes"`
	// Here names the room's own things that the step speaks of.
	Here []room.Here `json:"here,omitempty"`
	// Lamps say what the lamps of the room's own devices mean.
	Lamps []string `json:"lamps,omitempty"`
}

// asked is the question that the step puts, "" where it puts none.
func (s Step) asked() string {
	switch s.Kind {
	case StepAsk:
		return s.ID
	case StepSum:
		return s.Question
	}
	return ""
}

// Input is one thing that a sum is told, as text with its unit.
type Input struct {
	Name     string   `json:"name"`
	Unit     string   `json:"unit"`
	Help     string   `json:"help"`
	Required bool     `json:"required"`
	Many     bool     `json:"many,omitempty"`    // can be a list
	Words    []string `json:"words,omitempty"`   // the only values
	Default  string   `json:"default,omitempty"` // taken where nothing is given
	Known    string   `json:"known,omitempty"`   // what was read already; taken where nothing is given
}

// Option is a value with its label.
type Option struct {
	Value string `json:"value"`
	Label string `json:"label"`
}

// Caution is a hazard text with the standard to defer to.
type Caution struct {
	ID    string `json:"id"`
	Say   string `json:"say"`
	Defer string `json:"defer"`
}

// Chance is a thing with its chance, 0..1.
type Chance struct {
	ID     string  `json:"id"`
	Title  string  `json:"title"`
	Chance float64 `json:"chance"`
	// Why says which evidence speaks for it; only of the likeliest cause.
	Why string `json:"why,omitempty"`
}

// Fact is something known; From is asked, volunteered, read, sum or room.
type Fact struct {
	Question string `json:"question"`
	Title    string `json:"title"`
	Value    string `json:"value"`
	Label    string `json:"label"`
	From     string `json:"from"`
	// Figures are those of the reading or the sum.
	Figures string `json:"figures,omitempty"`
}

// Evidence is what a reading or a sum said.
type Evidence struct {
	From string `json:"from"` // read or sum
	Name string `json:"name"` // of the file or the sum
	// Answers that follow from it and still count.
	Answers []Fact `json:"answers"`
	// Text has a line each for the verdict, the figures, and the check values
	// with their sources.
	Text []string `json:"text"`
}

// Suggested is a fact that was heard in the caller's words; it counts only
// once the agent confirms it with an answer.
type Suggested struct {
	Question string `json:"question"`
	Title    string `json:"title"`
	Value    string `json:"value"`
	Label    string `json:"label"`
	Words    string `json:"words"`
}

// Minutes are spent so far and expected from now on.
type Minutes struct {
	Spent    float64  `json:"spent"`
	Expected float64  `json:"expected"`
	Meeting  *float64 `json:"meeting,omitempty"` // left until the meeting
	// Heard is the same as the caller's words have it; it counts once the agent
	// sets it.
	Heard *float64 `json:"meeting_heard,omitempty"`
}

// Doubt names an answer that does not fit the others.
type Doubt struct {
	Question string `json:"question"`
	Text     string `json:"text"`
}

// Similar is an entry or past case that resembles the call.
type Similar struct {
	ID    string `json:"id"`
	Kind  string `json:"kind"`
	Title string `json:"title"`
}

// Also is a further complaint in the caller's words, kept until the one before
// is mended.
type Also struct {
	Symptom string `json:"symptom"`
	Title   string `json:"title"`
	Words   string `json:"words"` // the caller's own
}
