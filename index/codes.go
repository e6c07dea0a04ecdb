package index

import (
	"encoding/binary"
	"errors"
	"slices"
	"sort"
	"strings"
)

// The texts of documents are kept short in the index: a word or a mark that the
// book often uses is written as its number. For each piece of a text, a word or
// what stands between two,
//
//	uvarint  2 × (number + 1), and 1 more where a blank follows
//
// and for a piece without a number
//
//	uvarint  0, or 1 where a blank follows
//	uvarint  its length in bytes, then the bytes
//
// The numbered pieces are a file of the index, a line each, the most used first.
const (
	codesName  = "codes"
	mostCodes  = 8000
	leastTimes = 2
)

// codes numbers pieces of text.
type codes struct {
	pieces []string
	number map[string]int
}

// codesOf numbers the pieces of some documents by how often they are used, ties
// by their bytes.
func codesOf(docs []Document) *codes {
	times := map[string]int{}
	for i := range docs {
		for _, f := range docs[i].texts() {
			for rest := f.text; rest != ""; {
				var piece string
				piece, _, rest = nextPiece(rest)
				times[piece]++
			}
		}
	}
	list := sortedKeys(times)
	list = slices.DeleteFunc(list, func(p string) bool { return times[p] < leastTimes || strings.Contains(p, "\n") })
	sort.SliceStable(list, func(i, j int) bool { return times[list[i]] > times[list[j]] })
	return newCodes(list[:min(mostCodes, len(list))])
}

func newCodes(pieces []string) *codes {
	c := &codes{pieces: pieces, number: make(map[string]int, len(pieces))}
	for i, p := range pieces {
		c.number[p] = i
	}
	return c
}

// file is how the codes are kept.
func (c *codes) file() []byte { return []byte(strings.Join(c.pieces, "\n")) }

// readCodes reads the file for decoding alone.
func readCodes(file []byte) *codes { return &codes{pieces: strings.Split(string(file), "\n")} }

// nextPiece cuts the first piece off a text, with a blank that follows it.
func nextPiece(text string) (piece string, blank bool, rest string) {
	i := 1
	word := wordByte(text[0])
	for i < len(text) && wordByte(text[i]) == word && !(text[i] == ' ' && !word) {
		i++
	}
	piece, rest = text[:i], text[i:]
	if rest != "" && rest[0] == ' ' {
		return piece, true, rest[1:]
	}
	return piece, false, rest
}

func wordByte(b byte) bool {
	return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= '0' && b <= '9' || b >= 0x80 || b == '\''
}

// encode appends a text in short, after its length.
func (c *codes) encode(out []byte, text string) []byte {
	start := len(out)
	for rest := text; rest != ""; {
		piece, blank, left := nextPiece(rest)
		rest = left
		follows := uint64(0)
		if blank {
			follows = 1
		}
		if n, ok := c.number[piece]; ok {
			out = binary.AppendUvarint(out, 2*uint64(n+1)+follows)
			continue
		}
		out = binary.AppendUvarint(out, follows)
		out = binary.AppendUvarint(out, uint64(len(piece)))
		out = append(out, piece...)
	}
	var length [binary.MaxVarintLen64]byte
	n := binary.PutUvarint(length[:], uint64(len(out)-start))
	return slices.Insert(out, start, length[:n]...)
}

var errCodes = errors.New("the texts in the index are damaged")

// decode gives the first text back, and what follows it.
func (c *codes) decode(in []byte) (text string, rest []byte, err error) {
	size, n := binary.Uvarint(in)
	if n <= 0 || uint64(len(in)-n) < size {
		return "", nil, errCodes
	}
	short, rest := in[n:n+int(size)], in[n+int(size):]
	var b strings.Builder
	for len(short) > 0 {
		code, n := binary.Uvarint(short)
		if n <= 0 {
			return "", nil, errCodes
		}
		short = short[n:]
		if code >= 2 {
			if code/2 > uint64(len(c.pieces)) {
				return "", nil, errCodes
			}
			b.WriteString(c.pieces[code/2-1])
		} else {
			size, n := binary.Uvarint(short)
			if n <= 0 || uint64(len(short)-n) < size {
				return "", nil, errCodes
			}
			b.Write(short[n : n+int(size)])
			short = short[n+int(size):]
		}
		if code%2 == 1 {
			b.WriteByte(' ')
		}
	}
	return b.String(), rest, nil
}
