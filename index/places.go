package index

import (
	"encoding/binary"
	"errors"
	"hash/fnv"
)

// Beside the texts of a document the index keeps where each of its words
// stands, packed: that is smaller than the places that bleve would keep with
// every word, and a candidate is judged in some microseconds however many
// documents have the same words. For each text field in order:
//
//	number of places, then for each place
//	  3 bytes     mark of the word (see wordMark)
//	  uvarint     place among the words, less that of the one before
//	  uvarint     first byte of the text, less that of the one before
//	  uvarint     length in bytes
//
// The bytes are those of the text in small letters.

// place is where a word of the index stands in a text field.
type place struct {
	mark     uint32
	pos      int
	from, to int
}

// wordMark is a number of 24 bits for a word. Two words of a query and a text
// share one by chance once in some hundred thousand texts, and then count as
// the same there.
func wordMark(word string) uint32 {
	h := fnv.New32a()
	h.Write([]byte(word))
	sum := h.Sum32()
	return (sum ^ sum>>24) & 0xffffff
}

// packPlaces appends the places of one field, which are in their order.
func packPlaces(packed []byte, list []place) []byte {
	packed = binary.AppendUvarint(packed, uint64(len(list)))
	pos, from := 0, 0
	for _, p := range list {
		packed = append(packed, byte(p.mark), byte(p.mark>>8), byte(p.mark>>16))
		packed = binary.AppendUvarint(packed, uint64(p.pos-pos))
		packed = binary.AppendUvarint(packed, uint64(p.from-from))
		packed = binary.AppendUvarint(packed, uint64(p.to-p.from))
		pos, from = p.pos, p.from
	}
	return packed
}

// errPlaces says that packed places are not what was packed.
var errPlaces = errors.New("the places of words in the index are damaged")

// visitPlaces goes through packed places.
func visitPlaces(packed []byte, visit func(field int, p place)) error {
	for field := range textBoosts() {
		n, size := binary.Uvarint(packed)
		if size <= 0 {
			return errPlaces
		}
		packed = packed[size:]
		var p place
		for ; n > 0; n-- {
			if len(packed) < 3 {
				return errPlaces
			}
			p.mark = uint32(packed[0]) | uint32(packed[1])<<8 | uint32(packed[2])<<16
			packed = packed[3:]
			var steps [3]int
			for i := range steps {
				v, size := binary.Uvarint(packed)
				if size <= 0 {
					return errPlaces
				}
				steps[i], packed = int(v), packed[size:]
			}
			p.pos += steps[0]
			p.from += steps[1]
			p.to = p.from + steps[2]
			visit(field, p)
		}
	}
	return nil
}
