package measure

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
)

func someInputs() []Input {
	return []Input{
		{Name: "current", Kind: KindFigure, Unit: "mA", Min: 1, Max: 5000, Required: true, Help: "the current"},
		{Name: "ports", Kind: KindCount, Min: 1, Max: 8, Default: "4"},
		{Name: "hub", Kind: KindWord, Words: []string{"none", "bus"}, Default: "none"},
		{Name: "device", Kind: KindFigure, Unit: "mA", Many: true},
	}
}

func TestRead(t *testing.T) {
	g, err := Read(someInputs(), Values{"current": {"0.5 A"}, "hub": {"BUS"}, "device": {"a=1mA", "b=2mA"}})
	if err != nil {
		t.Fatal(err)
	}
	if g.Figure("current") != 500 || g.Count("ports") != 4 || g.Text("hub") != "bus" || len(g.Texts("device")) != 2 || g.Has("nothing") {
		t.Errorf("got %+v", g)
	}
	var names []string
	for _, q := range g.Quantities() {
		names = append(names, q.Name+" "+q.Text)
	}
	if got, want := strings.Join(names, ", "), "current 500 mA, ports 4, hub bus, device a=1mA, device b=2mA"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// All faults are reported at once, in the order of the inputs.
func TestReadErrors(t *testing.T) {
	_, err := Read(someInputs(), Values{"ports": {"2.5"}, "hub": {"dish"}, "wat": {"1"}, "device": {""}})
	if err == nil {
		t.Fatal("want errors")
	}
	want := `wat: this sum has no such input; it has current, ports, hub, device
current: missing; give the current
ports: "2.5" is not a whole number
hub: "dish" is not one of none, bus`
	if err.Error() != want {
		t.Errorf("got\n%s\nwant\n%s", err, want)
	}
	var bad *InputError
	if !errors.As(err, &bad) || bad.Input != "wat" {
		t.Errorf("got %+v", bad)
	}
	for text, part := range map[string]string{"-3 mA": "out of range", "5.001 A": "out of range", "3 m": "is in a unit of length", "500": "has no unit"} {
		if _, err := Read(someInputs(), Values{"current": {text}}); err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: got %v, want %q", text, err, part)
		}
	}
	if _, err := Read(someInputs(), Values{"current": {"5 A"}}); err != nil {
		t.Errorf("5 A is at the limit: %v", err)
	}
	if _, err := Read(someInputs(), Values{"current": {"1 A", "2 A"}}); err == nil || !strings.Contains(err.Error(), "given 2 times") {
		t.Errorf("twice: got %v", err)
	}
}

// The keys of the contract; lists are never null; a word's value is.
func TestResultJSON(t *testing.T) {
	data, err := json.Marshal(Result{Name: "x"})
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(strings.ReplaceAll(string(data), `"result":""`, ""), "null") {
		t.Errorf("null in %s", data)
	}
	var keys map[string]any
	if err := json.Unmarshal(data, &keys); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"name", "inputs", "result", "unit", "verdict", "sentence", "formula", "source", "check_value_id",
		"sources", "outputs", "facts", "parts", "notes", "rounding"} {
		if _, ok := keys[key]; !ok {
			t.Errorf("no key %q in %s", key, data)
		}
	}
	full := Result{Outputs: []Quantity{Figure("a", 1.5, "V", 1), Word("b", "c")},
		Sources: []Source{{"W-1", Computed}, {"W-2", Computed}, {"W-3", Practice}}}
	data, _ = json.Marshal(full)
	for _, part := range []string{`"result":1.5,"unit":"V"`, `"source":"computed; common practice, no source"`, `"check_value_id":"W-1"`,
		`{"name":"b","value":null,"unit":"text","text":"c"}`} {
		if !strings.Contains(string(data), part) {
			t.Errorf("no %s in %s", part, data)
		}
	}
}

func TestWorse(t *testing.T) {
	for _, c := range []struct{ a, b, want Verdict }{
		{Pass, Tight, Tight}, {Tight, Pass, Tight}, {Unknown, Tight, Unknown}, {Fail, Unknown, Fail}, {Pass, Pass, Pass},
	} {
		if got := Worse(c.a, c.b); got != c.want {
			t.Errorf("%s, %s: got %s", c.a, c.b, got)
		}
	}
}

func TestNearest(t *testing.T) {
	for typed, want := range map[string]string{"lnik": "link", "voltagedrop": "voltage-drop", "POE": "poe", "zzzzz": "", "subnets": "subnet"} {
		if got := Nearest(typed, Names()); got != want {
			t.Errorf("%s: got %q, want %q", typed, got, want)
		}
	}
}

func TestItem(t *testing.T) {
	for _, c := range []struct{ text, label, rest string }{
		{"camera=500 mA", "camera", "500 mA"}, {"500 mA", "device 3", "500 mA"}, {" = 5 W", "device 3", "5 W"}, {"a=b=c", "a", "b=c"},
	} {
		if label, rest := Item(c.text, "device", 3); label != c.label || rest != c.rest {
			t.Errorf("%q: got %q, %q", c.text, label, rest)
		}
	}
}
