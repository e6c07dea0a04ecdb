package index

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"faultbook/kb/cases"
)

// bleve writes a checksum into each segment but never reads it, and opens
// files that were cut short, at times with a fault that ends the process. So
// an index is sealed when it is finished: a list of its files with sizes and
// checksums, closed by a SHA-256 of the list itself. An index whose seal does
// not hold is not opened. The checksum of a file is CRC-32C, which notices any
// single bit and is read at the speed of memory: nobody forges a cache.
const sealName = "seal.json"

// seal lists the files of an index.
type seal struct {
	Key       string       `json:"key"`
	Base      string       `json:"base"`
	Documents int          `json:"documents"`
	Cases     int          `json:"cases"`
	Files     []sealedFile `json:"files"`
}

type sealedFile struct {
	Name string `json:"name"`
	Size int64  `json:"size"`
	CRC  uint32 `json:"crc32c"`
}

// errNoSeal tells a folder without a seal from one that was changed.
var errNoSeal = errors.New("no seal")

// writeSeal seals the index in a folder, after the segments' own checksums
// have been found right. Its list of files is filled in.
func writeSeal(folder string, s seal) error {
	files, err := filesIn(folder)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := checkSegment(filepath.Join(folder, f.Name)); err != nil {
			return err
		}
	}
	s.Files = files
	list, err := json.Marshal(s)
	if err != nil {
		return fmt.Errorf("write the seal: %w", err)
	}
	sum := sha256.Sum256(list)
	text := append(list, []byte("\n"+hex.EncodeToString(sum[:])+"\n")...)
	if err := os.WriteFile(filepath.Join(folder, sealName), text, 0o600); err != nil {
		return fmt.Errorf("write the seal: %w", err)
	}
	return nil
}

// readSeal reads the seal of a folder and checks that it is whole.
func readSeal(folder string) (seal, error) {
	var s seal
	text, err := cases.ReadPlain(filepath.Join(folder, sealName))
	if errors.Is(err, fs.ErrNotExist) {
		return s, errNoSeal
	}
	if err != nil {
		return s, fmt.Errorf("read the seal: %w", err)
	}
	list, sum, ok := bytes.Cut(text, []byte("\n"))
	own := sha256.Sum256(list)
	if !ok || string(sum) != hex.EncodeToString(own[:])+"\n" {
		return s, errors.New("the seal is damaged")
	}
	if err := json.Unmarshal(list, &s); err != nil {
		return s, fmt.Errorf("the seal is damaged: %w", err)
	}
	return s, nil
}

// checkSeal compares a folder with its seal.
func checkSeal(folder string) (seal, error) {
	s, err := readSeal(folder)
	if err != nil {
		return s, err
	}
	if filepath.Base(folder) != prefix+s.Key {
		return s, errors.New("the seal is that of another index")
	}
	files, err := filesIn(folder)
	if err != nil {
		return s, err
	}
	if len(files) != len(s.Files) {
		return s, fmt.Errorf("%d files, sealed were %d", len(files), len(s.Files))
	}
	for i, f := range files {
		if f != s.Files[i] {
			return s, fmt.Errorf("%s is not as it was sealed", f.Name)
		}
	}
	return s, nil
}

// filesIn lists the files of a folder, but for the seal, in order of their
// names. They are read side by side, a piece at a time, so that an index larger
// than the memory can be checked.
func filesIn(folder string) ([]sealedFile, error) {
	var names []string
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(folder, path)
		if err == nil && name != sealName {
			names = append(names, name)
		}
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("look through the index: %w", err)
	}
	list, errs := make([]sealedFile, len(names)), make([]error, len(names))
	var wg sync.WaitGroup
	for i, name := range names {
		wg.Go(func() {
			size, crc, err := checksum(filepath.Join(folder, name))
			list[i], errs[i] = sealedFile{filepath.ToSlash(name), size, crc}, err
		})
	}
	wg.Wait()
	if err := firstOf(errs...); err != nil {
		return nil, fmt.Errorf("look through the index: %w", err)
	}
	return list, nil
}

// pieceSize is how much of a file is read at a time.
const pieceSize = 256 << 10

func checksum(path string) (size int64, crc uint32, err error) {
	f, err := cases.OpenPlain(path)
	if err != nil {
		return 0, 0, err
	}
	defer f.Close()
	sum := crc32.New(crc32.MakeTable(crc32.Castagnoli))
	size, err = io.CopyBuffer(sum, onlyReader{f}, make([]byte, pieceSize))
	return size, sum.Sum32(), err
}

// onlyReader keeps io.CopyBuffer to the buffer that it is given.
type onlyReader struct{ io.Reader }

// checkSegment compares a segment with the checksum that bleve wrote into its
// last four bytes (CRC-32 with the IEEE polynomial, big-endian). Other files
// have none.
func checkSegment(path string) error {
	if !strings.HasSuffix(path, ".zap") {
		return nil
	}
	f, err := cases.OpenPlain(path)
	if err != nil {
		return fmt.Errorf("read a segment: %w", err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return fmt.Errorf("read a segment: %w", err)
	}
	sum := crc32.NewIEEE()
	var last [4]byte
	n, err := io.CopyBuffer(sum, onlyReader{io.LimitReader(f, info.Size()-4)}, make([]byte, pieceSize))
	if err == nil {
		_, err = io.ReadFull(f, last[:])
	}
	if err != nil || n != info.Size()-4 || sum.Sum32() != binary.BigEndian.Uint32(last[:]) {
		return fmt.Errorf("segment %s is not what was written", filepath.Base(path))
	}
	return nil
}
