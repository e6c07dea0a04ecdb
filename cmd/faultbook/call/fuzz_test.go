package call

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"faultbook/kb"
	"faultbook/kb/cases"

	"github.com/google/go-cmp/cmp"
)

// mostLines keeps one input of a fuzz target within a fraction of a second: each
// line that is taken plans a step.
const mostLines = 12

// FuzzLines feeds any bytes to a call as lines: each line that is not empty is
// answered, by a state or by an error in words; a refused line changes nothing,
// a taken one is one event more; and the file gives the same call again.
func FuzzLines(f *testing.F) {
	for _, seed := range []string{
		"{\"say\":\"no sound in the big room\"}\n{\"undo\":true}\n{\"undo\":true}\n",
		"{\"answer\":{\"question\":\"display-lamp\",\"value\":\"off\"}}\n{\"answer\":{\"question\":\"display-lamp\",\"value\":\"green\"}}\n",
		"{\"symptom\":\"F-01\"}\r\n\r\n{\"unknown\":\"display-lamp\"}\r\n{\"handover\":\"H-01\"}\r\n{\"note\":\"x\"}",
		"{\"tried\":{\"remedy\":\"seat-mains-plug\",\"result\":\"cured\"}}\n{\"close\":{\"cause\":\"PW-01\"}}\n{\"say\":\"again\"}\n",
		"{\"meeting\":10}\n{\"meeting\":-1}\n{\"meeting\":1e400}\n{\"workaround\":\"works\"}\n{\"who\":\"technician\"}\n{\"room\":\"none\"}\n",
		"{\"sum\":{\"name\":\"usb-power\"}}\n{\"sum\":{\"name\":\"subnet\",\"host\":\"10.0.0.1/31\"}}\nnull\n[]\n{}\n\x00\xff\n",
		"{\"say\":\"" + strings.Repeat("x", 5000) + "\"}\n" + strings.Repeat("[", 20000) + "\n{\"say\":\"\\ud800\\u0000\"}",
	} {
		f.Add([]byte(seed))
	}
	d := newDesk(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		replies, ok := linesToFeed(data)
		if !ok {
			return
		}
		c := d.open(t, "the screen is black")
		defer os.Remove(c.Path())
		before := len(c.file.Events)
		var out bytes.Buffer
		if err := Lines(c, bytes.NewReader(data), &out); err != nil {
			t.Fatal(err)
		}
		states := bytes.Split(bytes.TrimSuffix(out.Bytes(), []byte("\n")), []byte("\n"))
		if len(states) != 1+replies {
			t.Fatalf("%d answers to %d lines", len(states)-1, replies)
		}
		taken, last := 0, states[0]
		for _, s := range states[1:] {
			if soundReply(t, s) {
				taken, last = taken+1, s
			}
		}
		if n := len(c.file.Events) - before; n != taken {
			t.Fatalf("%d lines were taken, %d events came", taken, n)
		}
		sameFromDisk(t, d, c, last)
	})
}

// linesToFeed counts the lines that must be answered; false where there are too
// many, or one is too long or reads a file that the test did not choose.
func linesToFeed(data []byte) (n int, ok bool) {
	for line := range bytes.Lines(data) {
		if len(line) >= maxLine {
			return 0, false
		}
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		in, err := ReadIn(line)
		if n++; n > mostLines || err == nil && in.Read != "" {
			return 0, false
		}
	}
	return n, true
}

// soundReply reports whether a line of output is a state, and fails where it is
// neither that nor an error.
func soundReply(t *testing.T, line []byte) bool {
	t.Helper()
	var o struct {
		Error *string
		Step  Step
	}
	if err := json.Unmarshal(line, &o); err != nil {
		t.Fatalf("%v: %s", err, line)
	}
	if o.Error != nil {
		if *o.Error == "" {
			t.Fatal("refused without a reason")
		}
		return false
	}
	if o.Step.Kind == "" || o.Step.Why == "" && o.Step.Kind != StepDone {
		t.Fatalf("a state without a step: %s", line)
	}
	return true
}

// sameFromDisk reads the case back and holds that it stands as the last state
// said.
func sameFromDisk(t *testing.T, d *testDesk, c *Call, last []byte) {
	t.Helper()
	file, err := d.Store.Load(c.ID())
	if err != nil {
		t.Fatalf("the case cannot be read back: %v", err)
	}
	o, err := Resume(d.Desk, file).Out()
	if err != nil {
		t.Fatal(err)
	}
	var was Out
	if err := json.Unmarshal(last, &was); err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(o)
	if err != nil {
		t.Fatal(err)
	}
	var now Out
	if err := json.Unmarshal(data, &now); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(was, now); diff != "" {
		t.Fatalf("read back (-said +read):\n%s", diff)
	}
}

// FuzzScript reads any text as a script and plays what is accepted: it ends, or
// an error says in words why not.
func FuzzScript(f *testing.F) {
	for _, seed := range []string{
		"say: the telly is dead\nanswers: {display-lamp: \"off\"}\nremedies: {seat-mains-plug: cured}\nexpect: {end: cured, cause: PW-01, within: 8}\n",
		"say: no sound\nwho: technician\nconfirm: true\ndo: [{\"meeting\": 10}, {symptom: F-10}]\n",
		"a: &a [x, x]\nsay: *a\n", "do: [&a {answer: &b {question: x}}, *a]\n", "do: [{1: 2}]\n", "do: [{sum: {name: dock, ? [a] : b}}]\n",
		"\ufeffsay: x\r\nlimit: -1\r\n", "---\nsay: a\n---\nsay: b\n", "do: " + strings.Repeat("[", 5000), "say: !!binary x\nlimit: 99999999999999999999\n",
		"<<: {say: x}\nanswers: {<<: [{a: b}], ~: c}\n", "rooms: ../../x\nroom: none\n",
	} {
		f.Add([]byte(seed))
	}
	d := newDesk(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ReadScript(bytes.NewReader(data), "x.yaml")
		if err != nil || len(s.Do) > mostLines || bytes.Contains(data, []byte("read")) {
			return
		}
		s.Limit = min(s.Limit, mostLines)
		d.at = d.at.Add(1e9)
		c, err := New(d.Desk, s.Say, s.Who)
		if err != nil {
			return
		}
		defer os.Remove(c.Path())
		if err := Play(c, s, &Screen{Out: io.Discard, Width: 80}, func(float64) {}); err != nil && err.Error() == "" {
			t.Fatal("failed without a reason")
		}
		if _, err := d.Store.Load(c.ID()); err != nil {
			t.Fatalf("the case cannot be read back: %v", err)
		}
	})
}

// FuzzOwnEntry lays any entry over the built-in book, as one of the user's own:
// it is left out with a reason, or a call on each of its symptoms goes on with
// it, step by step.
func FuzzOwnEntry(f *testing.F) {
	d := newDesk(f)
	for _, k := range kb.Kinds() {
		id := d.Book.IDs(k)[0]
		for _, e := range d.Book.Find(id) {
			text, err := kb.Write(e)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(text)
			f.Add([]byte("\ufeff" + strings.ReplaceAll(string(text), "\n", "\r\n")))
			f.Add(bytes.ReplaceAll(text, []byte(id), []byte("own-x")))
		}
	}
	f.Add([]byte("kind: cause\nid: own-x\ntitle: x\nsymptoms: [F-01]\nfrequency: very common\nremedies: [seat-mains-plug]\ntells: {display-lamp: {off: always}}\n"))
	f.Add([]byte("kind: question\nid: display-lamp\ntitle: x\nask: x?\nanswers: [{value: a, say: a}, {value: b, say: b}]\nwho: caller\nminutes: 1\nsense: look\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		e, _, findings := kb.Parse(text, "x.yaml")
		if e == nil || len(findings) > 0 {
			return
		}
		id := kb.HeadOf(e).ID
		over, _ := kb.Load(fstest.MapFS{id + ".yaml": {Data: text}}, "own")
		own := *d.Desk
		own.Book, findings = kb.Usable(d.Book, over)
		for _, x := range findings {
			if x.Line < 1 || x.Text == "" {
				t.Fatalf("left out without place or reason: %+v", x)
			}
		}
		symptoms := []string{"F-01"}
		if c, ok := e.(*kb.Cause); ok && len(c.Symptoms) > 0 {
			symptoms = append(symptoms, c.Symptoms[0].ID)
		}
		for _, symptom := range symptoms {
			walkOn(t, &testDesk{Desk: &own, at: d.at}, symptom)
		}
	})
}

// walkOn opens a call on a symptom and takes the first answer of four steps.
func walkOn(t *testing.T, d *testDesk, symptom string) {
	t.Helper()
	c := d.open(t, "")
	defer os.Remove(c.Path())
	if kb.Get[kb.Symptom](d.Book, symptom) == nil {
		return
	}
	o := do(t, c, In{Symptom: symptom})
	for range 4 {
		st := o.Step
		switch {
		case st.asked() != "" && st.asked() != AskSymptom && len(st.Answers) > 0:
			o = do(t, c, answer(st.asked(), st.Answers[0].Value))
		case st.Kind == StepTry && st.ID != TryWorkaround:
			o = do(t, c, In{Tried: &cases.Tried{Remedy: st.ID, Result: cases.Same}})
		default:
			return
		}
	}
}
