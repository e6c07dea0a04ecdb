package exchange

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"faultbook/kb/cases"
)

// world is a desk, laptops in the field, two git repositories (a stick and a
// server) and the archives that were ever sent. It keeps a ledger of what was
// written, from which the end is judged.
type world struct {
	t        *testing.T
	dice     *rand.Rand
	now      time.Time
	homes    []string
	hubs     []string
	mail     [][]byte
	versions map[string]map[string]int // path of an entry or sheet → text → revision
	said     map[string][]string       // case id → every text of its events
	serial   int
	did      map[string]int
}

const secret = "Zorp Quux" // the name that is redacted

func newWorld(t *testing.T, seed uint64, n int) *world {
	w := &world{t: t, dice: rand.New(rand.NewPCG(seed, 11)), now: time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC),
		versions: map[string]map[string]int{}, said: map[string][]string{}, did: map[string]int{}}
	for range n {
		w.homes = append(w.homes, t.TempDir())
	}
	for _, name := range []string{"stick", "server"} {
		w.hubs = append(w.hubs, filepath.Join(t.TempDir(), name))
	}
	return w
}

func (w *world) store(home string) *cases.Store {
	return cases.NewStore(filepath.Join(home, "cases"), func() time.Time { w.now = w.now.Add(7 * time.Second); return w.now })
}

// write makes or revises an entry or room sheet: its revision goes up by one
// over the one that the home knows, so that two people clash.
func (w *world) write(home string) {
	p := pickOne(w.dice, "book/own/part/hub.yaml", "book/own/part/cable.yaml", "book/own/part/lamp.yaml", "rooms/hall.yaml", "rooms/floor 1/attic.yaml", "visits/hall/2026-04-02.yaml")
	revision := 1
	if old, ok := files(w.t, home)[p]; ok {
		r, err := parse(p, []byte(old))
		if err != nil {
			w.t.Fatal(err)
		}
		revision = r.Revision + 1
	}
	w.serial++
	text := fmt.Sprintf("name: text %d\nrevision: %d\n", w.serial, revision)
	if strings.HasPrefix(p, "visits") {
		text = fmt.Sprintf("by: x%d\nrevision: 3\nwritten: %d\n", w.serial, revision)
	}
	if strings.HasPrefix(p, "book") {
		text = part(strings.TrimSuffix(filepath.Base(p), ".yaml"), revision, fmt.Sprintf("Text %d", w.serial))
	}
	put(w.t, home, map[string]string{p: text})
	if w.versions[p] == nil {
		w.versions[p] = map[string]int{}
	}
	w.versions[p][text] = revision
}

// call opens a case or goes on with one, which others may do too.
func (w *world) call(home string) {
	s := w.store(home)
	w.serial++
	text := fmt.Sprintf("said %d.", w.serial)
	ids, err := s.IDs()
	if err != nil {
		w.t.Fatal(err)
	}
	if len(ids) == 0 || w.dice.IntN(3) == 0 {
		c, err := s.Create(cases.Event{Say: secret + " rings"})
		if err != nil {
			w.t.Fatal(err)
		}
		ids = []string{c.ID}
	}
	c, err := s.Load(pickOne(w.dice, ids...))
	if err != nil {
		w.t.Fatal(err)
	}
	if err := s.Append(c, cases.Event{Note: text}); err != nil {
		w.t.Fatal(err)
	}
	w.said[c.ID] = append(w.said[c.ID], text)
}

var errKilled = errors.New("killed")

// soon gives a step that fails after a few, as if the program had been killed
// there.
func (w *world) soon() func() error {
	left := w.dice.IntN(3)
	return func() error {
		if left--; left < 0 {
			return errKilled
		}
		return nil
	}
}

// receive imports an archive, perhaps damaged on its way, perhaps killed in it.
func (w *world) receive(home string, data []byte) {
	bad := bytes.Clone(data)
	switch w.dice.IntN(6) {
	case 0:
		bad = bad[:w.dice.IntN(len(bad))]
	case 1:
		bad[w.dice.IntN(len(bad))] ^= 1 << w.dice.IntN(8)
	}
	list, err := Read(bytes.NewReader(bad), "mail")
	if err != nil {
		w.did["refused"]++
		return
	}
	f, err := openFolder(home)
	if err != nil {
		w.t.Fatal(err)
	}
	defer f.close()
	if w.dice.IntN(2) == 0 {
		f.step = w.soon()
	}
	switch _, err = f.merge(list); {
	case errors.Is(err, errKilled):
		w.did["import killed"]++
	case err != nil:
		w.t.Fatal(err)
	default:
		w.did["imported"]++
	}
}

// sync exchanges with one of the repositories, perhaps killed in the folder or
// in git.
func (w *world) sync(home, hub string) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	o := Options{anyLock: true, Now: func() time.Time { return w.now }}
	switch w.dice.IntN(4) {
	case 0:
		o.step = w.soon()
	case 1:
		time.AfterFunc(time.Duration(w.dice.IntN(60))*time.Millisecond, cancel)
	}
	switch _, err := Sync(ctx, home, hub, o); {
	case errors.Is(err, errKilled), errors.Is(err, context.Canceled):
		w.did["sync killed"]++
	case err != nil:
		w.t.Fatal(err)
	default:
		w.did["synced"]++
	}
}

// settleOne settles a conflict that the home knows of, if any.
func (w *world) settleOne(home string) {
	list, err := Conflicts(home)
	if err != nil {
		w.t.Fatal(err)
	}
	if len(list) == 0 {
		return
	}
	c := pickOne(w.dice, list...)
	if _, err := Settle(home, c.Kind, c.ID, ""); err != nil {
		w.t.Fatal(err)
	}
	if text := files(w.t, home)[c.Kept]; c.Kind != KindCase {
		r, err := parse(c.Kept, []byte(text))
		if err != nil {
			w.t.Fatal(err)
		}
		w.versions[c.Kept][text] = r.Revision
	}
	w.did["settled"]++
}

func (w *world) turn() {
	home := pickOne(w.dice, w.homes...)
	switch w.dice.IntN(11) {
	case 10:
		w.settleOne(home)
	case 0, 1:
		w.write(home)
	case 2, 3, 4:
		w.call(home)
	case 5:
		w.mail = append(w.mail, archive(w.t, home)) // which nobody may ever get
	case 6, 7:
		if len(w.mail) > 0 {
			w.receive(home, pickOne(w.dice, w.mail...)) // an old one too
		}
	default:
		w.sync(home, pickOne(w.dice, w.hubs...))
	}
}

// settle takes the name out at the desk and lets everybody exchange once more
// without faults: half of them by archive with the desk, the others by git.
func (w *world) settle() {
	desk, field := w.homes[0], w.homes[1:]
	for range 2 {
		for i, home := range field {
			if i%2 == 0 {
				bring(w.t, desk, archive(w.t, home))
			} else {
				syncTo(w.t, home, w.hubs[i%4/2])
			}
		}
		syncTo(w.t, desk, w.hubs[0])
		syncTo(w.t, desk, w.hubs[1])
		syncTo(w.t, desk, w.hubs[0])
		s := w.store(desk)
		ids, _ := s.IDs()
		for _, id := range ids {
			if _, err := s.Redact(id, secret); err != nil {
				w.t.Fatal(err)
			}
			if _, err := Forget(desk, id, secret, func() time.Time { return w.now }); err != nil {
				w.t.Fatal(err)
			}
		}
		all := archive(w.t, desk)
		syncTo(w.t, desk, w.hubs[0])
		syncTo(w.t, desk, w.hubs[1])
		for i, home := range field {
			if i%2 == 0 {
				bring(w.t, home, all)
			} else {
				syncTo(w.t, home, w.hubs[i%4/2])
			}
		}
	}
}

// judge compares the end with the ledger: all have the same, every version
// that nothing superseded is there, every word of every call, and no name.
func (w *world) judge() {
	want := files(w.t, w.homes[0])
	for i, home := range w.homes {
		for _, old := range w.mail[:min(3, len(w.mail))] { // old archives change nothing any more
			bring(w.t, home, old)
		}
		if d := differences(want, files(w.t, home)); len(d) > 0 {
			w.t.Errorf("laptop %d differs from the desk in %v", i, d)
		}
	}
	present := map[string]bool{}
	everything := ""
	for _, text := range want {
		present[text] = true
		everything += text
	}
	for p, list := range w.versions {
		newest := 0
		for _, revision := range list {
			newest = max(newest, revision)
		}
		for text, revision := range list {
			if present[text] != (revision == newest) {
				w.t.Errorf("%s revision %d of %d: present %v", p, revision, newest, present[text])
			}
		}
	}
	for id, list := range w.said {
		for _, text := range list {
			if !strings.Contains(everything, text) {
				w.t.Errorf("case %s lost %q", id, text)
			}
		}
	}
	if strings.Contains(everything, secret) {
		w.t.Error("the name is back")
	}
}

// TestSimulate lets a desk and ten laptops work and exchange in random order,
// by archive and by git, with kills, damaged archives and lost messages: at the
// end all are equal and nothing is lost.
func TestSimulate(t *testing.T) {
	calm(t)
	w := newWorld(t, 1, 11)
	for range 320 {
		w.turn()
	}
	w.settle()
	w.judge()
	for _, fault := range []string{"refused", "import killed", "sync killed", "settled"} {
		if w.did[fault] == 0 {
			t.Errorf("%s: never happened", fault)
		}
	}
	t.Logf("%d versions and texts written, %v", w.serial, w.did)
}
