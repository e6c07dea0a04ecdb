package exchange

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"time"
)

// Version is the newest version of the archive format that this program knows.
// It writes the first, which older programs read, where there is nothing but
// entries, cases and room sheets.
const Version = 2

func versionFor(list []Record) int {
	for _, r := range list {
		if r.Kind == KindVisit || r.Kind == KindHistory {
			return 2
		}
	}
	return 1
}

// The manifest: its name in the archive and the word that begins it.
const (
	manifestName = "MANIFEST"
	manifestWord = "faultbook-archive"
)

// Write packs records, as Records gives them, into an archive. The same
// records give the same bytes.
func Write(w io.Writer, list []Record, compress bool) error {
	list = append([]Record(nil), list...)
	sortRecords(list)
	if err := fitsLimits(list); err != nil {
		return err
	}
	if !compress {
		return writeTar(w, list)
	}
	z, err := gzip.NewWriterLevel(w, gzip.BestCompression)
	if err != nil {
		return fmt.Errorf("compress the archive: %w", err)
	}
	if err := writeTar(z, list); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return fmt.Errorf("write the archive: %w", err)
	}
	return nil
}

// ErrTooMany says that the records are more than one archive holds.
var ErrTooMany = errors.New("more than one archive may hold")

// fitsLimits refuses to write what Read would refuse.
func fitsLimits(list []Record) error {
	total := 0
	for i := range list {
		total += len(list[i].Data)
	}
	if len(list) > maxRecords || total > maxTotal {
		return fmt.Errorf("%d records of %d MB together: %w (%d records, %d MB); leave older ones out by a day", len(list), total>>20, ErrTooMany, maxRecords, maxTotal>>20)
	}
	return nil
}

func writeTar(w io.Writer, list []Record) error {
	t := tar.NewWriter(w)
	if err := writeMember(t, manifestName, manifest(list)); err != nil {
		return err
	}
	for _, r := range list {
		if err := writeMember(t, r.Path, r.Data); err != nil {
			return err
		}
	}
	if err := t.Close(); err != nil {
		return fmt.Errorf("write the archive: %w", err)
	}
	return nil
}

func writeMember(t *tar.Writer, name string, data []byte) error {
	h := &tar.Header{Typeflag: tar.TypeReg, Name: name, Size: int64(len(data)), Mode: 0o644, ModTime: time.Unix(0, 0)}
	if err := t.WriteHeader(h); err != nil {
		return fmt.Errorf("write %s into the archive: %w", name, err)
	}
	if _, err := t.Write(data); err != nil {
		return fmt.Errorf("write %s into the archive: %w", name, err)
	}
	return nil
}

func manifest(list []Record) []byte {
	var buf bytes.Buffer
	fmt.Fprintf(&buf, "%s %d\n", manifestWord, versionFor(list))
	for _, r := range list {
		buf.WriteString(r.manifestLine())
	}
	return buf.Bytes()
}

func (r *Record) manifestLine() string {
	return fmt.Sprintf("%s\t%s\t%d\t%d\t%s\t%s\n", r.Kind, r.ID, r.Revision, len(r.Data), digest(r.Data), r.Path)
}
