package reading

import (
	"encoding/json"
	"path/filepath"
	"testing"
)

// seeds adds the test files whose names match.
func seeds(f *testing.F, patterns ...string) {
	f.Helper()
	for _, pattern := range patterns {
		names, _ := filepath.Glob(filepath.Join("testdata", pattern+".*")) // not the folder of found inputs
		if len(names) == 0 {
			f.Fatalf("no seeds %s", pattern)
		}
		for _, name := range names {
			f.Add(file(f, filepath.Base(name)))
		}
	}
}

// whole checks what every reading must hold: lists that are there and a form
// that can be written as JSON.
func whole(t *testing.T, r *Reading) {
	t.Helper()
	if r == nil {
		return
	}
	if r.Facts == nil || r.Remarks == nil || r.Decoded == nil || r.Line < 1 {
		t.Fatalf("%s: facts, remarks, decoded or line missing: %+v", r.Kind, r)
	}
	if _, err := json.Marshal(r); err != nil {
		t.Fatal(err)
	}
}

func fuzzReader(f *testing.F, read func(*text) *Reading, patterns ...string) {
	seeds(f, patterns...)
	f.Fuzz(func(t *testing.T, data []byte) {
		if isText(data) {
			whole(t, read(newText(data)))
		}
	})
}

func FuzzUSB(f *testing.F)     { fuzzReader(f, readUSB, "lsusb*") }
func FuzzEthtool(f *testing.F) { fuzzReader(f, readEthtool, "ethtool*") }
func FuzzIP(f *testing.F)      { fuzzReader(f, readIP, "ip-*") }
func FuzzPing(f *testing.F)    { fuzzReader(f, readPing, "ping*") }
func FuzzPoE(f *testing.F)     { fuzzReader(f, readPoE, "poe*") }

func FuzzSerial(f *testing.F) {
	seeds(f, "serial*", "lone-block*")
	f.Fuzz(func(t *testing.T, data []byte) {
		if !isText(data) {
			return
		}
		if r, err := readSerial(newText(data)); err == nil {
			whole(t, r)
		}
	})
}

func FuzzRead(f *testing.F) {
	seeds(f, "*")
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := Read(data)
		if err == nil && len(got) == 0 {
			t.Fatal("neither a reading nor an error")
		}
		for i := range got {
			whole(t, &got[i])
		}
	})
}
