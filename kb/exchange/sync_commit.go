package exchange

import (
	"context"
	"slices"
)

// advance puts the branch to a commit that has these records, beside what else
// the remote has, and goes on from both sides; it makes one where it must.
func (s *syncer) advance(ctx context.Context, d *sides, tree map[string][]byte) (id string, sent int, err error) {
	parents := d.parents()
	edits := d.edits(tree)
	if s.options.NewHistory {
		return s.beginAnew(ctx, d, tree)
	}
	if sent = len(edits); d.theirs == "" {
		sent = len(tree)
	}
	switch {
	case len(edits) == 0 && len(parents) == 0:
		return "", 0, nil // nothing here, nothing there
	case len(edits) > 0 || len(parents) == 2:
		id, err = s.commit(ctx, parents, edits, s.options.Now(), d.parted())
	case parents[0] == d.head:
		return d.head, sent, nil
	default:
		id = parents[0]
		_, err = s.run(ctx, nil, slices.Concat([]string{"update-ref", branch, id}, only(d.head))...)
	}
	if err != nil {
		if now, e := s.ref(ctx, branch); e == nil && now != d.head {
			return "", 0, errChanged // another sync of this folder was faster
		}
		return "", 0, explain(err, remote{s.git.dir, true})
	}
	s.run(ctx, nil, "read-tree", branch) // for those who look with git; not needed by us
	return id, sent, nil
}

// beginAnew makes a commit without a parent of all records and of what else the
// remote has.
func (s *syncer) beginAnew(ctx context.Context, d *sides, tree map[string][]byte) (string, int, error) {
	var edits []edit
	for _, p := range sortedKeys(tree) {
		edits = append(edits, edit{path: p, data: tree[p]})
	}
	records := map[string]bool{}
	for _, list := range d.their.files {
		for _, f := range list {
			records[f.at] = true
		}
	}
	for _, p := range sortedKeys(d.theirTree) {
		if _, ours := tree[p]; !ours && !records[p] {
			edits = append(edits, edit{path: p, kept: d.theirTree[p]})
		}
	}
	if len(edits) == 0 {
		return "", 0, nil
	}
	id, err := s.commit(ctx, nil, edits, s.options.Now(), true)
	if err != nil {
		return "", 0, explain(err, remote{s.git.dir, true})
	}
	s.run(ctx, nil, "read-tree", branch)
	return id, len(tree), nil
}

// only is a list of the texts that are not empty.
func only(list ...string) []string {
	return slices.DeleteFunc(list, func(s string) bool { return s == "" })
}

// parents are the commits from which the next one goes on: the remote's, and
// ours where the remote's does not hold it already and has not begun anew.
func (d *sides) parents() []string {
	if d.theirs != "" && (d.base == d.head || d.parted()) {
		return []string{d.theirs}
	}
	return only(d.theirs, d.head)
}

// edits are the changes that make the records of the first parent those of the
// tree. At a new remote nothing is deleted: the next sync does that, when it
// sees what both sides hold.
func (d *sides) edits(tree map[string][]byte) []edit {
	before := d.theirTree
	if d.theirs == "" {
		before = d.headTree
	}
	var list []edit
	for _, p := range sortedKeys(tree) {
		if b := before[p]; b.mode != "100644" || b.id != blobID(tree[p]) {
			list = append(list, edit{path: p, data: tree[p]})
		}
	}
	for _, key := range sortedKeys(d.their.files) {
		for _, f := range d.their.files[key] {
			if _, stays := tree[f.at]; !stays {
				list = append(list, edit{path: f.at, gone: true})
			}
		}
	}
	return list
}
