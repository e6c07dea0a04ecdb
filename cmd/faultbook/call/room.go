package call

import (
	"fmt"
	"strings"

	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/room"
)

// NoRoom is the name that takes the room of a call away again.
const NoRoom = "none"

// Room is what the sheet of the call's room says, for people and machines.
type Room struct {
	ID       string `json:"id"`
	Title    string `json:"title"`
	Site     string `json:"site,omitempty"`
	Type     string `json:"type,omitempty"`
	Surveyed string `json:"surveyed"` // "" where never
	By       string `json:"by,omitempty"`
	AgeDays  int    `json:"age_days"` // -1 where never
	// Trust is how far the sheet is believed, 0..1; it wanes with the survey.
	Trust float64 `json:"trust"`
	// Works are those of the last weeks, newest first.
	Works []string `json:"works"`
	// Findings are errors and warnings of the check of the room.
	Findings []room.Finding `json:"findings"`
	// Absent are causes that cannot be here, with what the room has not.
	Absent []Chance `json:"absent"`
	// Overruled are facts of the sheet that an answer contradicts.
	Overruled []Fact `json:"overruled"`
	// Learnt says whose closed calls the chances rest on beside the book.
	Learnt string `json:"learnt"`
	// Lamps say what was seen means on the room's own devices.
	Lamps []string `json:"lamps"`
}

// heardRoom is the sheet of the room that the words name, nil for none.
func (d *Desk) heardRoom(words string) *room.Sheet {
	switch {
	case d.Library != nil:
		return d.Library.Heard(words)
	case d.Rooms != nil:
		return room.Heard(d.Rooms(), words)
	}
	return nil
}

// namedRoom is the sheet with that id or name; near is what was probably meant.
func (d *Desk) namedRoom(name string) (s *room.Sheet, near string) {
	if d.Library != nil {
		return d.Library.Find(name)
	}
	var ids []string
	if d.Rooms != nil {
		for _, s := range d.Rooms() {
			if s.Called(name) {
				return s, ""
			}
			ids = append(ids, s.ID)
		}
	}
	return nil, kb.Nearest(name, ids)
}

// sheet looks a room up once for the call.
func (c *Call) sheet(key string, find func() *room.Sheet) *room.Sheet {
	if s, ok := c.rooms[key]; ok {
		return s
	}
	if c.rooms == nil {
		c.rooms = map[string]*room.Sheet{}
	}
	c.rooms[key] = find()
	return c.rooms[key]
}

// Rooms are the sheets that the call can choose from, in the order of the desk.
func (c *Call) Rooms() []*room.Sheet {
	if c.desk.Rooms == nil {
		return nil
	}
	return c.desk.Rooms()
}

// roomEvent checks the name of a room.
func (c *Call) roomEvent(name string) (cases.Event, error) {
	if name == NoRoom {
		return cases.Event{Room: NoRoom}, nil
	}
	s, near := c.desk.namedRoom(name)
	if s != nil {
		return cases.Event{Room: s.ID}, nil
	}
	return cases.Event{}, fmt.Errorf("there is no sheet of room %q%s; `faultbook room list` shows them, %q takes the room away", name, near, NoRoom)
}

// bearing is what the room's sheet means for the call, nil without a sheet.
// The room is the one that was named, else the one that the words name. The
// sheet is read as of the day the case was opened, so that a replay is the same.
func (v *view) bearing() *room.Bearing {
	if v.borne {
		return v.bears
	}
	v.borne = true
	c := v.call
	var sheet *room.Sheet
	switch {
	case v.room == NoRoom:
	case v.room != "":
		sheet = c.sheet("named "+v.room, func() *room.Sheet {
			s, _ := c.desk.namedRoom(v.room)
			return s
		})
	case len(v.words) > 0:
		words := strings.Join(v.words, " . ")
		sheet = c.sheet("heard "+words, func() *room.Sheet { return c.desk.heardRoom(words) })
	}
	if sheet == nil {
		return nil
	}
	if c.bearings == nil {
		c.bearings = map[string]*room.Bearing{}
	}
	key := sheet.ID + " " + c.file.Opened.Format("2006-01-02")
	if c.bearings[key] == nil {
		c.bearings[key] = room.Bear(c.desk.Book, sheet, c.file.Opened)
	}
	v.bears = c.bearings[key]
	return v.bears
}

// sheetFacts are those of the sheet that nobody on the line overruled.
func (v *view) sheetFacts() []room.Fact {
	b := v.bearing()
	if b == nil {
		return nil
	}
	said := v.answered()
	var list []room.Fact
	for _, f := range b.Facts {
		if _, ok := said[f.Question]; !ok && !v.open[f.Question] {
			list = append(list, f)
		}
	}
	return list
}

// answered are the facts that came from the line, by question.
func (v *view) answered() map[string]string {
	known := map[string]string{}
	for _, f := range v.facts {
		known[f.Question] = f.Value
	}
	return known
}

// overruled are the facts of the sheet that an answer contradicts.
func (v *view) overruled() []room.Fact {
	b := v.bearing()
	if b == nil {
		return nil
	}
	said := v.answered()
	var list []room.Fact
	for _, f := range b.Facts {
		if value, ok := said[f.Question]; ok && value != f.Value {
			list = append(list, f)
		}
	}
	return list
}

// factorLamp is how much likelier a cause is for which a lamp of the room's
// own device speaks by its table (judgement, no source).
const factorLamp = 4

// roomSetting puts the sheet into the setting of the model; it returns a key
// that changes with it. Causes that an answer shows to be possible after all
// are brought back.
func (v *view) roomSetting(set *kb.Setting) string {
	b := v.bearing()
	if b == nil {
		return ""
	}
	set.Weights, set.Trust, set.Walk = map[string]float64{}, map[string]float64{}, b.Walk
	for id, w := range b.Weights {
		set.Weights[id] = w
	}
	said := v.answered()
	for q, value := range said {
		for _, id := range room.Lifted(q, value) {
			if set.Weights[id] < 1 && b.Absent[id] != "" {
				set.Weights[id] = 1
			}
		}
	}
	_, causes := b.Sheet.LampMeans(said)
	for _, id := range causes {
		if w, ok := set.Weights[id]; !ok || w < 1 {
			set.Weights[id] = 1
		}
		set.Weights[id] *= factorLamp
	}
	key := " room=" + b.Sheet.ID
	for _, f := range v.sheetFacts() {
		set.Trust[f.Question] = f.Trust
		key += " " + f.Question
	}
	for _, id := range sortedIDs(set.Weights) {
		key += fmt.Sprintf(" %s*%.4g", id, set.Weights[id])
	}
	if v.call.desk.RoomCounts != nil {
		set.Counts = withRoom(v.groupCounts(b.Sheet).counts, v.call.desk.RoomCounts(b.Sheet.ID))
	}
	return key
}

// ownRoom is how many calls more a closed call of this very room counts for.
const ownRoom = 3

// withRoom lets closed calls of the room count more.
func withRoom(all, own func(symptom, cause string) float64) func(symptom, cause string) float64 {
	if own == nil {
		return all
	}
	return func(symptom, cause string) float64 {
		n := ownRoom * own(symptom, cause)
		if all != nil {
			n += all(symptom, cause)
		}
		return n
	}
}

// roomOut is the state of the room, nil without a sheet.
func (v *view) roomOut() *Room {
	b := v.bearing()
	if b == nil {
		return nil
	}
	s := b.Sheet
	r := &Room{ID: s.ID, Title: s.Title, Site: s.Site, Type: s.Type, Surveyed: s.Surveyed.String(), By: s.By, AgeDays: b.AgeDays, Trust: b.Trust,
		Works: []string{}, Findings: append([]room.Finding{}, b.Findings...), Absent: []Chance{}, Overruled: []Fact{}, Lamps: []string{}}
	for _, w := range b.Works {
		r.Works = append(r.Works, fmt.Sprintf("%s: %s", w.Day, strings.TrimSpace(w.Kind+" "+w.Text)))
	}
	for _, id := range sortedIDs(b.Absent) {
		r.Absent = append(r.Absent, Chance{ID: id, Title: v.causeTitle(id), Why: "the room has not " + b.Absent[id]})
	}
	for _, f := range v.overruled() {
		r.Overruled = append(r.Overruled, v.factOf(cases.Answer{Question: f.Question, Value: f.Value, From: fromRoom}))
	}
	lines, _ := s.LampMeans(v.answered())
	r.Lamps = append(r.Lamps, lines...)
	r.Learnt = v.learntFrom(s)
	return r
}

// fromRoom marks a fact of the sheet.
const fromRoom = "room"

// goneChance is the chance below which a cause that the sheet rules out is not
// listed; evidence can lift it above.
const goneChance = 0.05

// listed leaves out causes that cannot be in this room.
func (v *view) listed(list []Chance) []Chance {
	b := v.bearing()
	if b == nil {
		return list
	}
	kept := list[:0:0]
	for _, c := range list {
		if b.Absent[c.ID] == "" || c.Chance >= goneChance {
			kept = append(kept, c)
		}
	}
	return kept
}

// dress names the room's own things in a step, and explains its lamps.
func (v *view) dress(s Step) Step {
	b := v.bearing()
	if b == nil {
		return s
	}
	if q := s.asked(); q != "" {
		s.Lamps = b.Sheet.Lamps(q)
	}
	said := map[string]bool{}
	name := func(text string) string {
		text, here := b.Sheet.Name(text, said)
		s.Here = append(s.Here, here...)
		return text
	}
	s.Say = name(s.Say)
	s.Look = name(s.Look)
	steps := append([]string(nil), s.Steps...)
	for i := range steps {
		steps[i] = name(steps[i])
	}
	s.Steps = steps
	s.Check = name(s.Check)
	return s
}

// sheetDoubt names the sheet where the question in doubt was answered by it;
// nil where it was not.
func (v *view) sheetDoubt(id string) *Doubt {
	for _, f := range v.sheetFacts() {
		if f.Question == id {
			was, b := v.factOf(cases.Answer{Question: id, Value: f.Value}), v.bearing()
			return &Doubt{id, fmt.Sprintf("The answers do not fit the sheet of %s (%s), which says: %s, %q. Look whether that is still so and answer it; the answer counts.",
				b.Sheet.Title, surveyText(b), was.Title, was.Label)}
		}
	}
	return nil
}

// outdated names the sheet where an answer contradicts it, nil where none does.
func (v *view) outdated() *Doubt {
	if list := v.overruled(); len(list) > 0 {
		f, b := list[0], v.bearing()
		was := v.factOf(cases.Answer{Question: f.Question, Value: f.Value})
		return &Doubt{f.Question, fmt.Sprintf("The sheet of %s (%s) says %q for %s; the answer is another and counts. The sheet seems to be out of date: have it mended.",
			b.Sheet.Title, surveyText(b), was.Label, was.Title)}
	}
	return nil
}

func surveyText(b *room.Bearing) string {
	if b.AgeDays < 0 {
		return "never surveyed"
	}
	text := "surveyed " + b.Sheet.Surveyed.String()
	if b.Sheet.By != "" {
		text += " by " + b.Sheet.By
	}
	return text
}

// roomLines are the room in a ticket: its sheet, and what its lamps mean.
func (v *view) roomLines() []string {
	b := v.bearing()
	if b == nil {
		return nil
	}
	list := []string{fmt.Sprintf("Room: %s (%s), sheet %s", b.Sheet.Title, b.Sheet.ID, surveyText(b))}
	lines, _ := b.Sheet.LampMeans(v.answered())
	return append(list, lines...)
}
