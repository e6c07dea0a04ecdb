package call

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"faultbook/diagnose/measure/edid"
	"faultbook/diagnose/measure/reading"
	"faultbook/diagnose/measure/sums"
	"faultbook/kb"
	"faultbook/kb/cases"
)

// mostEvidence is the most that one file or sum may put into a case, in bytes.
const mostEvidence = 64 << 10

// evidenceEvent adds the answers that follow from the facts.
func (c *Call) evidenceEvent(e cases.Evidence) (cases.Event, error) {
	facts := map[string]string{}
	for _, f := range e.Facts {
		facts[f.Name] = f.Value
	}
	for _, q := range kb.All[kb.Question](c.desk.Book) {
		if value, by, ok := q.Answered(facts); ok {
			e.Answers = append(e.Answers, cases.EvidenceAnswer{Question: q.ID, Value: value, By: by})
		}
	}
	e.Name = cleanText(e.Name)
	for i := range e.Facts {
		e.Facts[i].Value, e.Facts[i].Text = cleanText(e.Facts[i].Value), cleanText(e.Facts[i].Text)
	}
	return fits(cases.Event{Evidence: &e})
}

// fits cleans the lines of evidence and refuses what is too much for a case.
func fits(event cases.Event) (cases.Event, error) {
	e := event.Evidence
	for i := range e.Text {
		e.Text[i] = cleanText(e.Text[i])
	}
	if data, err := json.Marshal(e); err != nil || len(data) > mostEvidence {
		return cases.Event{}, fmt.Errorf("%s %s: it says more than %d KiB, too much for one call; cut out the part that matters", e.From, e.Name, mostEvidence>>10)
	}
	return event, nil
}

// readEvent reads the file at the path, or the part of it behind the last #.
func (c *Call) readEvent(path string) (cases.Event, error) {
	data, err := readFile(path)
	part := ""
	if i := strings.LastIndexByte(path, '#'); i > 0 && errors.Is(err, fs.ErrNotExist) {
		path, part = path[:i], path[i+1:]
		data, err = readFile(path)
	}
	name := filepath.Base(path)
	if err != nil {
		return cases.Event{}, fmt.Errorf("read %s: %w; %s", name, bareError(err), whatIsRead)
	}
	return c.evidenceOf(name, part, data)
}

// whatIsRead says what to give instead of something that cannot be read.
const whatIsRead = "write the path of an EDID, or of what lsusb, ethtool, ip, ping, a switch's PoE table or a serial line gave"

// Attach takes the content of an evidence file into the call: all of it, or
// the part of that name or number. An input that cannot be used changes
// nothing.
func (c *Call) Attach(name, part string, data []byte) (Out, error) {
	if v := c.view(); v.closed != nil {
		return Out{}, fmt.Errorf("the call has ended; undo takes the end back")
	}
	e, err := c.evidenceOf(name, part, data)
	if err != nil {
		return Out{}, err
	}
	if err := c.desk.Store.Append(c.file, e); err != nil {
		return Out{}, fmt.Errorf("the input was not kept: %w", err)
	}
	return c.Out()
}

// evidenceOf reads the content of a file, or a part of it.
func (c *Call) evidenceOf(name, part string, data []byte) (cases.Event, error) {
	readings, bad := reading.Read(data)
	if len(readings) == 0 {
		return cases.Event{}, fmt.Errorf("read %s: %s; %s", name, oneLine(bad), whatIsRead)
	}
	readings, err := onePart(readings, part)
	if err != nil {
		return cases.Event{}, fmt.Errorf("read %s: %w", name, err)
	}
	if part != "" {
		name += "#" + part
	}
	e := cases.Evidence{From: cases.FromRead, Name: name}
	var differ []string
	e.Facts, differ = agreed(readings)
	if differ = c.asked(differ); len(differ) > 0 {
		e.Text = []string{fmt.Sprintf("The %d parts differ in %s, which is not taken over; read one part as %s#%s",
			len(readings), strings.Join(differ, ", "), name, partName(readings, 0))}
	}
	event, err := c.evidenceEvent(e)
	if err != nil {
		return event, err
	}
	event.Evidence.Text = readText(readings, event.Evidence, bad)
	return fits(event)
}

// readFile reads a plain file up to the length that a reading takes.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("that is no file")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, reading.Longest+1))
}

// bareError drops the path from a file error: the name stands before it.
func bareError(err error) error {
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		return pathError.Err
	}
	return err
}

// partName is how a part of a file is called: by its name, else by its number.
func partName(readings []reading.Reading, i int) string {
	if readings[i].Part != "" {
		return readings[i].Part
	}
	return strconv.Itoa(i + 1)
}

// onePart picks the reading with the name or number; all for "".
func onePart(readings []reading.Reading, part string) ([]reading.Reading, error) {
	if part == "" {
		return readings, nil
	}
	var names []string
	for i := range readings {
		if partName(readings, i) == part || strconv.Itoa(i+1) == part {
			return readings[i : i+1], nil
		}
		names = append(names, partName(readings, i))
	}
	return nil, fmt.Errorf("it has no part %q; it has %s", part, strings.Join(names, ", "))
}

// agreed gives the facts on which all parts of a file agree, and the names of
// those on which they differ: nobody knows which part the call is about.
func agreed(readings []reading.Reading) (facts []cases.EvidenceFact, differ []string) {
	values := map[string][]string{}
	for _, r := range readings {
		for _, f := range r.Facts {
			if misleads(r, f) {
				continue
			}
			if len(values[f.Name]) == 0 {
				facts = append(facts, cases.EvidenceFact{Name: f.Name, Value: FactValue(f.Value), Text: f.Text})
			}
			values[f.Name] = append(values[f.Name], FactValue(f.Value))
		}
	}
	kept := facts[:0]
	for _, f := range facts {
		if slices.ContainsFunc(values[f.Name], func(v string) bool { return v != f.Value }) {
			differ = append(differ, f.Name)
			continue
		}
		kept = append(kept, f)
	}
	return kept, differ
}

// asked keeps the names of facts that bear on a question of the book.
func (c *Call) asked(names []string) []string {
	used := map[string]bool{}
	for _, q := range kb.All[kb.Question](c.desk.Book) {
		for _, m := range q.Measured {
			for _, need := range m.Needs() {
				used[need.Fact] = true
			}
		}
	}
	return slices.DeleteFunc(names, func(name string) bool { return !used[name] })
}

// misleads reports a fact that means nothing for the display at hand: one on
// DisplayPort or with an analogue input has no HDMI block to miss.
func misleads(r reading.Reading, f reading.Fact) bool {
	d, ok := r.Decoded.(*edid.Display)
	if !ok || f.Name != reading.EDIDHDMI || d.HDMI {
		return false
	}
	return !d.Input.Digital || d.Input.Interface == "DisplayPort" || len(d.DisplayID) > 0
}

// FactValue writes a value as rows of the book do.
func FactValue(v any) string {
	if f, ok := v.(float64); ok {
		return strconv.FormatFloat(f, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}

// shownFacts is how many facts are told of a file that answers no question.
const shownFacts = 6

// readText is what a file said in lines: the figures behind its answers, what
// they mean with the ground for it, what differs and what could not be read.
func readText(readings []reading.Reading, e *cases.Evidence, bad error) []string {
	var lines []string
	var kinds []string
	for i, r := range readings {
		kind := string(r.Kind)
		if len(readings) > 1 || r.Part != "" {
			kind += " " + partName(readings, i)
		}
		kinds = append(kinds, kind)
	}
	figures := figuresOf(*e)
	if len(figures) == 0 {
		for _, f := range e.Facts[:min(shownFacts, len(e.Facts))] {
			figures = append(figures, f.Text)
		}
	}
	lines = append(lines, strings.Join(kinds, ", ")+": "+strings.Join(figures, "; "))
	for _, r := range readings {
		for _, m := range r.Remarks {
			lines = append(lines, fmt.Sprintf("%s (check value %s; %s)", m.Text, m.CheckValue, m.Words))
		}
	}
	lines = append(lines, e.Text...) // what differs
	if bad != nil {
		lines = append(lines, "Not read: "+oneLine(bad))
	}
	return lines
}

// figuresOf gives the texts of the facts behind the answers to questions, or
// behind all answers where none is named; each text once, and none that another
// holds already.
func figuresOf(e cases.Evidence, questions ...string) []string {
	used := map[string]bool{}
	for _, a := range e.Answers {
		for _, name := range a.By {
			used[name] = used[name] || len(questions) == 0 || slices.Contains(questions, a.Question)
		}
	}
	var list []string
	for _, f := range e.Facts {
		holds := func(other string) bool { return strings.Contains(other, f.Text) }
		if used[f.Name] && !slices.ContainsFunc(list, holds) {
			list = append(list, f.Text)
		}
	}
	return list
}

// Instruments are the facts and sums that a book can refer to.
func Instruments() kb.Instruments {
	known := kb.Instruments{Facts: map[string]kb.FactKind{}}
	for _, n := range reading.Names() {
		kind := kb.FactKind{Number: n.Values == "number"}
		if !kind.Number && n.Values != "text" {
			kind.Values = strings.Split(n.Values, ", ")
		}
		known.Facts[n.Name] = kind
	}
	for _, s := range sums.All() {
		known.Sums = append(known.Sums, s.Name)
		for _, f := range s.Facts {
			kind := known.Facts[f.Name]
			kind.Values = append(kind.Values, f.Values...)
			known.Facts[f.Name] = kind
		}
	}
	return known
}
