package exchange

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"
)

// Options of Sync.
type Options struct {
	// Deletions passes on that many records were deleted here; without it that
	// is taken for an accident (ErrGone).
	Deletions bool
	// NewHistory begins the history of the remote anew with what the records are
	// now, so that no older commit holds what was removed from them. Others go on
	// from it at their next sync.
	NewHistory bool
	// Progress, where it is given, is told how many of all records are merged.
	Progress func(done, all int)
	// Now is the clock for the time of commits; nil for that of the machine.
	Now     func() time.Time
	anyLock bool
	step    func() error // of the folder, for tests
}

// Synced is what a sync did: in the data folder, and at the remote.
type Synced struct {
	Remote string `json:"remote"`
	Result
	Sent int `json:"sent"` // records that were changed at the remote
}

// rounds is how often a sync begins anew when others are faster.
const rounds = 15

// Sync exchanges records with a bare git repository through the installed git:
// a folder, which is made where it is missing, or an address; "" for the one
// that was named last. After an error or a kill every record is whole, and
// syncing again goes on.
//
// Errors wrap ErrNoGit, ErrUnnamed, ErrRemote, ErrOffline, ErrGone or ErrLocked
// where those are the reason.
func Sync(ctx context.Context, home, to string, o Options) (Synced, error) {
	out := Synced{Result: Result{Conflicts: []Conflict{}}}
	if o.Now == nil {
		o.Now = time.Now
	}
	f, err := openFolder(home)
	if err != nil {
		return out, err
	}
	defer f.close()
	f.step, f.progress = ctx.Err, o.Progress
	if o.step != nil {
		f.step = o.step
	}
	g, err := openGit(ctx, home, o)
	if err != nil {
		return out, err
	}
	if to == "" {
		if to, err = g.remembered(); err != nil {
			return out, err
		}
	}
	hub, err := parseRemote(to)
	if err != nil {
		return out, err
	}
	out.Remote = hub.at
	if err := g.prepare(ctx, hub); err != nil {
		return out, err
	}
	s := syncer{git: g, folder: f, hub: hub, options: o, seen: map[string]string{}}
	for n := 1; ; n++ {
		out.Result, out.Sent, err = s.round(ctx)
		if err == nil || n == rounds || !errors.Is(err, errChanged) && !errors.Is(err, errRaced) {
			return out, err
		}
	}
}

// syncer is one sync.
type syncer struct {
	*git
	folder  *folder
	hub     remote
	options Options
	seen    map[string]string // as in folder.merge
}

// sides are the three states that a round merges.
type sides struct {
	head, theirs, base string // commits
	headTree           map[string]blob
	theirTree          map[string]blob
	ours               *state
	their              *state
	common             map[string][]Record
}

// round fetches, merges into the folder, commits and pushes. The folder is
// written before the branch: what a commit holds always lies in the folder, so
// that what is missing there was deleted.
func (s *syncer) round(ctx context.Context) (Result, int, error) {
	d, err := s.gather(ctx)
	if err != nil {
		return Result{}, 0, err
	}
	if err := s.remember(s.hub); err != nil {
		return Result{}, 0, err
	}
	if err := s.gone(d); err != nil {
		return Result{}, 0, err
	}
	r, tree, err := s.merge(d)
	if err != nil {
		return r, 0, err
	}
	id, sent, err := s.advance(ctx, d, tree)
	if err != nil || id == "" || id == d.theirs {
		return r, 0, err
	}
	if err := s.push(ctx, s.hub, id, s.options.NewHistory, d.theirs); err != nil {
		return r, 0, err
	}
	if s.options.NewHistory || d.parted() {
		err = s.forget(ctx, s.hub)
	}
	return r, sent, err
}

// parted reports whether the two sides have no commit in common: the remote's
// history was begun anew, or it is another remote.
func (d *sides) parted() bool { return d.theirs != "" && d.head != "" && d.base == "" }

// gather reads the folder and the commits.
func (s *syncer) gather(ctx context.Context) (*sides, error) {
	d := &sides{}
	var err error
	if d.theirs, err = s.fetch(ctx, s.hub); err != nil {
		return nil, err
	}
	if d.head, err = s.ref(ctx, branch); err != nil {
		return nil, err
	}
	if d.base, err = s.common(ctx, d.head, d.theirs); err != nil {
		return nil, err
	}
	if d.headTree, err = s.tree(ctx, d.head); err != nil {
		return nil, err
	}
	if d.theirTree, err = s.tree(ctx, d.theirs); err != nil {
		return nil, err
	}
	if d.ours, err = s.folder.load(nil); err != nil {
		return nil, err
	}
	return d, s.readTheirs(ctx, d)
}

// readTheirs reads what the remote holds and the folder does not, and of the
// last common state what either still has: merge3 asks for no more.
func (s *syncer) readTheirs(ctx context.Context, d *sides) error {
	known := map[string][]byte{}
	for _, list := range d.ours.files {
		for _, f := range list {
			known[blobID(f.Data)] = f.Data
		}
	}
	var wanted []string
	for p, b := range d.theirTree {
		if known[b.id] == nil && b.plain() && b.size <= maxCase && shared(p) {
			wanted = append(wanted, b.id)
		}
	}
	slices.Sort(wanted)
	got, err := s.git.read(ctx, slices.Compact(wanted))
	if err != nil {
		return err
	}
	for id, data := range got {
		known[id] = data
	}
	d.their = &state{files: map[string][]file{}, odd: map[string]string{}}
	for _, p := range sortedKeys(d.theirTree) {
		d.their.take(p, d.theirTree[p], known)
	}
	base, err := s.tree(ctx, d.base)
	if err != nil {
		return err
	}
	old := &state{files: map[string][]file{}, odd: map[string]string{}}
	for _, p := range sortedKeys(base) {
		if b := base[p]; known[b.id] != nil {
			old.take(p, b, known)
		}
	}
	d.common = map[string][]Record{}
	for key := range old.files {
		d.common[key] = old.versions(key)
	}
	return nil
}

// take adds a file of a commit. What others put there beside the records is
// none of our concern.
func (s *state) take(p string, b blob, known map[string][]byte) {
	if !shared(p) {
		return
	}
	data, ok := known[b.id]
	if !ok {
		s.odd[p] = "not a plain file, or too large"
		return
	}
	s.hold(p, data)
}

// Many records that are gone at once are taken for an accident.
const (
	goneLeast = 10
	goneShare = 0.1
)

// gone counts the records of the last sync that the folder lacks.
func (s *syncer) gone(d *sides) error {
	kept := map[string]bool{} // damaged files are not gone
	for p := range d.ours.odd {
		kept[keyAt(p)] = true
	}
	all := map[string]bool{}
	for p := range d.headTree {
		if key := keyAt(p); key != "" {
			all[key] = true
		}
	}
	records, missing := len(all), 0
	for key := range all {
		if d.ours.files[key] == nil && !kept[key] {
			missing++
		}
	}
	if s.options.Deletions || missing < goneLeast || float64(missing) < goneShare*float64(records) {
		return nil
	}
	return fmt.Errorf("%d of the %d records of the last sync are missing in %s: %w; put them back with `git -C '%s' checkout %s -- .`, or sync with --allow-deletions to delete them for everybody",
		missing, records, s.folder.home, ErrGone, s.folder.home, d.head)
}

// merge brings the folder in line and gives the files that the commit must
// have, by path.
func (s *syncer) merge(d *sides) (Result, map[string][]byte, error) {
	r := Result{Conflicts: []Conflict{}}
	tree := map[string][]byte{}
	var list []change
	for _, key := range unionKeys(d.ours.files, d.their.files) {
		c := change{key: key, have: d.ours.files[key], want: merge3(d.common[key], d.ours.versions(key), d.their.versions(key))}
		if r.skip(d.ours, c) || r.skipTheirs(d, key, c) {
			for _, f := range d.their.files[key] {
				tree[f.at] = f.Data
			}
			continue
		}
		list = append(list, c)
		for _, w := range c.want {
			tree[w.Path] = w.Data
		}
	}
	if err := r.carryOutAll(s.folder, list, s.seen); err != nil {
		return r, nil, err
	}
	return r, tree, nil
}

func unionKeys(a, b map[string][]file) []string {
	keys := append(sortedKeys(a), sortedKeys(b)...)
	slices.Sort(keys)
	return slices.Compact(keys)
}

// skipTheirs leaves a record alone in whose place the remote holds something
// that cannot be read, or of which the folder holds a damaged file elsewhere.
func (r *Result) skipTheirs(d *sides, key string, c change) bool {
	for _, w := range c.want {
		if why, ok := d.their.odd[w.Path]; ok {
			r.Skipped = append(r.Skipped, fmt.Sprintf("%s was not sent: what lies there at the remote cannot be read and was left as it is: %s", w.Path, why))
			return true
		}
	}
	for _, f := range append(d.their.files[key], d.ours.files[key]...) {
		if why, ok := d.ours.odd[f.at]; ok {
			r.Skipped = append(r.Skipped, fmt.Sprintf("%s cannot be read and was left as it is: %s", f.at, why))
			return true
		}
	}
	return false
}
