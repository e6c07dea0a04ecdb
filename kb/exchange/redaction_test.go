package exchange

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"faultbook/kb/cases"
)

func day(n int) time.Time { return time.Date(2026, 2, n, 0, 0, 0, 0, time.UTC) }

// TestRemovedStaysRemoved brings an older copy of a case from which a name was
// removed, in all the ways in which it can be older.
func TestRemovedStaysRemoved(t *testing.T) {
	for _, c := range []struct {
		name   string
		theirs []string
		files  int
	}{
		{"the same", []string{"Ann has no picture", "call Ann back"}, 1},
		{"shorter", []string{"Ann has no picture"}, 1},
		{"longer", []string{"Ann has no picture", "call Ann back", "it works"}, 1},
		{"gone on otherwise", []string{"Ann has no picture", "it works"}, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			us, them := t.TempDir(), t.TempDir()
			put(t, us, map[string]string{casePath: call(caseID, "Ann has no picture", "call Ann back")})
			put(t, them, map[string]string{casePath: call(caseID, c.theirs...)})
			old := archive(t, them)
			redact(t, us, "ann", day(1))
			bring(t, us, old)
			bring(t, them, archive(t, us))
			bring(t, them, old)
			for _, home := range []string{us, them} {
				got := files(t, home)
				if len(got) != c.files {
					t.Errorf("%d files, want %d: %v", len(got), c.files, got)
				}
				for p, text := range got {
					if strings.Contains(text, "Ann") {
						t.Errorf("%s holds the name again:\n%s", p, text)
					}
					if c.name == "longer" && !strings.Contains(text, "it works") {
						t.Errorf("%s lost what came after:\n%s", p, text)
					}
				}
			}
			if d := differences(files(t, us), files(t, them)); len(d) > 0 {
				t.Errorf("they differ in %v", d)
			}
		})
	}
}

// TestForget takes the name also out of what only a set-aside copy says.
func TestForget(t *testing.T) {
	us, them := t.TempDir(), t.TempDir()
	put(t, us, map[string]string{casePath: call(caseID, "no picture", "a", "b")})
	put(t, them, map[string]string{casePath: call(caseID, "no picture", "Ann rang")})
	old := archive(t, them)
	bring(t, us, old)
	put(t, us, map[string]string{forgetting + "left/2026/x": "Ann"}) // of a kill
	n, err := Forget(us, caseID, "ann", func() time.Time { return day(1) })
	if err != nil || n != 1 {
		t.Fatalf("%d places, %v", n, err)
	}
	bring(t, us, old)
	got := files(t, us)
	if len(got) != 2 || strings.Contains(strings.Join([]string{got[casePath], got[sortedKeys(got)[1]]}, ""), "Ann") {
		t.Errorf("%v", got)
	}
	if left, _ := filepath.Glob(filepath.Join(us, forgetting+"*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// TestTextsAgree fills every text of an event with a name and lets package
// cases remove it: what it removes from is what a merge looks at.
func TestTextsAgree(t *testing.T) {
	for _, e := range []cases.Event{
		{Say: "Ann"}, {Note: "Ann"}, {Room: "Ann"}, {Close: &cases.Close{Cause: "c", Note: "Ann"}},
		{Evidence: &cases.Evidence{From: "read", Name: "Ann", Text: []string{"Ann", "x Ann"},
			Facts:   []cases.EvidenceFact{{Name: "f", Value: "Ann", Text: "Ann"}},
			Answers: []cases.EvidenceAnswer{{Question: "q", Value: "v", By: []string{"f"}}}}},
	} {
		home := t.TempDir()
		c := &cases.Case{Header: cases.Header{Version: 1, ID: caseID, Opened: day(1)}, Events: []cases.Event{e}}
		before := encoded(c)
		put(t, home, map[string]string{casePath: before})
		redact(t, home, "Ann", day(2))
		list := reduce([]Record{mustParse(t, before), mustParse(t, files(t, home)[casePath])})
		if len(list) != 1 || strings.Contains(string(list[0].Data), "Ann") {
			t.Errorf("%d versions: %s", len(list), list[0].Data)
		}
	}
}

// TestRedactedAfterSettle: a name that one removes while another puts the two
// sides of the call together stays out.
func TestRedactedAfterSettle(t *testing.T) {
	us, them := t.TempDir(), t.TempDir()
	put(t, us, map[string]string{casePath: call(caseID, "no picture", "x", "y")})
	put(t, them, map[string]string{casePath: call(caseID, "no picture", "z of Ann")})
	old := archive(t, them)
	bring(t, us, old)
	settleAll(t, us)
	redact(t, them, "Ann", day(1))
	bring(t, us, archive(t, them))
	bring(t, them, archive(t, us))
	for _, home := range []string{us, them} {
		bring(t, home, old)
		if got := fmt.Sprint(files(t, home)); strings.Contains(got, "Ann") || !strings.Contains(got, "z of [removed]") {
			t.Error(got)
		}
	}
}

func mustParse(t *testing.T, text string) Record {
	t.Helper()
	r, err := parse(casePath, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestJoinTexts(t *testing.T) {
	const r = cases.Removed
	for _, c := range []struct{ a, b, want string }{
		{"Ann and Bob", r + " and Bob", r + " and Bob"},
		{r + " and Bob", "Ann and " + r, r},
		{"call " + r + " and Bob now", "call Ann and " + r + " now", "call " + r + " now"},
		{r + " and Bob", r + " and " + r, r + " and " + r},
		{"Ann", "Bob", ""},
		{"Ann", r, r},
		{"", r, ""}, // nothing was removed from an empty text
		{"Ann is here", r + " was here", ""},
		{"AnnAnn", r + r, r + r},
		{"[removed", r, r},
		{r + "moved]", r, r},
		{"a" + r, "b" + r, ""},
	} {
		for _, pair := range [][2]string{{c.a, c.b}, {c.b, c.a}} {
			got, ok := joinTexts(pair[0], pair[1])
			if ok != (c.want != "") || ok && got != c.want {
				t.Errorf("join %q and %q: %q, %v, want %q", pair[0], pair[1], got, ok, c.want)
			}
		}
	}
}

// TestNoRoomForNotes joins cases that are as long as a file may be.
func TestNoRoomForNotes(t *testing.T) {
	said := make([]string, 9999)
	for i := range said {
		said[i] = "Ann"
	}
	a := call(caseID, append(said, "b")...)
	note, err := json.Marshal(cases.Event{At: day(1), Redacted: 1})
	if err != nil {
		t.Fatal(err)
	}
	bare := regexp.MustCompile(`,"crc":"[0-9a-f]{8}"`).ReplaceAllString(call(caseID, said...), "")
	b := strings.Replace(bare, "Ann", cases.Removed, 1) + string(note) + "\n"
	list := reduce([]Record{mustParse(t, a), mustParse(t, b)})
	for _, r := range list {
		mustParse(t, string(r.Data))
	}
	if strings.Count(string(list[0].Data), "Ann") != 9998 {
		t.Error("the name that was removed is back")
	}
}
