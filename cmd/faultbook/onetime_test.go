package main

import (
	"sync/atomic"
	"testing"
	"time"
)

// TestOneAtATime: of many pieces of work some are skipped, never the last, and
// two never run at once.
func TestOneAtATime(t *testing.T) {
	var o oneAtATime
	var running, last atomic.Int64
	const pieces = 200
	done := make(chan struct{})
	for i := range pieces {
		o.do(func() {
			if running.Add(1) > 1 {
				t.Error("two at once")
			}
			time.Sleep(time.Millisecond)
			last.Store(int64(i))
			running.Add(-1)
			if i == pieces-1 {
				close(done)
			}
		})
	}
	select {
	case <-done:
	case <-time.After(20 * time.Second):
		t.Fatalf("the last was not done, only %d", last.Load())
	}
}
