package room

import (
	"slices"
	"strings"
	"testing"

	"faultbook/kb"
)

func lineOf(items []Item, id string) *Item {
	for i := range items {
		if items[i].ID == id {
			return &items[i]
		}
	}
	return nil
}

// TestListFitsTheRoom: what cannot be there is left out, and the room's own
// figures and weak spots stand beside the rest.
func TestListFitsTheRoom(t *testing.T) {
	b := bookFor(t)
	s := read(t, strings.Replace(chainSheet("2160p60, 1080p60", "class: High Speed, length: 2 m", "class: High Speed, length: 3 m", "HDMI 2.0"), head,
		head+"complete: [display, video, usb, audio, control, network, camera]\nprotected: type1\nviewing: {farthest: 6 m}\n", 1))
	r := Check(s)
	items := List(b, s, &r)
	for _, id := range []string{"V-019", "V-032", "V-033", "V-044", "V-045", "V-050", "V-055", "V-057"} { // projector, camera, sound, control, network, USB
		if lineOf(items, id) != nil {
			t.Errorf("%s is on the list of a room that has no such thing", id)
		}
	}
	for id, want := range map[string]string{
		"V-009": "cable c1: laptop/out to box/in2, High Speed, 2 m",
		"V-017": "laptop laptop on the wall display: 1080p60",
		"V-025": "farthest seat: 6 m",
		"V-028": "type 0 plays, type 1 is refused",
		"V-006": "2 cables, 4 labels",
	} {
		it := lineOf(items, id)
		if it == nil || !slices.ContainsFunc(it.Expect, func(x string) bool { return strings.Contains(x, want) }) {
			t.Errorf("%s: %+v, want %q", id, it, want)
		}
	}
	if it := lineOf(items, "V-017"); it == nil || len(it.Weak) == 0 || !strings.Contains(it.Weak[0], "340 MHz") {
		t.Errorf("V-017 does not name the weak spot: %+v", it)
	}
	open := read(t, head)
	report := Check(open)
	if all := List(b, open, &report); len(all) < 64 {
		t.Errorf("a sheet that says nothing leaves lines out: %d of 65", len(all))
	}
}

// TestVisits are written, read back and compared.
func TestVisits(t *testing.T) {
	day := func(text string) Day { var d Day; d.UnmarshalText([]byte(text)); return d }
	before := &Visit{"visit", "test", day("2025-04-02"), "kl", 2, 0, []Result{{"V-001", VisitOK, ""}, {"V-017", VisitOK, ""}, {"V-034", VisitFault, "hum"}}}
	data, err := before.Encode()
	if err != nil {
		t.Fatal(err)
	}
	back, findings := ParseVisit(data, "visits/test/2025-04-02.yaml")
	if kb.CountErrors(findings) > 0 || back.By != "kl" || back.Day.String() != "2025-04-02" || len(back.Results) != 3 || back.Result("V-034").Note != "hum" {
		t.Fatalf("%v %+v", findings, back)
	}
	now := &Visit{"visit", "test", day("2026-04-02"), "mo", 2, 3, []Result{{"V-001", VisitOK, ""}, {"V-017", VisitFault, "1080p only"}, {"V-034", VisitOK, ""}, {"V-060", VisitFault, "tablet"}}}
	var got []string
	for _, c := range Compare(back, now) {
		got = append(got, c.ID+" "+c.Was+">"+c.Is)
	}
	if want := "V-017 ok>fault, V-034 fault>ok, V-060 >fault"; strings.Join(got, ", ") != want {
		t.Errorf("%q, want %q", got, want)
	}
	if _, findings := ParseVisit([]byte("kind: visit\nroom: x\nday: 2026-01-01\nby: a\nresults: [{id: V-001, result: fine}]\n"), "v.yaml"); kb.CountErrors(findings) != 1 {
		t.Errorf("a wrong word passes: %v", findings)
	}
}
