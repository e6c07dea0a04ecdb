package kb

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"sync"

	"faultbook/diagnose"
)

// RoomSetting is what a room's sheet says, for calls that are rehearsed with
// it and without.
type RoomSetting struct {
	Room    string             // its id; each room has dice of its own
	Facts   map[string]string  // question to answer
	Trust   map[string]float64 // in those answers
	Weights map[string]float64 // of causes
	Absent  map[string]bool    // causes that cannot be there
	Walk    [][]float64        // nil for the usual
}

// RoomRehearsal compares the same calls of a room with its sheet and without.
type RoomRehearsal struct {
	Room      string        `json:"room"`
	Seed      uint64        `json:"seed"`
	With      Score         `json:"with"`
	Without   Score         `json:"without"`
	Fewer     float64       `json:"fewer_questions"` // share of questions saved
	BySymptom []RoomSymptom `json:"by_symptom"`
}

// RoomSymptom is the same of one symptom.
type RoomSymptom struct {
	ID      string `json:"id"`
	With    Score  `json:"with"`
	Without Score  `json:"without"`
}

// RehearseRooms plays the same calls of each room twice. Their causes are drawn
// as the sheet lets expect them, never one that cannot be there; a question that
// the sheet answers is answered so by the caller too, misread as often as such
// questions are. Without the sheet the program knows the book alone, the same
// for all rooms.
func RehearseRooms(b *Book, rooms []RoomSetting, set RehearseSetting) ([]RoomRehearsal, error) {
	if len(set.Symptoms) == 0 {
		set.Symptoms = b.IDs(KindSymptom)
	}
	out := make([]RoomRehearsal, len(rooms))
	for i, r := range rooms {
		out[i] = RoomRehearsal{Room: r.Room, Seed: set.Seed, BySymptom: make([]RoomSymptom, len(set.Symptoms))}
	}
	errs := make([]error, len(set.Symptoms))
	next := make(chan int)
	var wg sync.WaitGroup
	for range max(1, set.Workers) {
		wg.Go(func() {
			for i := range next {
				var list []RoomSymptom
				if list, errs[i] = rehearseInRooms(b, rooms, set, set.Symptoms[i]); errs[i] == nil {
					for r := range rooms {
						out[r].BySymptom[i] = list[r]
					}
				}
			}
		})
	}
	for i := range set.Symptoms {
		next <- i
	}
	close(next)
	wg.Wait()
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("rehearse %s: %w", set.Symptoms[i], err)
		}
	}
	for i := range out {
		out[i].sum()
	}
	return out, nil
}

// sum puts the symptoms of a room together.
func (r *RoomRehearsal) sum() {
	for _, s := range r.BySymptom {
		r.With.add(s.With, 1)
		r.Without.add(s.Without, 1)
	}
	r.With.mean()
	r.Without.mean()
	if r.Without.Questions > 0 {
		r.Fewer = 1 - r.With.Questions/r.Without.Questions
	}
	roundAll(reflect.ValueOf(r))
}

// rehearseInRooms plays the calls about one symptom, room by room.
func rehearseInRooms(b *Book, rooms []RoomSetting, set RehearseSetting, id string) ([]RoomSymptom, error) {
	plain := Setting{Symptoms: []Weighted{{id, 1}}, Who: set.Who}
	book, err := Compile(b, plain)
	if err != nil {
		return nil, err
	}
	byBook := book.Model.Planned(diagnose.Options{Budget: book.Model.CallBudget()})
	list := make([]RoomSymptom, len(rooms))
	for i, room := range rooms {
		if list[i], err = rehearseInRoom(b, room, set, plain, book, byBook); err != nil {
			return nil, fmt.Errorf("room %s: %w", room.Room, err)
		}
	}
	return list, nil
}

func rehearseInRoom(b *Book, room RoomSetting, set RehearseSetting, plain Setting, book *Compiled, byBook diagnose.Policy) (RoomSymptom, error) {
	id := plain.Symptoms[0].ID
	out := RoomSymptom{ID: id}
	sheet := plain
	sheet.Weights, sheet.Trust, sheet.Walk = room.Weights, room.Trust, room.Walk
	known, err := Compile(b, sheet)
	if err != nil {
		return out, err
	}
	without := diagnose.Opening{State: book.Model.NewState(), Rows: map[int][]float64{}}
	with := diagnose.Opening{State: known.Model.NewState()}
	for i, q := range known.Questions {
		if value, ok := room.Facts[q.ID]; ok {
			with.State.Answers[i] = int16(known.Answer(i, value))
			without.Rows[i] = callerSays(q, value, set.Who)
		}
	}
	chances := possible(known, with.State, room.Absent)
	bySheet := known.Model.Planned(diagnose.Options{Budget: known.Model.CallBudget()})
	for call := range set.Calls {
		cause := draw(chances, rand.New(rand.NewPCG(set.Seed, hash(room.Room+id)+uint64(call))))
		for _, run := range []struct {
			score  *Score
			model  *diagnose.Model
			open   diagnose.Opening
			policy diagnose.Policy
		}{{&out.With, known.Model, with, bySheet}, {&out.Without, book.Model, without, byBook}} {
			got, err := run.model.PlayFrom(cause, run.open, run.policy, rand.New(rand.NewPCG(set.Seed, hash(room.Room+id+"/"+fmt.Sprint(cause))+uint64(call))))
			if err != nil {
				return out, err
			}
			run.score.add(scoreOf(b, book.Hypotheses[cause].Cause, got), 1)
		}
	}
	out.With.mean()
	out.Without.mean()
	return out, nil
}

// callerSays is the row from which a caller answers what stands in the sheet.
func callerSays(q *Question, value string, who Who) []float64 {
	trust, row := q.Trust(who), append([]float64(nil), q.DefaultRow()...)
	for a := range row {
		row[a] *= 1 - trust
	}
	if a := q.answer(value); a >= 0 {
		row[a] += trust
	}
	return row
}

// possible are the chances of the causes as the sheet lets expect them.
func possible(c *Compiled, s diagnose.State, absent map[string]bool) []float64 {
	chances := append([]float64(nil), c.Model.Believe(s).P...)
	for i, h := range c.Hypotheses {
		if absent[h.Cause] {
			chances[i] = 0
		}
	}
	return chances
}

// draw picks an index by its weight.
func draw(weights []float64, dice *rand.Rand) int {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	x, last := dice.Float64()*sum, 0
	for i, w := range weights {
		if w > 0 {
			last = i
		}
		if x -= w; x < 0 {
			return i
		}
	}
	return last
}

// MeanScore is the mean of scores, each counted alike.
func MeanScore(list []Score) Score {
	var s Score
	for _, x := range list {
		s.add(x, 1)
	}
	s.mean()
	return s
}
