package main

import (
	"os/exec"
	"slices"
	"testing"
	"time"
)

// BenchmarkCalc measures one sum from the start of the process to its end. The
// figure that counts is the median, in ms.
func BenchmarkCalc(b *testing.B) {
	bin := builtProgram(b)
	var took []time.Duration
	for b.Loop() {
		begin := time.Now()
		cmd := exec.Command(bin, "calc", "link", "--format", "2160p60", "--depth", "12", "--part", "source=HDMI 2.0",
			"--part", "cable=High Speed, 7 m", "--part", "display=300 MHz")
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
		took = append(took, time.Since(begin))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-median")
	b.ReportMetric(float64(took[len(took)-1].Microseconds())/1000, "ms-worst")
}
