package cases

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"regexp"
	"strconv"
)

// Each line of a case file ends in its own check sum, so that a letter that a
// failing disk changed is not taken for what the caller said:
//
//	{"at":"2026-01-05T09:00:00Z","say":"black screen","crc":"47a9eddc"}
//
// It is the CRC-32 (IEEE 802.3) of the line without it. A line without a check
// sum is taken as it is: whoever changes a line by hand deletes its crc.

// sealed is a line's end: what stands before the check sum is cut off with it.
var sealed = regexp.MustCompile(`,"crc":"([0-9a-f]{8})"}$`)

// addSum adds the check sum to a JSON object that has at least one key.
func addSum(line []byte) []byte {
	line = bytes.TrimSuffix(line, []byte("\n"))
	end := fmt.Sprintf(`,"crc":"%08x"}`, crc32.ChecksumIEEE(line))
	return append(append(line[:len(line)-1:len(line)-1], end...), '\n')
}

// cutSum gives the line without its check sum, or an error where they do not
// fit.
func cutSum(line []byte) ([]byte, error) {
	at := sealed.FindSubmatchIndex(line)
	if at == nil {
		return line, nil
	}
	plain := append(line[:at[0]:at[0]], '}')
	want, err := strconv.ParseUint(string(line[at[2]:at[3]]), 16, 32)
	if err != nil || uint32(want) != crc32.ChecksumIEEE(plain) {
		return nil, fmt.Errorf("the line does not fit its check sum: it was damaged, or changed by hand; if the change is meant, delete the crc from the line")
	}
	return plain, nil
}
