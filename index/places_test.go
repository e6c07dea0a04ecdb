package index

import (
	"reflect"
	"testing"
)

// TestPlaces: places come back as they were packed, and cut short they are an
// error, never a fault.
func TestPlaces(t *testing.T) {
	fields := [][]place{
		{{mark: 1, pos: 1, from: 0, to: 4}, {mark: 2, pos: 2, from: 5, to: 9}, {mark: 3, pos: 2, from: 5, to: 9}, {mark: 4, pos: 13, from: 60, to: 90}},
		nil,
		{{mark: 65535, pos: 1, from: 14, to: 29}, {mark: 0, pos: 2, from: 44, to: 44}, {mark: 7, pos: 3, from: 59, to: 75}},
	}
	var packed []byte
	for _, f := range fields {
		packed = packPlaces(packed, f)
	}
	got := make([][]place, len(fields))
	rest, err := visitPlaces(append(packed, "rest"...), len(fields), func(f int, p place) { got[f] = append(got[f], p) })
	if err != nil || string(rest) != "rest" || !reflect.DeepEqual(got, fields) {
		t.Errorf("got %v, %q, %v", got, rest, err)
	}
	for n := range packed {
		if _, err := visitPlaces(packed[:n], len(fields), func(int, place) {}); err == nil {
			t.Errorf("cut at %d of %d is taken as whole", n, len(packed))
		}
	}
}
