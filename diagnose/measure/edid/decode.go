package edid

import (
	"errors"
	"fmt"
)

// ErrNoEDID says that the data does not begin like an EDID, or is too short.
var ErrNoEDID = errors.New("no EDID: its base block has 128 bytes and begins 00 FF FF FF FF FF FF 00")

const (
	blockSize = 128
	maxBlocks = 256
	// shortestBase is how much of a base block must be there for a decode to
	// say anything: up to the end of its first descriptor.
	shortestBase = 0x48
	// headerTolerance is how many of the 8 header bytes must be right.
	headerTolerance = 6
)

// The extension tags (check value E-038).
const (
	tagCTA         = 0x02
	tagVideoTiming = 0x10
	tagDisplayID   = 0x70
	tagBlockMap    = 0xF0
)

var header = [8]byte{0x00, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0x00}

// decoder carries what is needed until the last block has been read.
type decoder struct {
	out   *Display
	minor int // revision; 0 if the version is not 1
	block int // number of the block being read
	// available is how much of the current block is there: 128 bytes, or
	// fewer where the data stops short.
	available int

	seen        map[timingKey]int // index into out.Timings
	detailed    int               // detailed timings met so far
	statements  []Timing          // every format as stated, before equal ones are merged
	descriptor  int               // descriptors met in the base block
	hasName     bool
	svds        []byte // every short video descriptor, in order, for the 4:2:0 map
	maps        [][]byte
	inDisplayID bool   // data blocks stand in a DisplayID section
	previous    string // name of the data block before this one
	blocksDone  int    // CTA data blocks done
	firstInBase bool   // the first detailed timing stands in the base block
	panel       bool   // base block laid out as for a notebook panel
	takesCVT    bool   // the range limits name CVT
	native      int    // native detailed timings announced
}

// Decode reads the EDID at the start of data: a base block and whatever
// extensions follow. The error is ErrNoEDID (wrapped) where the header is
// missing or the data is too short; every lesser fault is put into Problems.
func Decode(data []byte) (*Display, error) {
	d, err := decode(data)
	if err != nil {
		return nil, err
	}
	return d.out, nil
}

func decode(data []byte) (*decoder, error) {
	if len(data) < shortestBase {
		return nil, fmt.Errorf("%w; only %s here", ErrNoEDID, bytesText(len(data)))
	}
	if !hasHeader(data) {
		return nil, ErrNoEDID
	}
	d := &decoder{out: emptyDisplay(), seen: map[timingKey]int{}}
	blocks := d.split(data)
	d.available = len(blocks[0])
	d.base(padded(blocks[0]))
	for i, b := range blocks[1:] {
		d.block, d.available = i+1, len(b)
		d.extension(padded(b))
	}
	d.finish()
	return d, nil
}

func bytesText(n int) string {
	if n == 1 {
		return "1 byte is"
	}
	return fmt.Sprintf("%d bytes are", n)
}

// hasHeader says whether data begins like an EDID: at most two header bytes
// wrong, and not both of the zeros, since a failed read gives nothing but FF.
func hasHeader(data []byte) bool {
	return headerScore(data) >= headerTolerance && (data[0] == 0 || data[7] == 0)
}

// headerScore counts the right bytes of the header.
func headerScore(data []byte) int {
	score := 0
	for i, want := range header {
		if i < len(data) && data[i] == want {
			score++
		}
	}
	return score
}

func emptyDisplay() *Display {
	return &Display{
		Texts: []string{}, WhitePoints: []WhitePoint{}, Blocks: []Block{}, BlockMap: []BlockMapRow{},
		Timings: []Timing{}, VICs: []int{}, VICsNative: []int{}, VICs420Only: []int{},
		VICs420Also: []int{}, HDMIVICs: []int{}, CTA: []CTAHeader{}, DataBlocks: []DataBlock{},
		Audio: []Audio{}, Speakers: []string{}, SpeakerPositions: []SpeakerPlace{},
		HDRDynamic: []DynamicHDR{}, Colorimetry: []string{}, VideoFormats: []VideoFormat{},
		FormatPreference: []string{}, InfoFrames: []InfoFrame{}, TransferCurves: []TransferCurve{},
		DisplayID: []DisplayIDHeader{}, Problems: []string{},
		Input: Input{Syncs: []string{}},
	}
}

// problem notes a fault of the EDID.
func (d *decoder) problem(format string, args ...any) {
	d.out.Problems = append(d.out.Problems, fmt.Sprintf(format, args...))
}

// split cuts the data into blocks, the last of which may be short, lists them
// and notes what is missing or too much. Filling (all 00 or all FF) behind the
// announced blocks is dropped.
func (d *decoder) split(data []byte) [][]byte {
	announced := 0
	if len(data) > 0x7E {
		announced = int(data[0x7E])
	}
	var blocks [][]byte
	for len(data) > 0 && len(blocks) < maxBlocks {
		if len(blocks) > announced && isFilling(data) {
			d.problem("%d bytes of filling after the last announced block", len(data))
			break
		}
		n := min(blockSize, len(data))
		blocks = append(blocks, data[:n])
		data = data[n:]
	}
	if len(blocks) > announced+1 {
		if last := blocks[len(blocks)-1]; len(last) < blockSize {
			d.problem("%d stray bytes after the last block", len(last))
			blocks = blocks[:len(blocks)-1]
		}
	}
	d.out.AnnouncedExtensions = announced
	for i, b := range blocks {
		d.listBlock(i, b, i <= announced)
	}
	return blocks
}

func isFilling(data []byte) bool {
	for _, b := range data {
		if b != data[0] || (b != 0x00 && b != 0xFF) {
			return false
		}
	}
	return true
}

// listBlock notes tag and checksum of a block (check value E-003).
func (d *decoder) listBlock(number int, b []byte, announced bool) {
	full := padded(b)
	sum := byte(0)
	for _, v := range full[:blockSize-1] {
		sum += v
	}
	row := Block{
		Number: number, Tag: int(full[0]), Kind: blockKind(number, full[0]),
		Checksum: int(full[blockSize-1]), Expected: int(-sum), Announced: announced, Bytes: len(b),
	}
	row.ChecksumOK = len(b) == blockSize && row.Checksum == row.Expected
	d.out.Blocks = append(d.out.Blocks, row)
	switch {
	case len(b) < blockSize:
		d.problem("block %d stops after %d of %d bytes", number, len(b), blockSize)
	case !row.ChecksumOK:
		d.problem("block %d (%s): checksum is %02X, should be %02X", number, row.Kind, row.Checksum, row.Expected)
	}
}

// padded returns the block filled up with zeros to its full size.
func padded(b []byte) []byte {
	if len(b) == blockSize {
		return b
	}
	full := make([]byte, blockSize)
	copy(full, b)
	return full
}

// blockKind names a block by its tag (check value E-038).
func blockKind(number int, tag byte) string {
	if number == 0 {
		return "base"
	}
	switch tag {
	case tagCTA:
		return "CTA-861"
	case tagVideoTiming:
		return "video timing"
	case 0x20:
		return "EDID 2.0"
	case 0x40:
		return "display information"
	case 0x50:
		return "localised strings"
	case 0x60:
		return "microdisplay"
	case tagDisplayID:
		return "DisplayID"
	case tagBlockMap:
		return "block map"
	case 0xFF:
		return "manufacturer"
	}
	return fmt.Sprintf("unknown %02X", tag)
}

func (d *decoder) extension(b []byte) {
	switch b[0] {
	case tagCTA:
		d.cta(b)
	case tagVideoTiming:
		d.videoTiming(b)
	case tagDisplayID:
		d.displayID(b)
	case tagBlockMap:
		d.blockMap(b)
	}
}

// blockMap lists the tags a block map announces. The map in block 1 covers
// blocks 2 to 127, the one in block 128 the rest.
func (d *decoder) blockMap(b []byte) {
	first := 1
	if d.block > 1 {
		first = blockSize
	}
	for i := 1; i < blockSize-1; i++ {
		if b[i] == 0 {
			continue
		}
		row := BlockMapRow{Block: first + i, Tag: int(b[i])}
		d.out.BlockMap = append(d.out.BlockMap, row)
		if row.Block < len(d.out.Blocks) && d.out.Blocks[row.Block].Tag != row.Tag {
			d.problem("the block map says block %d has tag %02X, it has %02X",
				row.Block, row.Tag, d.out.Blocks[row.Block].Tag)
		}
	}
}

// videoTiming reads a video timing extension: detailed timings, CVT codes and
// standard timings, their numbers in bytes 2 to 4.
func (d *decoder) videoTiming(b []byte) {
	rest := b[5 : blockSize-1]
	for n := int(b[2]); n > 0 && len(rest) >= 18; n-- {
		if r, sync, ok := d.detailedRaster(rest[:18]); ok {
			d.addTiming(finished(r, rest[:18], sync), OriginVideoTiming, "")
		}
		rest = rest[18:]
	}
	for n := int(b[3]); n > 0 && len(rest) >= 3; n-- {
		d.cvtCode(rest[:3])
		rest = rest[3:]
	}
	for n := int(b[4]); n > 0 && len(rest) >= 2; n-- {
		d.standardTiming(rest[0], rest[1], true)
		rest = rest[2:]
	}
}

func le16(b []byte) int { return int(b[0]) | int(b[1])<<8 }
func le24(b []byte) int { return int(b[0]) | int(b[1])<<8 | int(b[2])<<16 }
