package kb

// Kind names the kind of an entry; it is the first key of every file.
type Kind string

// The kinds of entries.
const (
	KindSymptom  Kind = "symptom"
	KindCause    Kind = "cause"
	KindQuestion Kind = "question"
	KindRemedy   Kind = "remedy"
	KindCaution  Kind = "caution"
	KindHandover Kind = "handover"
	KindRule     Kind = "rule"
	KindPart     Kind = "part"
	KindValue    Kind = "value"
	KindPractice Kind = "practice"
	KindWords    Kind = "words"
	KindTerm     Kind = "term"
)

// Head is what every entry has.
type Head struct {
	// The kind of the entry.
	Kind Kind `yaml:"kind" json:"kind"`
	// The identifier: a catalogue number (F-12, VL-03), a check value (N-002)
	// or a short kebab-case name. It equals the file's name.
	ID string `yaml:"id" json:"id"`
	// One line that names the thing, without a full stop, for lists and tickets.
	Title string `yaml:"title" json:"title"`
	// Where it comes from: check-value ids, a standard with its clause and
	// "from memory", or "common practice, no source".
	Source []string `yaml:"source,omitempty" json:"source,omitempty"`
	// "draft", or "checked" once somebody else has read it.
	State string `yaml:"state,omitempty" json:"state,omitempty"`
	// Initials of the author and the day, as "ab 2026-11-25".
	By string `yaml:"by,omitempty" json:"by,omitempty"`
	// Initials of whoever checked it, who is not the author, and the day.
	Checked string `yaml:"checked,omitempty" json:"checked,omitempty"`
	// Counts up with every change that is kept, from 1.
	Revision int `yaml:"revision,omitempty" json:"revision,omitempty"`
}

// Cause is what can be wrong.
type Cause struct {
	Head `yaml:",inline"`
	// The cause in a caller's words, to say when it is found: one sentence.
	Plain string `yaml:"plain" json:"plain"`
	// One paragraph: why it happens.
	Why string `yaml:"why" json:"why"`
	// How common it is: very common, common, occasional, rare.
	Frequency Frequency `yaml:"frequency" json:"frequency"`
	// The symptoms that it can show as.
	Symptoms []SymptomRef `yaml:"symptoms" json:"symptoms"`
	// What callers have said when it was this; found by search.
	Words []string `yaml:"words,omitempty" json:"words,omitempty"`
	// For each question that bears on it: how often each answer is given when
	// this cause is present. A question that is not named is no evidence.
	Tells Tells `yaml:"tells" json:"tells"`
	// What cures it, in the order to try.
	Remedies []Cure `yaml:"remedies" json:"remedies"`
	// Who ends it when no remedy of the person on the line does: a handover id.
	Owner string `yaml:"owner" json:"owner"`
	// Parts that a visit needs to cure it: part ids.
	Parts []string `yaml:"parts,omitempty" json:"parts,omitempty"`
	// Cautions that go with the cause itself, beside those of its remedies.
	Cautions []string `yaml:"cautions,omitempty" json:"cautions,omitempty"`
	// Causes that are easily mistaken for it.
	Related []string `yaml:"related,omitempty" json:"related,omitempty"`
	// Causes that are deliberately not told apart from it, because one remedy
	// serves both.
	Joint []string `yaml:"joint,omitempty" json:"joint,omitempty"`
}

// SymptomRef says that a cause shows as a symptom; written as the bare id, or
// as a mapping where the frequency there differs.
type SymptomRef struct {
	ID        string    `yaml:"id" json:"id"`
	Frequency Frequency `yaml:"frequency,omitempty" json:"frequency,omitempty"`
}

// Cure says that a remedy cures a cause, and how often; written as the bare id
// ("usually"), or as a mapping.
type Cure struct {
	ID    string `yaml:"id" json:"id"`
	Cures Chance `yaml:"cures,omitempty" json:"cures,omitempty"`
}

// Tells are the rows of one cause or symptom, in the order of the file; in
// YAML and JSON a mapping from question id to Row.
type Tells []Tell

// Tell is what one question says about a cause.
type Tell struct {
	Question string
	Row      Row
}

// Row gives the likelihood of some answers of a question; what it leaves over
// is spread over the others in proportion to the question's default row. In
// YAML and JSON a mapping from answer value to Chance.
type Row []Share

// Share is the likelihood of one answer.
type Share struct {
	Answer string
	Chance Chance
}

// Symptom is what a caller rings about.
type Symptom struct {
	Head `yaml:",inline"`
	// What a caller would say, in many wordings, wrong names included.
	Words []string `yaml:"words" json:"words"`
	// What gets the meeting going now without finding the cause; sentences to
	// say, each doable by a caller within two minutes.
	Workarounds []string `yaml:"workarounds" json:"workarounds"`
	// The questions that make sense to somebody with this complaint; others are
	// never put under it but count when they are volunteered. Empty for all.
	Questions []string `yaml:"questions,omitempty" json:"questions,omitempty"`
	// Questions that are put before anything else: for safety, or because the
	// rest hangs on them.
	First []string `yaml:"first,omitempty" json:"first,omitempty"`
	// Remedies that cure a cause elsewhere but do not help this complaint: a
	// smaller picture is no cure for a picture that is too small.
	Pointless []string `yaml:"pointless,omitempty" json:"pointless,omitempty"`
	// Its causes in the order in which somebody without this program would try
	// them; what the planner is measured against.
	Order []string `yaml:"order,omitempty" json:"order,omitempty"`
	// What the symptom itself says about questions, for every cause under it.
	Tells Tells `yaml:"tells,omitempty" json:"tells,omitempty"`
}

// Sense is how an answer is come by; it sets how far it is trusted.
type Sense string

// The senses and their reliability r: the row used is r·row + (1-r)·default.
const (
	SenseLook       Sense = "look"       // 0.9, what a caller looks at
	SenseColour     Sense = "colour"     // 0.8, colours and rhythms
	SenseHistory    Sense = "history"    // 0.8, what happened before
	SenseTechnician Sense = "technician" // 0.97, what a technician looks at
	SenseInstrument Sense = "instrument" // 0.995, what an instrument, file or sum says
)

// Question is something that can be looked at, asked or measured.
type Question struct {
	Head `yaml:",inline"`
	// The question as it is said to a caller: plain speech, one thing.
	Ask string `yaml:"ask" json:"ask"`
	// How to look, where it is not obvious.
	Look string `yaml:"look,omitempty" json:"look,omitempty"`
	// The same for a technician, with figures and proper names of things.
	Technical string `yaml:"technical,omitempty" json:"technical,omitempty"`
	// The answers, in the order in which they are offered.
	Answers []Answer `yaml:"answers" json:"answers"`
	// Who can answer: caller or technician.
	Who Who `yaml:"who" json:"who"`
	// Minutes that it takes on the line.
	Minutes float64 `yaml:"minutes" json:"minutes"`
	// Where it is done: desk, table, display, rack, ceiling, closet; empty for
	// anywhere.
	Place string `yaml:"place,omitempty" json:"place,omitempty"`
	// Facts that must be known for it to make sense; all of them.
	When []Fact `yaml:"when,omitempty" json:"when,omitempty"`
	// Questions that look at nearly the same thing: once one of them is answered
	// the others are not put, in either direction.
	Like []string `yaml:"like,omitempty" json:"like,omitempty"`
	// How the answer is come by: look, colour, history, technician, instrument.
	Sense Sense `yaml:"sense" json:"sense"`
	// Trust in the answer, 0 to 1, where it differs from that of the sense.
	Reliability float64 `yaml:"reliability,omitempty" json:"reliability,omitempty"`
	// True where it is never put, only taken when volunteered, read or computed.
	Silent bool `yaml:"silent,omitempty" json:"silent,omitempty"`
	// The sum that answers it, by its name in `faultbook calc`, where its inputs
	// can be asked for on the line.
	Sum string `yaml:"sum,omitempty" json:"sum,omitempty"`
	// Facts of readings and sums that answer it; the first row that holds counts.
	Measured []Measured `yaml:"measured,omitempty" json:"measured,omitempty"`
}

// Answer is one answer of a question.
type Answer struct {
	// Short kebab-case value.
	Value string `yaml:"value" json:"value"`
	// The label, in the caller's words.
	Say string `yaml:"say" json:"say"`
	// How often it is given when nothing that bears on the question is wrong;
	// equal shares for what is left out.
	Default Chance `yaml:"default,omitempty" json:"default,omitempty"`
	// What callers say of their own accord when this is so.
	Words []string `yaml:"words,omitempty" json:"words,omitempty"`
}

// Measured maps a fact of a reading or a sum to an answer. Only what the fact
// proves is mapped: a fact without a row says nothing about the question.
type Measured struct {
	// Name of the fact, as `faultbook read --json` and `faultbook calc` give it.
	Fact string `yaml:"fact" json:"fact"`
	// The exact word, or a comparison with a number in the unit of the fact:
	// "<480", "<=150", ">15.4", ">=1000".
	Value string `yaml:"value" json:"value"`
	// Further facts, of the same file or sum, that must hold as well.
	And []FactValue `yaml:"and,omitempty" json:"and,omitempty"`
	// The answer that follows.
	Answer string `yaml:"answer" json:"answer"`
}

// FactValue is a fact with the value that it must have.
type FactValue struct {
	// Name of the fact.
	Fact string `yaml:"fact" json:"fact"`
	// The exact word or a comparison, as in Measured.
	Value string `yaml:"value" json:"value"`
}

// Fact is a condition: the question has one of these answers.
type Fact struct {
	Question string   `yaml:"question" json:"question"`
	Is       []string `yaml:"is" json:"is"`
}

// Who may do or answer something.
type Who string

// The people, from the least to the most able.
const (
	WhoCaller     Who = "caller"
	WhoTechnician Who = "technician"
	// WhoOther: done by the handover that owns the cause, never on this line.
	WhoOther Who = "other"
)

// Remedy is something that can be done.
type Remedy struct {
	Head `yaml:",inline"`
	// What is proposed, in one plain sentence.
	Say string `yaml:"say" json:"say"`
	// The steps, to be followed by ear: one act each.
	Steps []string `yaml:"steps" json:"steps"`
	// How to see whether it helped.
	Check string `yaml:"check" json:"check"`
	// How to put it back if it did not help; empty where nothing changes.
	Undo string `yaml:"undo,omitempty" json:"undo,omitempty"`
	// What a technician should know beyond that, with figures.
	Technical string `yaml:"technical,omitempty" json:"technical,omitempty"`
	// Who may do it: caller, technician, other.
	Who Who `yaml:"who" json:"who"`
	// Minutes that it takes, the check included.
	Minutes float64 `yaml:"minutes" json:"minutes"`
	// Where it is done; empty for anywhere.
	Place string `yaml:"place,omitempty" json:"place,omitempty"`
	// Cautions to read out before it.
	Cautions []string `yaml:"cautions,omitempty" json:"cautions,omitempty"`
	// Parts that it uses up or fits.
	Parts []string `yaml:"parts,omitempty" json:"parts,omitempty"`
	// Practice pages that explain the way of working.
	Practice []string `yaml:"practice,omitempty" json:"practice,omitempty"`
	// What it answers when it did not help: these questions are then not put.
	Settles []Fact `yaml:"settles,omitempty" json:"settles,omitempty"`
	// Facts any one of which makes it senseless: it is then not proposed.
	Unless []Fact `yaml:"unless,omitempty" json:"unless,omitempty"`
}

// Caution is a hazard text with the standard to defer to.
type Caution struct {
	Head `yaml:",inline"`
	// What to say, in plain words.
	Say string `yaml:"say" json:"say"`
	// The standard or rules to defer to.
	Defer string `yaml:"defer" json:"defer"`
	// Words in a remedy that make this caution due.
	Hazard []string `yaml:"hazard,omitempty" json:"hazard,omitempty"`
}

// Handover is a way to pass a call on.
type Handover struct {
	Head `yaml:",inline"`
	// What to tell the caller.
	Say string `yaml:"say" json:"say"`
	// Minutes that it costs where it owns the cause.
	Minutes float64 `yaml:"minutes" json:"minutes"`
	// Minutes more where it turns out not to own the cause.
	Wrong float64 `yaml:"wrong" json:"wrong"`
	// True for a visit to the room, which takes parts along.
	Visit bool `yaml:"visit,omitempty" json:"visit,omitempty"`
}

// Rule is authored if-then knowledge.
type Rule struct {
	Head `yaml:",inline"`
	// The facts that must all hold.
	When []Fact `yaml:"when" json:"when"`
	// Causes that then cannot be.
	Exclude []string `yaml:"exclude,omitempty" json:"exclude,omitempty"`
	// Causes that then alone can be.
	Only []string `yaml:"only,omitempty" json:"only,omitempty"`
	// Questions that are then put at once.
	Ask []string `yaml:"ask,omitempty" json:"ask,omitempty"`
	// Ends the questions for safety.
	Stop *Stop `yaml:"stop,omitempty" json:"stop,omitempty"`
}

// Stop ends the questionnaire: the caution first, then only this handover.
type Stop struct {
	Caution  string `yaml:"caution" json:"caution"`
	Handover string `yaml:"handover" json:"handover"`
	// What the caller is told to do at once.
	Say string `yaml:"say" json:"say"`
}

// Part is something that a visit takes along.
type Part struct {
	Head `yaml:",inline"`
	// What to check when picking it.
	Note string `yaml:"note,omitempty" json:"note,omitempty"`
}

// Value is a figure of the trade with its source.
type Value struct {
	Head `yaml:",inline"`
	// The figure with its unit.
	Figure string `yaml:"figure" json:"figure"`
	// Condition under which it holds.
	Note string `yaml:"note,omitempty" json:"note,omitempty"`
}

// Practice is a page on a way of working.
type Practice struct {
	Head `yaml:",inline"`
	// The page, paragraphs in plain text.
	Text string `yaml:"text" json:"text"`
	// A list that can be ticked.
	Ticks []string `yaml:"ticks,omitempty" json:"ticks,omitempty"`
	// Cautions that go with it.
	Cautions []string `yaml:"cautions,omitempty" json:"cautions,omitempty"`
}

// Words is a group of words that callers use for one thing.
type Words struct {
	Head `yaml:",inline"`
	// The words; each stands for all the others when something is looked for.
	Same []string `yaml:"same" json:"same"`
}

// Term is an entry of the glossary.
type Term struct {
	Head `yaml:",inline"`
	// The explanation, one or two sentences.
	Text string `yaml:"text" json:"text"`
}
