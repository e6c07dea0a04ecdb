package cases

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
)

// ledgerFormat is counted up whenever what is kept changes; files of another
// format are made anew.
const ledgerFormat = "faultbook calls 1 "

// errDamaged says that a file of the cache is cut, changed or of another
// format. Nothing is lost: it is made anew from the cases.
var errDamaged = errors.New("damaged or of another version; made anew from the cases")

// seal puts a line with the format and a checksum before the data.
func seal(data []byte) []byte {
	sum := sha256.Sum256(data)
	head := ledgerFormat + hex.EncodeToString(sum[:]) + "\n"
	return append([]byte(head), data...)
}

// unseal gives the data back, or errDamaged.
func unseal(file []byte) ([]byte, error) {
	head, data, ok := bytes.Cut(file, []byte("\n"))
	if sum := sha256.Sum256(data); !ok || string(head) != ledgerFormat+hex.EncodeToString(sum[:]) {
		return nil, errDamaged
	}
	return data, nil
}

// writeSealed puts a sealed file in place; the folder is made where it is
// missing.
func writeSealed(folder, name string, data []byte) error {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	return WriteFile(folder+string(os.PathSeparator)+name, seal(data), false)
}
