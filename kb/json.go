package kb

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// MarshalJSON writes the rows as an object from question id to row, in order.
func (t Tells) MarshalJSON() ([]byte, error) {
	return object(len(t), func(i int) (string, any) { return t[i].Question, t[i].Row })
}

// MarshalJSON writes the row as an object from answer to chance, in order.
func (r Row) MarshalJSON() ([]byte, error) {
	return object(len(r), func(i int) (string, any) { return r[i].Answer, float64(r[i].Chance) })
}

func object(n int, pair func(i int) (string, any)) ([]byte, error) {
	var buf bytes.Buffer
	buf.WriteByte('{')
	for i := range n {
		name, value := pair(i)
		if i > 0 {
			buf.WriteByte(',')
		}
		k, err := json.Marshal(name)
		if err != nil {
			return nil, fmt.Errorf("write key %q: %w", name, err)
		}
		v, err := json.Marshal(value)
		if err != nil {
			return nil, fmt.Errorf("write value of %q: %w", name, err)
		}
		buf.Write(k)
		buf.WriteByte(':')
		buf.Write(v)
	}
	buf.WriteByte('}')
	return buf.Bytes(), nil
}

// Summary is an entry for a machine: what `list` and `show` print as JSON.
// Lists are never null.
type Summary struct {
	ID     string   `json:"id"`
	Kind   Kind     `json:"kind"`
	Title  string   `json:"title"`
	State  string   `json:"state"`
	Source []string `json:"source"`
	File   string   `json:"file"`
	*CauseSummary
	// Entry is the whole entry as authored; only `show` gives it.
	Entry Entry `json:"entry,omitempty"`
}

// CauseSummary is what a Summary of a cause has beside.
type CauseSummary struct {
	Symptoms  []string           `json:"symptoms"`
	Frequency Frequency          `json:"frequency"`
	Tells     Tells              `json:"tells"`
	Remedies  []string           `json:"remedies"`
	Cures     map[string]float64 `json:"cures"`
	Cautions  []string           `json:"cautions"`
	Owner     string             `json:"owner"`
	Parts     []string           `json:"parts"`
}

// Summarise makes the summary of an entry.
func Summarise(b *Book, e Entry) Summary {
	h := e.head()
	s := Summary{ID: h.ID, Kind: h.Kind, Title: h.Title, State: h.State, Source: append([]string{}, h.Source...), File: b.File(e)}
	if s.State == "" {
		s.State = "draft"
	}
	c, ok := e.(*Cause)
	if !ok {
		return s
	}
	s.CauseSummary = &CauseSummary{Symptoms: []string{}, Frequency: c.Frequency, Tells: append(Tells{}, c.Tells...), Remedies: []string{},
		Cures: map[string]float64{}, Cautions: AllCautions(b, c), Owner: c.Owner, Parts: append([]string{}, c.Parts...)}
	for _, x := range c.Symptoms {
		s.Symptoms = append(s.Symptoms, x.ID)
	}
	for _, r := range c.Remedies {
		s.Remedies = append(s.Remedies, r.ID)
		s.Cures[r.ID] = float64(r.CureChance())
	}
	return s
}

// AllCautions are those of a cause and of its remedies, each once.
func AllCautions(b *Book, c *Cause) []string {
	list := []string{}
	seen := map[string]bool{}
	add := func(ids []string) {
		for _, id := range ids {
			if !seen[id] {
				seen[id] = true
				list = append(list, id)
			}
		}
	}
	add(c.Cautions)
	for _, r := range c.Remedies {
		if rem := Get[Remedy](b, r.ID); rem != nil {
			add(rem.Cautions)
		}
	}
	return list
}
