package main

import (
	"errors"
	"slices"
	"testing"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/cmd/faultbook/page"
	"faultbook/kb/cases"
)

// TestLiveRecords does not wait for records that take long, makes them once,
// and gives them when they are there.
func TestLiveRecords(t *testing.T) {
	slow, made := make(chan struct{}), 0
	l := &liveRecords{wait: time.Millisecond, make: func(*call.Desk) ([]cases.Record, []error) {
		made++
		<-slow
		return []cases.Record{{ID: "a"}}, []error{errors.New("one cannot be read")}
	}}
	for range 3 {
		list, errs := l.get(nil)
		if len(list) != 0 || !slices.Contains(errs, page.ErrCounting) {
			t.Fatalf("%v, %v while they are made", list, errs)
		}
	}
	close(slow)
	l.wait = time.Minute
	list, errs := l.get(nil)
	if len(list) != 1 || len(errs) != 1 || slices.Contains(errs, page.ErrCounting) {
		t.Errorf("%v, %v when they are there", list, errs)
	}
	if made > 2 {
		t.Errorf("made %d times", made)
	}
}
