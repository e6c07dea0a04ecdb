package exchange

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"faultbook/kb/cases"
)

// TestMerge brings one folder into another: what is in place after that, and
// how many versions are set aside.
func TestMerge(t *testing.T) {
	at := "book/own/part/hub.yaml"
	for _, c := range []struct {
		name, path    string
		ours, theirs  string
		want          string
		aside         int
		added, update int
	}{
		{"new", at, "", part("hub", 1, "Hub"), part("hub", 1, "Hub"), 0, 1, 0},
		{"same", at, part("hub", 1, "Hub"), part("hub", 1, "Hub"), part("hub", 1, "Hub"), 0, 0, 0},
		{"newer", at, part("hub", 1, "Hub"), part("hub", 2, "Box"), part("hub", 2, "Box"), 0, 0, 1},
		{"older", at, part("hub", 2, "Hub"), part("hub", 1, "Box"), part("hub", 2, "Hub"), 0, 0, 0},
		{"conflict", at, part("hub", 2, "Hub"), part("hub", 2, "Box"), "", 1, 0, 1},
		{"room", "rooms/hall.yaml", "name: Hall\nrevision: 1\n", "name: Great hall\nrevision: 2\n", "name: Great hall\nrevision: 2\n", 0, 0, 1},
		{"room conflict", "rooms/hall.yaml", "name: Hall\n", "name: Great hall\n", "", 1, 0, 1},
		{"visit written anew", "visits/hall/2026-04-02.yaml", "by: kl\nrevision: 7\n", "by: kl\nrevision: 2\nwritten: 2\n", "by: kl\nrevision: 2\nwritten: 2\n", 0, 0, 1},
		{"visit written by two", "visits/hall/2026-04-02.yaml", "by: kl\nrevision: 7\n", "by: mo\nrevision: 2\n", "", 1, 0, 1},
		{"case goes on", casePath, call(caseID, "a"), call(caseID, "a", "b"), call(caseID, "a", "b"), 0, 0, 1},
		{"older case", casePath, call(caseID, "a", "b"), call(caseID, "a"), call(caseID, "a", "b"), 0, 0, 0},
		{"case forks", casePath, call(caseID, "a", "b"), call(caseID, "a", "c", "d"), call(caseID, "a", "c", "d"), 1, 0, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			us, them := t.TempDir(), t.TempDir()
			if c.ours != "" {
				put(t, us, map[string]string{c.path: c.ours})
			}
			put(t, them, map[string]string{c.path: c.theirs})
			r := bring(t, us, archive(t, them))
			got := files(t, us)
			if c.want != "" && got[c.path] != c.want {
				t.Errorf("in place: %q, want %q", got[c.path], c.want)
			}
			if len(got) != 1+c.aside || r.Added != c.added || r.Updated != c.update || r.Added+r.Updated+r.Unchanged != 1 || len(r.Conflicts) != c.aside {
				t.Errorf("%d files, result %+v", len(got), r)
			}
			bring(t, them, archive(t, us))
			if d := differences(files(t, us), files(t, them)); len(d) > 0 {
				t.Errorf("after the way back they differ in %v", d)
			}
		})
	}
}

// TestSettle raises the revision of the version that is in place: what was set
// aside goes, also at others.
func TestSettle(t *testing.T) {
	us, them := t.TempDir(), t.TempDir()
	at := "book/own/part/hub.yaml"
	put(t, us, map[string]string{at: part("hub", 1, "Hub")})
	put(t, them, map[string]string{at: part("hub", 1, "Box")})
	bring(t, us, archive(t, them))
	bring(t, them, archive(t, us))
	put(t, us, map[string]string{at: part("hub", 2, "Hub or box")})
	bring(t, us, archive(t, them))
	bring(t, them, archive(t, us))
	for _, home := range []string{us, them} {
		if got := files(t, home); len(got) != 1 || got[at] != part("hub", 2, "Hub or box") {
			t.Errorf("%v", got)
		}
	}
}

// settleAll settles the conflicts of a folder; ids that differ in letter case
// only need a person.
func settleAll(t *testing.T, home string) {
	t.Helper()
	list, err := Conflicts(home)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range list {
		if _, err := Settle(home, c.Kind, c.ID, ""); err != nil && !strings.Contains(err.Error(), "letter case") {
			t.Fatal(err)
		}
	}
}

// TestSettleBy settles a conflict of each kind at one place: with the next
// exchange it is gone at the other, and nothing of a call is lost.
func TestSettleBy(t *testing.T) {
	for _, c := range []struct{ path, ours, theirs string }{
		{"book/own/part/hub.yaml", part("hub", 2, "Hub"), part("hub", 2, "Box")},
		{"rooms/hall.yaml", "name: Hall", "name: Great hall\n"},
		{casePath, call(caseID, "a", "b", "c"), call(caseID, "a", "d")},
	} {
		us, them := t.TempDir(), t.TempDir()
		put(t, us, map[string]string{c.path: c.ours})
		put(t, them, map[string]string{c.path: c.theirs})
		old := archive(t, them)
		r := bring(t, us, old)
		bring(t, them, archive(t, us))
		aside := r.Conflicts[0]
		take := aside.Aside[0]
		if aside.Kind == KindCase {
			if _, err := Settle(us, aside.Kind, aside.ID, take); err == nil {
				t.Error("a side of a call was taken")
			}
			take = ""
		}
		wanted := files(t, us)[aside.Aside[0]]
		if _, err := Settle(us, aside.Kind, aside.ID, "no/such"); err == nil {
			t.Error("a version that is not there was taken")
		}
		if _, err := Settle(us, aside.Kind, aside.ID, take); err != nil {
			t.Fatal(err)
		}
		bring(t, them, archive(t, us))
		for _, home := range []string{us, them} {
			bring(t, home, old)
			got := files(t, home)
			first, _, _ := strings.Cut(wanted, "\nrevision")
			if len(got) != 1 || aside.Kind != KindCase && !strings.HasPrefix(got[c.path], strings.TrimSpace(first)) {
				t.Errorf("%s: %v", c.path, got)
			}
			for _, said := range []string{"a", "b", "c", "d"} {
				if aside.Kind == KindCase && strings.Count(got[c.path], fmt.Sprintf("\"say\":%q", said)) != 1 {
					t.Errorf("%q is lost or twice: %s", said, got[c.path])
				}
			}
		}
		if _, err := Settle(us, aside.Kind, aside.ID, ""); !errors.Is(err, ErrSettled) {
			t.Errorf("settled twice: %v", err)
		}
	}
}

// TestPlaces puts entries where they belong: one that lies elsewhere, one that
// lies twice, ids that differ in letter case.
func TestPlaces(t *testing.T) {
	us, them := t.TempDir(), t.TempDir()
	put(t, us, map[string]string{
		"book/hub.yaml":             part("hub", 1, "Hub"),
		"book/site/part/cable.yaml": part("cable", 1, "Cable"),
		"book/twice.yaml":           part("twice", 1, "One"),
		"book/own/part/twice.yaml":  part("twice", 2, "Two"),
		"book/own/part/Case.yaml":   part("Case", 1, "Letter case"),
		"book/notes.txt":            "no record",
		"book/broken.yaml":          "kind: part\n",
		"book/.hidden/x.yaml":       part("x", 1, "X"),
		"rooms/-.yaml":              "no fit name",
	})
	put(t, them, map[string]string{"book/own/part/case.yaml": part("case", 2, "Letter case")})
	list, notes, err := Records(us, Choice{})
	if err != nil || len(list) != 4 || len(notes) != 2 {
		t.Fatalf("%d records, left out %v, %v", len(list), notes, err)
	}
	bring(t, them, pack(t, list, false))
	bring(t, us, archive(t, them))
	got := files(t, us)
	for _, p := range []string{"book/own/part/hub.yaml", "book/site/part/cable.yaml", "book/own/part/twice.yaml", "book/own/part/case.yaml"} {
		if got[p] == "" {
			t.Errorf("%s is missing", p)
		}
	}
	for _, p := range []string{"book/hub.yaml", "book/twice.yaml", "book/own/part/Case.yaml"} {
		if got[p] != "" {
			t.Errorf("%s is there still", p)
		}
	}
	if !strings.Contains(fmt.Sprint(got), "id: Case") {
		t.Error("the entry with the other letter case is lost")
	}
}

// TestInTheWay leaves alone what cannot be read: the rest is merged.
func TestInTheWay(t *testing.T) {
	us, them := t.TempDir(), t.TempDir()
	put(t, us, map[string]string{casePath: `{"faultbook_case":9,"id":"x"}`})
	put(t, them, map[string]string{casePath: call(caseID, "a"), "rooms/hall.yaml": "name: Hall\n"})
	r := bring(t, us, archive(t, them))
	if len(r.Skipped) != 1 || !strings.Contains(r.Skipped[0], "newer version") || r.Added != 1 {
		t.Errorf("%+v", r)
	}
	if got := files(t, us); got[casePath] != `{"faultbook_case":9,"id":"x"}` || got["rooms/hall.yaml"] == "" {
		t.Errorf("%v", got)
	}
}

// TestAnyOrder brings archives of folders that grew apart, and of folders that
// brought some of those together, into new folders in many orders with
// repetitions: the files are the same each time. Two people at most remove
// texts independently, see the package comment.
func TestAnyOrder(t *testing.T) {
	orders := 0
	for seed := range uint64(16) {
		dice := rand.New(rand.NewPCG(seed, 6))
		var packs [][]byte
		var homes []string
		for n := range 6 {
			home := t.TempDir()
			put(t, home, randomFolder(dice))
			if n < 2 && dice.IntN(2) == 0 && files(t, home)[casePath] != "" {
				redact(t, home, pickOne(dice, "Ann", "Bob"), time.Date(2026, 2, 1+n, 0, 0, 0, 0, time.UTC))
			}
			homes = append(homes, home)
			packs = append(packs, archive(t, home))
		}
		for range 3 { // relays, which bring in conflicts as well
			home := pickOne(dice, homes...)
			bring(t, home, pickOne(dice, packs...))
			if dice.IntN(2) == 0 {
				settleAll(t, home)
			}
			packs = append(packs, archive(t, home))
		}
		var first map[string]string
		for range 6 {
			home := t.TempDir()
			for _, i := range append(dice.Perm(len(packs)), dice.Perm(len(packs))[:4]...) {
				bring(t, home, packs[i])
			}
			if first == nil {
				first = files(t, home)
			}
			if d := differences(first, files(t, home)); len(d) > 0 {
				t.Fatalf("seed %d: the order makes a difference in %v", seed, d)
			}
			before := archive(t, home)
			if r := bring(t, home, packs[0]); r.Added+r.Updated > 0 || string(before) != string(archive(t, home)) {
				t.Fatalf("seed %d: once more changes something: %+v", seed, r)
			}
			orders++
		}
	}
	t.Logf("%d orders", orders)
}

// randomFolder has versions of a few records, as they come about when people
// go on from one state without exchanging.
func randomFolder(dice *rand.Rand) map[string]string {
	m := map[string]string{}
	for _, id := range []string{"hub", "cable", "Hub"} {
		if dice.IntN(3) > 0 {
			at := pickOne(dice, "book/own/part/", "book/site/part/", "book/")
			m[at+id+".yaml"] = part(id, dice.IntN(3), pickOne(dice, "A", "B", "C"))
		}
	}
	if dice.IntN(2) == 0 {
		m["rooms/hall.yaml"] = fmt.Sprintf("name: Hall\nnote: %d\nrevision: %d\n", dice.IntN(3), dice.IntN(2))
	}
	if dice.IntN(4) > 0 {
		said := []string{"Ann and Bob have no picture", "Bob says so", "Ann too"}[:1+dice.IntN(3)]
		for range dice.IntN(3) {
			said = append(said, pickOne(dice, "x", "y of Ann"))
		}
		m[casePath] = call(caseID, said...)
	}
	return m
}

// TestCaseBytes writes a case as package cases does.
func TestCaseBytes(t *testing.T) {
	home := t.TempDir()
	s := cases.NewStore(filepath.Join(home, "cases"), func() time.Time { return time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC) })
	c, err := s.Create()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range []cases.Event{{Say: "<b> & \u2028 ä"}, {Evidence: &cases.Evidence{From: "sum", Name: "dock"}}, {Undo: true}} {
		if err := s.Append(c, e); err != nil {
			t.Fatal(err)
		}
	}
	for p, text := range files(t, home) {
		r, err := parse(p, []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if got := encoded(decoded(&r)); got != text {
			t.Errorf("%q\n%q", got, text)
		}
	}
}
