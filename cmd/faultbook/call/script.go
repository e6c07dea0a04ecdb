package call

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"faultbook/kb/cases"

	"gopkg.in/yaml.v3"
)

// Script is a call to be played: what the caller knows and what comes of
// remedies. Questions that it does not know are answered "cannot tell",
// remedies that it does not name change nothing.
type Script struct {
	// Say are the caller's first words.
	Say string `yaml:"say"`
	// Who is on the line: caller or technician.
	Who string `yaml:"who"`
	// Room is the id or name of the room that the agent sets.
	Room string `yaml:"room"`
	// Rooms is the folder of sheets, from the script's own; the desk's if empty.
	Rooms string `yaml:"rooms"`
	// Do are inputs in the form of the JSON lines, played first.
	Do []map[string]any `yaml:"do"`
	// Confirm takes every fact that is heard in the words as true.
	Confirm bool `yaml:"confirm"`
	// Answers by question, remedies' results by remedy.
	Answers  map[string]string `yaml:"answers"`
	Remedies map[string]string `yaml:"remedies"`
	// Limit is the number of steps at which the play is broken off; 40 if 0.
	Limit int `yaml:"limit"`
	// Expect is what must come of it.
	Expect Expect `yaml:"expect"`

	dir string // of the script; files to read are named from there
}

// Expect says how a script must end.
type Expect struct {
	Symptom string `yaml:"symptom"` // the likeliest symptom at the start
	First   string `yaml:"first"`   // id of the first step
	Cause   string `yaml:"cause"`   // found, or likeliest at the end
	End     string `yaml:"end"`     // cured, handover, stop
	By      string `yaml:"by"`      // the remedy that cured, or the handover
	Within  int    `yaml:"within"`  // steps at most
}

// ReadScript reads a script, strictly.
func ReadScript(r io.Reader, file string) (*Script, error) {
	data, err := io.ReadAll(io.LimitReader(r, 1<<20))
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", file, err)
	}
	var s Script
	if err := s.decode(data); err != nil && !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("%s: not a script of a call: %w", file, err)
	}
	if s.Limit <= 0 {
		s.Limit = 40
	}
	s.dir = filepath.Dir(file)
	return &s, nil
}

// decode reads YAML; the parser panics on a few broken inputs.
func (s *Script) decode(data []byte) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%v", p)
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(data))
	dec.KnownFields(true)
	return dec.Decode(s)
}

// Play plays the script on a fresh call and prints the transcript. advance is
// told the minutes of each step that is done, for the clock. The returned
// error says what was not as expected.
func Play(c *Call, s *Script, screen *Screen, advance func(minutes float64)) error {
	p := player{call: c, script: s, screen: screen, advance: advance}
	o, err := c.Out()
	if err != nil {
		return err
	}
	if s.Room != "" {
		if o, err = c.Do(In{Room: s.Room}); err != nil {
			return err
		}
		screen.Room(o.Room)
	}
	for i, raw := range s.Do {
		if o, err = p.input(raw, i); err != nil {
			return err
		}
	}
	if s.Confirm {
		t := Terminal{Call: c, Screen: screen}
		if len(o.Suggested) > 0 {
			if o, err = t.confirm("", o); err != nil {
				return err
			}
		}
	}
	return p.loop(o)
}

// RoomFolder is the folder of sheets that the script names, "" for none.
func (s *Script) RoomFolder() string {
	if s.Rooms == "" {
		return ""
	}
	return filepath.Join(s.dir, s.Rooms)
}

type player struct {
	call    *Call
	script  *Script
	screen  *Screen
	advance func(float64)
	steps   int
	first   string
	cured   string
}

func (p *player) input(raw map[string]any, i int) (Out, error) {
	data, err := json.Marshal(raw)
	if err != nil {
		return Out{}, fmt.Errorf("do, item %d: %w", i+1, err)
	}
	in, err := ReadIn(data)
	if err != nil {
		return Out{}, fmt.Errorf("do, item %d: %w", i+1, err)
	}
	p.screen.line("  > %s", data)
	if in.Read != "" && !filepath.IsAbs(in.Read) {
		in.Read = filepath.Join(p.script.dir, in.Read)
	}
	o, err := p.call.Do(in)
	if err != nil {
		return o, fmt.Errorf("do, item %d: %w", i+1, err)
	}
	if in.Read != "" || in.Sum != nil {
		p.screen.Evidence(o.Evidence[len(o.Evidence)-1])
	}
	return o, nil
}

func (p *player) loop(o Out) error {
	opening := ""
	if len(o.Symptoms) > 0 {
		opening = o.Symptoms[0].ID
	}
	p.first = o.Step.ID
	for {
		p.screen.Step(o)
		if o.Step.Kind == StepDone || o.Step.Kind == StepStop {
			p.screen.Text("Ticket", p.call.Ticket())
			return p.script.Expect.check(p, opening, o)
		}
		if p.steps++; p.steps > p.script.Limit {
			return fmt.Errorf("the call did not end within %d steps", p.script.Limit)
		}
		p.advance(o.Step.Minutes)
		next, err := p.answer(o.Step)
		if err != nil {
			return err
		}
		o = next
	}
}

// answer gives the step what the script knows.
func (p *player) answer(st Step) (Out, error) {
	switch st.Kind {
	case StepAsk, StepSum:
		value, ok := p.script.Answers[st.asked()]
		if st.offers(NothingElse) && !st.offers(value) {
			value, ok = NothingElse, true
		}
		if !ok || value == "unknown" {
			p.screen.line("  > Cannot tell")
			return p.call.Do(In{Unknown: st.asked()})
		}
		p.screen.line("  > %s", label(st, value))
		return p.call.Do(In{Answer: &cases.Answer{Question: st.asked(), Value: value}})
	case StepTry:
		result, ok := p.script.Remedies[st.ID]
		if !ok {
			result = cases.Same
		}
		if result == cases.Cured {
			p.cured = st.ID
		}
		p.screen.line("  > %s", label(st, result))
		return p.call.Do(In{Tried: &cases.Tried{Remedy: st.ID, Result: result}})
	}
	p.screen.line("  > Hand over")
	return p.call.Do(In{Handover: st.ID})
}

// offers reports whether the value is among the answers of the step.
func (st Step) offers(value string) bool {
	for _, a := range st.Answers {
		if a.Value == value {
			return st.ID == AskSymptom
		}
	}
	return false
}

func label(st Step, value string) string {
	for _, a := range st.Answers {
		if a.Value == value {
			return a.Label
		}
	}
	return value
}

func (e Expect) check(p *player, opening string, o Out) error {
	end, by := "handover", o.Step.ID
	switch {
	case o.Step.Kind == StepStop:
		end = "stop"
	case p.cured != "":
		end, by = "cured", p.cured
	}
	cause := ""
	if len(o.Found) > 0 {
		cause = o.Found[len(o.Found)-1].ID
	} else if len(o.Causes) > 0 {
		cause = o.Causes[0].ID
	}
	for _, want := range []struct{ what, want, got string }{
		{"symptom", e.Symptom, opening}, {"first step", e.First, p.first}, {"end", e.End, end},
		{"cause", e.Cause, cause}, {"ended by", e.By, by},
	} {
		if want.want != "" && want.want != want.got {
			return fmt.Errorf("%s: got %s, want %s", want.what, want.got, want.want)
		}
	}
	if e.Within > 0 && p.steps > e.Within {
		return fmt.Errorf("it took %d steps, at most %d were expected", p.steps, e.Within)
	}
	return nil
}
