package index

import (
	"fmt"
	"strings"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/index/scorch"
)

// batchSize is the number of documents that make one segment.
const batchSize = 1000

// inMemory builds an index that is gone with the process.
func (c content) inMemory(note noter) (bleve.Index, error) {
	m, err := newMapping(c.groups)
	if err != nil {
		return nil, err
	}
	idx, err := bleve.NewUsing("", m, scorch.Name, scorch.Name, nil)
	if err != nil {
		return nil, fmt.Errorf("make an index in memory: %w", err)
	}
	if err := c.fill(idx, c.documents(note)); err != nil {
		guarded(idx.Close)
		return nil, err
	}
	return idx, nil
}

// onDisk builds an index in a folder that does not exist yet and closes it;
// it gives the number of documents, among which bleve counts the groups.
func (c content) onDisk(folder string, note noter) (int, error) {
	m, err := newMapping(c.groups)
	if err != nil {
		return 0, err
	}
	idx, err := bleve.NewUsing(folder, m, scorch.Name, scorch.Name, writing())
	if err != nil {
		return 0, fmt.Errorf("make an index: %w", err)
	}
	docs := c.documents(note)
	err = c.fill(idx, docs)
	n, counting := idx.DocCount()
	closing := idx.Close()
	for _, e := range []error{err, counting, closing} {
		if e != nil {
			return 0, fmt.Errorf("make an index: %w", e)
		}
	}
	if want := len(docs) + len(c.groups); int(n) != want {
		return 0, fmt.Errorf("the index holds %d of %d documents", n, want)
	}
	return int(n), nil
}

// writing is how an index is opened to be written: one snapshot is kept, since
// bleve would fall back to an older one without a word.
func writing() map[string]interface{} {
	return map[string]interface{}{"numSnapshotsToKeep": 1, "bolt_timeout": lockWait}
}

// fill puts the groups and the documents in.
func (c content) fill(idx bleve.Index, docs []Document) error {
	batch := idx.NewBatch()
	for _, g := range c.groups {
		def := &bleve.SynonymDefinition{Synonyms: g.words}
		if err := batch.IndexSynonym("words/"+g.id, synonyms, def); err != nil {
			return fmt.Errorf("index the words %q: %w", g.id, err)
		}
	}
	for i, d := range docs {
		if err := batch.Index(d.key(), d.withFigures().fields()); err != nil {
			return fmt.Errorf("index %s: %w", d.ID, err)
		}
		if batch.Size() >= batchSize || i == len(docs)-1 {
			if err := idx.Batch(batch); err != nil {
				return fmt.Errorf("write the index: %w", err)
			}
			batch = idx.NewBatch()
		}
	}
	return nil
}

// update brings the cases of an index on disk up to date and closes it; it
// gives the number of documents.
func (c content) update(folder string, changed, gone []string, note noter) (int, error) {
	idx, err := bleve.OpenUsing(folder, writing())
	if err != nil {
		return 0, fmt.Errorf("open the index: %w", err)
	}
	batch := idx.NewBatch()
	for _, id := range append(append([]string(nil), changed...), gone...) {
		batch.Delete((&Document{ID: id, Kind: "case"}).key())
	}
	for _, d := range c.read(changed, note) {
		if err := batch.Index(d.key(), d.withFigures().fields()); err != nil {
			guarded(idx.Close)
			return 0, fmt.Errorf("index %s: %w", d.ID, err)
		}
	}
	err = idx.Batch(batch)
	n, counting := idx.DocCount()
	closing := idx.Close()
	for _, e := range []error{err, counting, closing} {
		if e != nil {
			return 0, fmt.Errorf("write the index: %w", e)
		}
	}
	return int(n), nil
}

// fields is what bleve is given of a document.
func (d Document) fields() map[string]interface{} {
	symptoms := make([]string, len(d.Symptoms))
	for i, s := range d.Symptoms {
		symptoms[i] = strings.ToLower(s)
	}
	f := map[string]interface{}{
		"id":       strings.ToLower(d.ID),
		"kind":     d.Kind,
		"symptoms": symptoms,
		"figures":  d.Figures,
		"state":    d.State,
		"room":     strings.ToLower(d.Room),
		"when":     d.When,
	}
	var all []string
	for _, t := range d.texts() {
		f[t.name] = t.text
		all = append(all, t.text)
	}
	f["spelling"] = strings.Join(all, " ")
	return f
}
