//go:build unix

package main

import (
	"os"
	"runtime"
	"syscall"
)

// peakMemory is the most memory that a process had at a time, in bytes.
func peakMemory(s *os.ProcessState) int64 {
	u, ok := s.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	if runtime.GOOS == "darwin" {
		return int64(u.Maxrss)
	}
	return int64(u.Maxrss) << 10
}
