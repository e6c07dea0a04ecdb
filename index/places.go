package index

import (
	"encoding/binary"
	"errors"
	"hash/fnv"
)

// Beside the texts of a document the index keeps where each of its words
// stands, packed: that is smaller than the places that bleve would keep with
// every word, and a candidate is judged in some microseconds however many
// documents have the same words. For each text field in order the number of
// places, then for each place
//
//	2 bytes  mark of the word (see wordMark)
//	1 byte   16 × gap + length, where the word is the next after the one
//	         before, the gap between them is from 0 to 14 bytes and its length
//	         from 0 to 15 bytes
//
// or, where that does not hold, a byte 255 and as uvarints
//
//	place among the words, less that of the one before
//	first byte in the text, less that of the one before
//	length in bytes
//
// The bytes are those of the text in small letters.

// place is where a word of the index stands in a text field.
type place struct {
	mark     uint16
	pos      int
	from, to int
}

const farPlace = 255

// wordMark is a number of 16 bits for a word. Two words of a text may share one:
// whoever finds a mark asks the sets whether the document has the word.
func wordMark(word string) uint16 {
	h := fnv.New32a()
	h.Write([]byte(word))
	sum := h.Sum32()
	return uint16(sum ^ sum>>16)
}

// packPlaces appends the places of one field, which are in their order.
func packPlaces(packed []byte, list []place) []byte {
	packed = binary.AppendUvarint(packed, uint64(len(list)))
	var last place
	for _, p := range list {
		packed = append(packed, byte(p.mark), byte(p.mark>>8))
		gap, length := p.from-last.to, p.to-p.from
		if p.pos == last.pos+1 && gap >= 0 && gap < 15 && length < 16 {
			packed = append(packed, byte(gap<<4|length))
		} else {
			packed = append(packed, farPlace)
			packed = binary.AppendUvarint(packed, uint64(p.pos-last.pos))
			packed = binary.AppendUvarint(packed, uint64(p.from-last.from))
			packed = binary.AppendUvarint(packed, uint64(length))
		}
		last = p
	}
	return packed
}

// errPlaces says that packed places are not what was packed.
var errPlaces = errors.New("the places of words in the index are damaged")

// visitPlaces goes through packed places and gives what follows them.
func visitPlaces(packed []byte, fields int, visit func(field int, p place)) (rest []byte, err error) {
	for field := range fields {
		n, size := binary.Uvarint(packed)
		if size <= 0 {
			return nil, errPlaces
		}
		packed = packed[size:]
		var p place
		for ; n > 0; n-- {
			if packed, err = p.next(packed); err != nil {
				return nil, err
			}
			visit(field, p)
		}
	}
	return packed, nil
}

// next moves on to the next place.
func (p *place) next(packed []byte) (rest []byte, err error) {
	if len(packed) < 3 {
		return nil, errPlaces
	}
	p.mark = uint16(packed[0]) | uint16(packed[1])<<8
	step := packed[2]
	packed = packed[3:]
	if step != farPlace {
		p.pos++
		p.from = p.to + int(step>>4)
		p.to = p.from + int(step&15)
		return packed, nil
	}
	for _, at := range []*int{&p.pos, &p.from} {
		v, size := binary.Uvarint(packed)
		if size <= 0 {
			return nil, errPlaces
		}
		*at += int(v)
		packed = packed[size:]
	}
	length, size := binary.Uvarint(packed)
	if size <= 0 {
		return nil, errPlaces
	}
	p.to = p.from + int(length)
	return packed[size:], nil
}
