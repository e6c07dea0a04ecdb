package diagnose

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// fileModel is a model as it stands in a file; keys not named here are
// ignored.
type fileModel struct {
	Goal      string         `json:"goal"`
	Causes    []fileCause    `json:"causes"`
	Questions []fileQuestion `json:"questions"`
	Repairs   []fileRepair   `json:"repairs"`
	Finals    []fileFinal    `json:"finals"`
}

type fileCause struct {
	ID    string   `json:"id"`
	Prior *float64 `json:"prior"`
}

type fileQuestion struct {
	ID      string               `json:"id"`
	Cost    *float64             `json:"cost"`
	Answers []string             `json:"answers"`
	Given   map[string][]float64 `json:"given"`
}

type fileRepair struct {
	ID    string             `json:"id"`
	Cost  *float64           `json:"cost"`
	Fixes map[string]float64 `json:"fixes"`
}

type fileFinal struct {
	ID   string          `json:"id"`
	Cost json.RawMessage `json:"cost"`
}

// ReadModel reads one model in JSON and checks it. Errors name the element;
// errors of JSON itself name line and column.
func ReadModel(r io.Reader) (*Model, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("cannot read the model: %w", err)
	}
	var f fileModel
	dec := json.NewDecoder(bytes.NewReader(data))
	if err := dec.Decode(&f); err != nil {
		return nil, locate(data, err)
	}
	if _, err := dec.Token(); err != io.EOF {
		line, col := position(data, dec.InputOffset())
		return nil, fmt.Errorf("line %d, column %d: something follows the model; a file holds one model", line, col)
	}
	m, err := f.model()
	if err != nil {
		return nil, err
	}
	return m, m.Check()
}

// locate adds line and column to an error of the JSON decoder.
func locate(data []byte, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		line, col := position(data, syntax.Offset)
		return fmt.Errorf("line %d, column %d: not JSON: %w", line, col, err)
	case errors.As(err, &kind):
		line, col := position(data, kind.Offset)
		return fmt.Errorf("line %d, column %d: %s cannot be a %s", line, col, kind.Field, kind.Value)
	case errors.Is(err, io.EOF):
		return errors.New("line 1, column 1: the file is empty; expected a model in JSON")
	case errors.Is(err, io.ErrUnexpectedEOF):
		line, col := position(data, int64(len(data)))
		return fmt.Errorf("line %d, column %d: the file ends in the middle of the model", line, col)
	}
	return fmt.Errorf("cannot read the model: %w", err)
}

// position turns an offset (bytes read so far) into line and column, from 1.
func position(data []byte, offset int64) (line, col int) {
	offset = min(max(offset, 1), int64(len(data)))
	before := data[:max(offset-1, 0)]
	return 1 + bytes.Count(before, []byte{'\n'}), len(before) - bytes.LastIndexByte(before, '\n')
}

func (f *fileModel) model() (*Model, error) {
	m := &Model{Start: -1}
	switch f.Goal {
	case "", "repair":
	case "identify":
		m.Goal = Identify
	default:
		return nil, fmt.Errorf("goal %q: must be repair or identify", f.Goal)
	}
	index := map[string]int{}
	for i, c := range f.Causes {
		if c.Prior == nil {
			return nil, fmt.Errorf("cause %s: prior is missing", name(c.ID, i))
		}
		index[c.ID] = i
		m.Causes = append(m.Causes, Cause{ID: c.ID, Prior: *c.Prior})
	}
	for i := range f.Questions {
		q, err := f.Questions[i].question(i, m, index)
		if err != nil {
			return nil, err
		}
		m.Questions = append(m.Questions, q)
	}
	for i := range f.Repairs {
		r, err := f.Repairs[i].repair(i, m, index)
		if err != nil {
			return nil, err
		}
		m.Repairs = append(m.Repairs, r)
	}
	for i := range f.Finals {
		e, err := f.Finals[i].final(i, m, index)
		if err != nil {
			return nil, err
		}
		m.Finals = append(m.Finals, e)
	}
	return m, nil
}

// name is what an element is called in an error: its id, else its number.
func name(id string, i int) string {
	if id == "" {
		return fmt.Sprintf("number %d (without id)", i+1)
	}
	return id
}

func (f *fileQuestion) question(i int, m *Model, index map[string]int) (Question, error) {
	where := "question " + name(f.ID, i)
	q := Question{ID: f.ID, Answers: f.Answers, Place: -1}
	if f.Cost == nil {
		return q, fmt.Errorf("%s: cost is missing", where)
	}
	q.Cost = *f.Cost
	if unknown := firstUnknown(f.Given, index); unknown != "" {
		return q, fmt.Errorf("%s: given names cause %q, which does not exist", where, unknown)
	}
	for _, c := range m.Causes {
		row, ok := f.Given[c.ID]
		if !ok {
			return q, fmt.Errorf("%s: given has no row for cause %s", where, c.ID)
		}
		q.Given = append(q.Given, row)
	}
	return q, nil
}

func (f *fileRepair) repair(i int, m *Model, index map[string]int) (RepairAction, error) {
	where := "repair " + name(f.ID, i)
	r := RepairAction{ID: f.ID, Place: -1, Fixes: make([]float64, len(m.Causes))}
	if f.Cost == nil {
		return r, fmt.Errorf("%s: cost is missing", where)
	}
	r.Cost = *f.Cost
	if unknown := firstUnknown(f.Fixes, index); unknown != "" {
		return r, fmt.Errorf("%s: fixes names cause %q, which does not exist", where, unknown)
	}
	for c := range m.Causes {
		r.Fixes[c] = f.Fixes[m.Causes[c].ID]
	}
	return r, nil
}

func (f *fileFinal) final(i int, m *Model, index map[string]int) (Final, error) {
	where := "final " + name(f.ID, i)
	e := Final{ID: f.ID, Cost: make([]float64, len(m.Causes))}
	var one float64
	var each map[string]float64
	switch {
	case len(f.Cost) == 0 || string(f.Cost) == "null":
		return e, fmt.Errorf("%s: cost is missing", where)
	case json.Unmarshal(f.Cost, &one) == nil:
		for c := range e.Cost {
			e.Cost[c] = one
		}
		return e, nil
	case json.Unmarshal(f.Cost, &each) != nil:
		return e, fmt.Errorf("%s: cost must be a number or a table of cause and number", where)
	}
	if unknown := firstUnknown(each, index); unknown != "" {
		return e, fmt.Errorf("%s: cost names cause %q, which does not exist", where, unknown)
	}
	for c := range m.Causes {
		v, ok := each[m.Causes[c].ID]
		if !ok {
			return e, fmt.Errorf("%s: cost has no figure for cause %s", where, m.Causes[c].ID)
		}
		e.Cost[c] = v
	}
	return e, nil
}

// firstUnknown is the alphabetically first key that is no cause, or "".
func firstUnknown[T any](list map[string]T, index map[string]int) string {
	first := ""
	for id := range list {
		if _, ok := index[id]; !ok && (first == "" || id < first) {
			first = id
		}
	}
	return first
}
