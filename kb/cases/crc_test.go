package cases

import (
	"bytes"
	"strings"
	"testing"
)

// TestCheckSum: the check sum in the package's own example is that of zlib's
// crc32, as `python3 -c 'import zlib; print("%08x" % zlib.crc32(line))'` says.
func TestCheckSum(t *testing.T) {
	got := string(addSum([]byte(`{"at":"2026-01-05T09:00:00Z","say":"black screen"}` + "\n")))
	if want := `{"at":"2026-01-05T09:00:00Z","say":"black screen","crc":"47a9eddc"}` + "\n"; got != want {
		t.Errorf("got %s want %s", got, want)
	}
}

// TestEveryFlippedBit flips every single bit of a case file: each is noticed.
func TestEveryFlippedBit(t *testing.T) {
	s := NewStore(t.TempDir(), newClock().now)
	c, err := s.Create(Event{Say: "the screen is black"}, Event{Answer: &Answer{Question: "display-lamp", Value: "off"}}, Event{Note: "ring back"})
	if err != nil {
		t.Fatal(err)
	}
	data, err := c.Encode()
	if err != nil {
		t.Fatal(err)
	}
	for at := range len(data) * 8 {
		data[at/8] ^= 1 << (at % 8)
		if back, err := Decode(bytes.NewReader(data), "case.jsonl"); err == nil {
			if again, err := back.Encode(); err != nil || at/8 != len(data)-1 || len(again) != len(data) {
				t.Errorf("bit %d of byte %d (%q) is not noticed", at%8, at/8, data[at/8])
			}
		}
		data[at/8] ^= 1 << (at % 8)
	}
}

// TestChangedByHand: a line without its check sum is taken as it is, one that
// does not fit is named.
func TestChangedByHand(t *testing.T) {
	plain := header + `{"at":"2026-01-05T09:00:01Z","note":"by hand"}` + "\n"
	c, err := Decode(strings.NewReader(plain), "case.jsonl")
	if err != nil || c.Events[0].Note != "by hand" {
		t.Fatalf("%+v, %v", c, err)
	}
	data, err := c.Encode()
	if err != nil {
		t.Fatal(err)
	}
	changed := bytes.Replace(data, []byte("by hand"), []byte("by Hand"), 1)
	if _, err := Decode(bytes.NewReader(changed), "case.jsonl"); err == nil || !strings.Contains(err.Error(), "case.jsonl:2: the line does not fit its check sum") {
		t.Errorf("%v", err)
	}
}
