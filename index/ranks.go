package index

import (
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"sort"

	"faultbook/kb/cases"
)

// bleve's builder numbers the documents of a batch in no order. So that equal
// hits are put in the order of their keys without reading the keys, the place of
// each document in that order is kept in a file beside its index, four bytes
// each, little-endian.
const ranksSuffix = ".order"

// writeRanks makes the file for an index that was just built.
func writeRanks(folder string) error {
	p, err := openPart(folder)
	if err != nil {
		return err
	}
	defer p.close()
	keys := make([]string, p.segment.Count())
	order := make([]int, len(keys))
	for n := range keys {
		order[n] = n
		if keys[n], err = p.key(uint32(n)); err != nil {
			return err
		}
	}
	sort.Slice(order, func(i, j int) bool { return keys[order[i]] < keys[order[j]] })
	data := make([]byte, 4*len(keys))
	for rank, n := range order {
		binary.LittleEndian.PutUint32(data[4*n:], uint32(rank))
	}
	if err := os.WriteFile(folder+ranksSuffix, data, 0o600); err != nil {
		return fmt.Errorf("write the index: %w", err)
	}
	return nil
}

// readRanks reads the file.
func (d *diskPart) readRanks(folder string) error {
	data, err := cases.ReadPlain(folder + ranksSuffix)
	if err != nil {
		return fmt.Errorf("open the index: %w", err)
	}
	if len(data) != 4*int(d.segment.Count()) {
		return errors.New("open the index: the order of its documents is not complete")
	}
	d.ranks = data
	return nil
}

// rank is the place of a document among those of the part, by their keys.
func (d *diskPart) rank(n uint32) (int, bool) {
	return int(binary.LittleEndian.Uint32(d.ranks[4*n:])), true
}
