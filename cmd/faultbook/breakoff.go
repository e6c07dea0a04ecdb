package main

import (
	"context"
	"sync"
)

// breakOff is what a signal ends. A command that can stop between two records
// takes the first signal and says how far it came; any other, and a second
// signal, ends the program at once.
type breakOff struct {
	mu   sync.Mutex
	stop context.CancelFunc
}

// take gives a context that the next signal ends, until it is given back.
func (b *breakOff) take() (ctx context.Context, back func()) {
	ctx, stop := context.WithCancel(context.Background())
	b.mu.Lock()
	defer b.mu.Unlock()
	b.stop = stop
	return ctx, func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.stop = nil
		stop()
	}
}

// signalled ends the context that was taken; false where there is none.
func (b *breakOff) signalled() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.stop == nil {
		return false
	}
	b.stop()
	b.stop = nil
	return true
}
