package main

import (
	"sync"
	"time"

	"faultbook/cmd/faultbook/call"
	"faultbook/cmd/faultbook/page"
	"faultbook/kb/cases"
)

// recordsWait is how long a page waits for the records of past calls. Making
// them for the first time takes minutes with many cases.
const recordsWait = 4 * time.Second

// liveRecords gives the records of all cases to a page: made once at a time,
// and the last ones where that takes long.
type liveRecords struct {
	make func(*call.Desk) ([]cases.Record, []error)
	wait time.Duration

	mutex   sync.Mutex
	running chan struct{} // closed when the records that are being made are there
	list    []cases.Record
	errs    []error
}

// get gives the records as they are now or, with page.ErrCounting, as they
// were last.
func (l *liveRecords) get(d *call.Desk) ([]cases.Record, []error) {
	l.mutex.Lock()
	if l.running == nil {
		l.running = make(chan struct{})
		go l.run(d, l.running)
	}
	done := l.running
	l.mutex.Unlock()
	late := time.NewTimer(l.wait)
	defer late.Stop()
	var more []error
	select {
	case <-done:
	case <-late.C:
		more = append(more, page.ErrCounting)
	}
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.list, append(more, l.errs...)
}

func (l *liveRecords) run(d *call.Desk, done chan struct{}) {
	list, errs := l.make(d)
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.list, l.errs, l.running = list, errs, nil
	close(done)
}
