package index

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"

	"github.com/blevesearch/bleve/v2/index/scorch"
)

// An index on disk is made of three indexes of bleve: the entries of the book
// with its synonyms, and the past calls in two halves that are built side by
// side. Each is built by bleve's offline builder, which leaves one segment.
const (
	bookFolder  = "book"
	halves      = 2
	perBatch    = 2000 // documents that are taken apart before they are written
	mergeAtOnce = 64   // batches put together in one go
)

func halfFolder(i int) string { return fmt.Sprintf("cases%d", i+1) }

// builder fills one index of bleve.
type builder struct {
	*preparer
	folder string
	codes  *codes
	inner  *scorch.Builder
	count  int
}

func newBuilder(folder string, r reader, c *codes) (*builder, error) {
	inner, err := scorch.NewBuilder(map[string]interface{}{
		"path": folder, "buildPathPrefix": filepath.Dir(folder), "batchSize": perBatch, "mergeMax": mergeAtOnce})
	if err != nil {
		return nil, fmt.Errorf("make an index: %w", err)
	}
	return &builder{preparer: newPreparer(r), folder: folder, codes: c, inner: inner}, nil
}

func (b *builder) add(d Document) error {
	if err := b.inner.Index(b.bleveDocument(b.take(d), b.codes)); err != nil {
		return fmt.Errorf("index %s: %w", d.ID, err)
	}
	b.count++
	return nil
}

// close writes the index out; one without documents leaves nothing.
func (b *builder) close() error {
	if b.count == 0 {
		return nil
	}
	if err := b.inner.Close(); err != nil {
		return fmt.Errorf("write the index: %w", err)
	}
	return writeRanks(b.folder)
}

// building is one build of an index.
type building struct {
	content
	ctx    context.Context
	folder string
	reader reader
	codes  *codes

	mutex  sync.Mutex // over what follows
	done   int
	counts map[string]int
	failed map[string]error // cases that cannot be read
}

// build makes the index in a folder and gives its seal.
func (c content) build(ctx context.Context, folder string, note noter) (seal, error) {
	b := &building{content: c, ctx: ctx, folder: folder, reader: newReader(c.groups), codes: codesOf(c.entries()), counts: map[string]int{}, failed: map[string]error{}}
	ids := c.ids
	errs := make([]error, halves+1)
	counts := make([]int, halves+1)
	var wg sync.WaitGroup
	for i := range halves {
		wg.Go(func() {
			some := ids[i*len(ids)/halves : (i+1)*len(ids)/halves]
			errs[i] = guarded(func() (err error) { counts[i], err = b.half(i, some); return err })
		})
	}
	errs[halves] = guarded(func() (err error) { counts[halves], err = b.book(); return err })
	wg.Wait()
	if err := firstOf(append(errs, ctx.Err())...); err != nil { // it may be broken off when all cases are in
		return seal{}, err
	}
	b.tellFailed(len(ids), note)
	s := seal{Key: c.key, Base: c.base, Cases: len(ids)}
	for _, n := range counts {
		s.Documents += n
	}
	for name, data := range map[string][]byte{wordsName: writeWords(b.counts), stampsName: writeStamps(c), codesName: b.codes.file()} {
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o600); err != nil {
			return seal{}, fmt.Errorf("write the index: %w", err)
		}
	}
	return s, nil
}

// book builds the index of the entries and synonyms.
func (b *building) book() (int, error) {
	out, err := newBuilder(filepath.Join(b.folder, bookFolder), b.reader, b.codes)
	if err != nil {
		return 0, err
	}
	for _, g := range b.groups {
		if err := out.inner.Index(g.synonymDocument()); err != nil {
			return 0, fmt.Errorf("index the words %q: %w", g.id, err)
		}
	}
	for _, d := range b.entries() {
		if err := out.add(d); err != nil {
			return 0, err
		}
	}
	return b.finish(out)
}

// half builds the index of some of the cases.
func (b *building) half(i int, ids []string) (int, error) {
	out, err := newBuilder(filepath.Join(b.folder, halfFolder(i)), b.reader, b.codes)
	if err != nil {
		return 0, err
	}
	for _, id := range ids {
		if err := b.ctx.Err(); err != nil {
			return 0, err
		}
		d, err := b.load(id)
		if err != nil {
			b.mutex.Lock()
			b.failed[id] = err
			b.mutex.Unlock()
		}
		if d != nil && err == nil {
			if err := out.add(*d); err != nil {
				return 0, err
			}
		}
		b.step(len(b.cases))
	}
	return b.finish(out)
}

func (b *building) finish(out *builder) (int, error) {
	b.mutex.Lock()
	for w, n := range out.takeCounts() {
		b.counts[w] += n
	}
	b.mutex.Unlock()
	return out.count, out.close()
}

// step tells that one more case is in.
func (b *building) step(all int) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	b.done++
	if b.progress != nil {
		b.progress(b.done, all)
	}
}

func (b *building) tellFailed(of int, note noter) { tellFailed(b.failed, of, note) }

// tellFailed says once what cannot be read and is left out.
func tellFailed(failed map[string]error, of int, note noter) {
	if len(failed) == 0 {
		return
	}
	note("%d of %d cases cannot be read and are not found (%v)", len(failed), of, failed[sortedKeys(failed)[0]])
}
