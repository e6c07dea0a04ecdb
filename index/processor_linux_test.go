package index

import (
	"syscall"
	"time"
)

// processorTime is how long processors have worked for this process, threadTime
// for this thread.
func processorTime() time.Duration { return workedFor(syscall.RUSAGE_SELF) }

func threadTime() time.Duration { return workedFor(syscall.RUSAGE_THREAD) }

func workedFor(who int) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(who, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
