package main

import "os"

// peakMemory is not told here.
func peakMemory(*os.ProcessState) int64 { return 0 }
