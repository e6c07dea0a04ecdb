package call

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"faultbook/diagnose/measure"

	"github.com/google/go-cmp/cmp"
)

const (
	edidFiles = "../../../diagnose/measure/edid/testdata/"
	toolFiles = "../../../diagnose/measure/reading/testdata/"
)

func read(path string) In { return In{Read: path} }

func sum(name string, pairs ...string) In {
	in := SumIn{Name: name, Values: measure.Values{}}
	for i := 0; i < len(pairs); i += 2 {
		in.Values[pairs[i]] = append(in.Values[pairs[i]], pairs[i+1])
	}
	return In{Sum: &in}
}

// chanceOf is the chance of a cause, and its place from 0.
func chanceOf(o Out, cause string) (float64, int) {
	for i, c := range o.Causes {
		if c.ID == cause {
			return c.Chance, i
		}
	}
	return 0, -1
}

// factOf is a fact of the state.
func factOf(o Out, question string) Fact {
	for _, f := range o.Facts {
		if f.Question == question {
			return f
		}
	}
	return Fact{}
}

func onSite(t testing.TB, d *testDesk, symptom string) (*Call, Out) {
	t.Helper()
	c := d.open(t, "")
	do(t, c, In{Who: "technician"})
	return c, do(t, c, In{Symptom: symptom})
}

// TestDockLanes takes a call by JSON lines: the values of a dock with two HBR2
// lanes say why 2160p stays at 30 Hz. The figures are DisplayPort's (5.4 Gbit/s
// a lane at HBR2, 8b/10b, so 2 × 4.32; from memory, VESA DisplayPort 1.2) and
// CTA-861's (VIC 97: 594 MHz, × 24 bit = 14.256).
func TestDockLanes(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "only 30 Hz on the big display")
	in := strings.NewReader(`{"symptom":"F-11"}` + "\n" + `{"answer":{"question":"connection","value":"dock"}}` + "\n" +
		`{"sum":{"name":"dock","lanes":2,"rate":"HBR2","picture":["2160p60"]}}` + "\n" + `{"handover":"visit"}`)
	var out bytes.Buffer
	if err := Lines(c, in, &out); err != nil {
		t.Fatal(err)
	}
	var states []Out
	for _, line := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		var o Out
		if err := json.Unmarshal([]byte(line), &o); err != nil {
			t.Fatal(err)
		}
		states = append(states, o)
	}
	if len(states) != 5 {
		t.Fatalf("%d states:\n%s", len(states), out.String())
	}
	before, after := states[2], states[3]
	was, _ := chanceOf(before, "DL-01")
	now, place := chanceOf(after, "DL-01")
	if place != 0 || now < 0.5 || now < 2*was {
		t.Errorf("DL-01 went from %.3f to %.3f, place %d", was, now, place)
	}
	for what, text := range map[string]string{"the next step's reason": after.Step.Why, "the top cause's reason": after.Causes[0].Why,
		"the fact's figures": factOf(after, "dock-lane-sum").Figures, "the ticket": states[4].Ticket} {
		for _, figure := range []string{"14.256 Gbit/s", "8.64 Gbit/s"} {
			if !strings.Contains(text, figure) {
				t.Errorf("%s lacks %s: %s", what, figure, text)
			}
		}
	}
	if f := factOf(after, "dock-lane-sum"); f.Value != "over" || f.From != "sum" {
		t.Errorf("fact %+v", f)
	}
	if len(after.Evidence) != 1 || after.Evidence[0].Name != "dock" || len(after.Evidence[0].Answers) != 1 {
		t.Fatalf("evidence %+v", after.Evidence)
	}
	text := strings.Join(after.Evidence[0].Text, "\n")
	for _, want := range []string{"fail: ", "30 Hz", "H-026 (computed)", "picture 2160p60"} {
		if !strings.Contains(text, want) {
			t.Errorf("evidence lacks %q:\n%s", want, text)
		}
	}
	if !strings.Contains(states[4].Ticket, "\nEvidence\n  - Sum dock: fail: ") {
		t.Errorf("ticket:\n%s", states[4].Ticket)
	}
}

// TestReadings holds what evidence files do to a call: the answer that follows,
// and the cause that rises to the place at least. The EDIDs are the vectors of
// package edid, checked there with edid-decode; the others are the output of
// lsusb, ethtool and ip as package reading has them.
func TestReadings(t *testing.T) {
	d := newDesk(t)
	for _, c := range []struct {
		symptom, file, question, value, cause string
		place                                 int
	}{
		{"F-06", edidFiles + "D.hex", "edid-hdmi-block", "no", "EF-07", 1},
		{"F-06", edidFiles + "F.hex", "edid-extension", "announced-missing", "EF-03", 0},
		{"F-11", edidFiles + "E.hex", "edid-checksum", "bad", "EF-02", 0},
		{"F-18", toolFiles + "ethtool-100.txt", "port-speed", "100", "NW-02", 0},
		{"F-18", toolFiles + "ethtool-half.txt", "port-duplex", "one-half", "NW-03", 0},
		{"F-18", toolFiles + "ip-addr.txt", "address-shown", "169-254", "NW-22", 3},
		{"F-14", toolFiles + "lsusb-both.txt", "usb-current-sum", "over-hub", "UB-06", 0},
	} {
		call, before := onSite(t, d, c.symptom)
		after := do(t, call, read(c.file))
		was, _ := chanceOf(before, c.cause)
		now, place := chanceOf(after, c.cause)
		if place < 0 || place > c.place || now < 2*was {
			t.Errorf("%s: %s went from %.3f to %.3f, place %d", c.file, c.cause, was, now, place)
		}
		f := factOf(after, c.question)
		if f.Value != c.value || f.From != "read" || f.Figures == "" {
			t.Errorf("%s: fact %+v", c.file, f)
		}
		if !strings.Contains(after.Step.Why, filepath.Base(c.file)) {
			t.Errorf("%s: the reason does not name the file: %s", c.file, after.Step.Why)
		}
		if after = do(t, call, In{Note: "n"}); !strings.Contains(after.Step.Why, filepath.Base(c.file)) {
			t.Errorf("%s: a note takes the reason away", c.file)
		}
		if after = do(t, call, In{Say: "it is still so"}); strings.HasPrefix(after.Step.Why, "File ") {
			t.Errorf("%s: the reason is told again at later steps: %s", c.file, after.Step.Why)
		}
	}
}

// TestEvidenceErrors changes nothing and says what to write.
func TestEvidenceErrors(t *testing.T) {
	d := newDesk(t)
	dir := t.TempDir()
	put := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	quoted := func(path string) string { data, _ := json.Marshal(path); return string(data) }
	c := d.open(t, "the screen is black")
	before := len(c.file.Events)
	for line, want := range map[string]string{
		`{"read":` + quoted(filepath.Join(dir, "no.bin")) + `}`:           "read no.bin: no such file or directory; write the path of an EDID",
		`{"read":` + quoted(dir) + `}`:                                    "that is no file",
		`{"read":` + quoted(put("empty", "")) + `}`:                       "read empty: the file is empty",
		`{"read":` + quoted(put("prose", "Dear all,\n")) + `}`:            "not recognised",
		`{"read":` + quoted(put("ff", strings.Repeat("\xff", 128))) + `}`: "the read itself failed",
		`{"read":` + quoted(toolFiles+"ethtool-100.txt#wlan0") + `}`:      `no part "wlan0"; it has enp2s0`,
		`{"read":""}`:                           "says 0",
		`{"read":7}`:                            "not an input",
		`{"read":"a","say":"b"}`:                "says 2",
		`{"sum":{"name":"dok"}}`:                `no sum "dok"; did you mean dock?`,
		`{"sum":{"rate":"HBR2"}}`:               `"name" must be the name of a sum`,
		`{"sum":"dock"}`:                        "write an object",
		`{"sum":{"name":"dock"}}`:               "sum dock: rate: missing; give rate of one lane",
		`{"sum":{"name":"dock","rate":"HBR2"}}`: "picture: missing; give a picture",
		`{"sum":{"name":"dock","rate":"HBR2","lanes":3,"picture":"2160p60"}}`:         `lanes: "3" is not one of 1, 2, 4`,
		`{"sum":{"name":"dock","rate":"HBR2","picture":"big"}}`:                       "picture: ",
		`{"sum":{"name":"dock","rate":"HBR2","picture":[["2160p60"]]}}`:               "a list in a list",
		`{"sum":{"name":"dock","rate":{"x":1},"picture":"2160p60"}}`:                  "rate: write a string, a number or a list",
		`{"sum":{"name":"dock","rate":null,"picture":"2160p60"}}`:                     "rate: write a string, a number or a list",
		`{"sum":{"name":"dock","rate":"HBR2","picture":"2160p60","colour":"blue"}}`:   "colour: this sum has no such input; it has rate, lanes, usb3, picture",
		`{"sum":{"name":"dock","rate":["HBR","HBR2"],"picture":"2160p60","lanes":2}}`: "rate: given 2 times",
	} {
		data, err := json.Marshal(c.reply([]byte(line)))
		if err != nil {
			t.Fatal(err)
		}
		var got failure
		if err := json.Unmarshal(data, &got); err != nil || !strings.Contains(got.Error, want) {
			t.Errorf("%s: got %s, want an error with %q", line, data, want)
		}
		if strings.Contains(got.Error, "\n") {
			t.Errorf("%s: the error has several lines: %s", line, got.Error)
		}
	}
	if len(c.file.Events) != before {
		t.Errorf("%d events were kept", len(c.file.Events)-before)
	}
}

// TestEvidenceTooLong refuses a file that would fill the case.
func TestEvidenceTooLong(t *testing.T) {
	var text strings.Builder
	vector, err := os.ReadFile(edidFiles + "E.hex")
	if err != nil {
		t.Fatal(err)
	}
	for range 400 {
		text.Write(vector)
		text.WriteString("\n")
	}
	path := filepath.Join(t.TempDir(), "wall.txt")
	if err := os.WriteFile(path, []byte(text.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	c := newDesk(t).open(t, "")
	if _, err := c.Do(read(path)); err == nil || !strings.Contains(err.Error(), "cut out the part that matters") {
		t.Errorf("400 displays: %v", err)
	}
	if n := len(c.file.Events); n != 0 {
		t.Errorf("%d events were kept", n)
	}
}

// TestEvidenceUndo takes all answers of one reading back at once.
func TestEvidenceUndo(t *testing.T) {
	d := newDesk(t)
	c, before := onSite(t, d, "F-06")
	after := do(t, c, read(edidFiles+"D.hex"))
	if len(after.Facts) < 3 {
		t.Fatalf("only %d facts", len(after.Facts))
	}
	if diff := cmp.Diff(before, do(t, c, In{Undo: true})); diff != "" {
		t.Errorf("undo (-before +after):\n%s", diff)
	}
}

// TestEvidenceResume reads the case back when the file is gone: the state is
// the same, so neither file nor sum is wanted again.
func TestEvidenceResume(t *testing.T) {
	d := newDesk(t)
	data, err := os.ReadFile(edidFiles + "F.hex")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "screen.hex")
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	c, _ := onSite(t, d, "F-06")
	do(t, c, read(path))
	o := do(t, c, sum("dock", "rate", "HBR2", "lanes", "4", "picture", "2160p60"))
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	file, err := d.Store.Load(c.ID())
	if err != nil {
		t.Fatal(err)
	}
	again, err := Resume(d.Desk, file).Out()
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(o, again); diff != "" {
		t.Errorf("resumed (-before +after):\n%s", diff)
	}
	if raw, _ := os.ReadFile(c.Path()); bytes.Contains(raw, []byte(filepath.Dir(path))) {
		t.Error("the case holds the folder of the file, which is nobody's business")
	}
}

// TestEvidenceOrder gives answers, a reading and a sum in different orders: the
// belief and the step must be the same.
func TestEvidenceOrder(t *testing.T) {
	d := newDesk(t)
	inputs := []In{answer("connection", "dock"), answer("displays-alike", "one"), read(edidFiles + "E.hex"),
		sum("dock", "rate", "HBR2", "lanes", "2", "picture", "2160p60"), sum("link", "format", "2160p60", "part", "display=300 MHz")}
	want := ""
	for seed := range uint64(6) {
		c := d.open(t, "")
		o := do(t, c, In{Symptom: "F-11"})
		for _, i := range rand.New(rand.NewPCG(seed, 2)).Perm(len(inputs)) {
			o = do(t, c, inputs[i])
		}
		if got := beliefOf(o); want == "" {
			want = got
		} else if got != want {
			t.Errorf("seed %d: order changed the belief:\n%s", seed, cmp.Diff(want, got))
		}
	}
}

// TestEvidenceTrust holds that a reading weighs more than the same answer by
// eye, and that an answer given later takes its place.
func TestEvidenceTrust(t *testing.T) {
	d := newDesk(t)
	c := d.open(t, "")
	do(t, c, In{Symptom: "F-18"})
	do(t, c, answer("link-kind", "cable"))
	asked := do(t, c, answer("address-shown", "169-254"))
	do(t, c, In{Undo: true})
	told := do(t, c, read(toolFiles+"ip-addr.txt"))
	a, _ := chanceOf(asked, "NW-22")
	b, _ := chanceOf(told, "NW-22")
	if b <= a {
		t.Errorf("NW-22 has %.4f by the reading and %.4f by eye", b, a)
	}
	again := do(t, c, answer("address-shown", "169-254"))
	if got, want := beliefOf(again), beliefOf(asked); got != want {
		t.Errorf("the answer by eye must replace the reading:\n%s", cmp.Diff(want, got))
	}
	if f := factOf(again, "address-shown"); f.From == "read" || f.Figures != "" {
		t.Errorf("fact after the answer by eye: %+v", f)
	}
	if len(again.Evidence) != 1 || len(again.Evidence[0].Answers) != 0 {
		t.Errorf("evidence after the answer by eye: %+v", again.Evidence)
	}
}

// TestParts reads a file with two displays: what they say differently is not
// taken over, and one of them can be picked.
func TestParts(t *testing.T) {
	d := newDesk(t)
	a, err := os.ReadFile(edidFiles + "A.hex")
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(edidFiles + "D.hex")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "two.txt")
	if err := os.WriteFile(path, bytes.Join([][]byte{a, b}, []byte("\n")), 0o644); err != nil {
		t.Fatal(err)
	}
	c, _ := onSite(t, d, "F-06")
	o := do(t, c, read(path))
	if f := factOf(o, "edid-hdmi-block"); f.Value != "" {
		t.Errorf("the displays differ, yet %+v", f)
	}
	if f := factOf(o, "edid-checksum"); f.Value != "good" {
		t.Errorf("the displays agree, yet the checksum is %q", f.Value)
	}
	if text := strings.Join(o.Evidence[0].Text, "\n"); !strings.Contains(text, "differ in edid-hdmi-block") || !strings.Contains(text, "two.txt#1") {
		t.Errorf("nothing says that they differ:\n%s", text)
	}
	o = do(t, c, read(path+"#2"))
	if f := factOf(o, "edid-hdmi-block"); f.Value != "no" {
		t.Errorf("the second display: %+v", f)
	}
}

// TestDisplayPort holds that a display on DisplayPort is not said to lack an
// HDMI block (vector J), as a DVI monitor is (vector D).
func TestDisplayPort(t *testing.T) {
	d := newDesk(t)
	for file, want := range map[string]string{"J.hex": "", "D.hex": "no", "A.hex": "yes"} {
		c, _ := onSite(t, d, "F-06")
		if f := factOf(do(t, c, read(edidFiles+file)), "edid-hdmi-block"); f.Value != want {
			t.Errorf("%s: HDMI block %q, want %q", file, f.Value, want)
		}
	}
}
