package main

import (
	"bufio"
	"os"
	"os/exec"
	"slices"
	"testing"
	"time"
)

// BenchmarkStart measures from the start of the process to the first question,
// as a caller's words are given on the command line: with the index in place,
// and with the index missing. The figure that counts is the median, in ms. Beside
// it stand the most memory that such a call had and the size of the program.
func BenchmarkStart(b *testing.B) {
	bin := builtProgram(b)
	info, err := os.Stat(bin)
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct {
		name    string
		missing bool
	}{{"index", false}, {"no-index", true}} {
		b.Run(c.name, func(b *testing.B) {
			dir := b.TempDir()
			env := append(os.Environ(), "FAULTBOOK_HOME="+dir+"/home", "HOME="+dir, "XDG_CACHE_HOME="+dir+"/cache")
			find := exec.Command(bin, "find", "--", "camera") // builds the index
			find.Env = env
			if out, err := find.CombinedOutput(); err != nil {
				b.Fatalf("build the index: %v\n%s", err, out)
			}
			var took []time.Duration
			var peak int64
			for b.Loop() {
				if c.missing {
					if err := os.RemoveAll(dir + "/cache"); err != nil {
						b.Fatal(err)
					}
				}
				time, memory := firstLine(b, bin, env)
				took, peak = append(took, time), max(peak, memory)
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-median")
			b.ReportMetric(float64(took[len(took)-1].Microseconds())/1000, "ms-worst")
			b.ReportMetric(float64(peak)/1e6, "MB-peak-memory")
			b.ReportMetric(float64(info.Size())/1e6, "MB-program")
		})
	}
}

// firstLine starts a call and waits for its first state; then it ends the call.
// memory is the most that it had, in bytes.
func firstLine(b *testing.B, bin string, env []string) (took time.Duration, memory int64) {
	cmd := exec.Command(bin, "call", "--json", "the screen is black")
	cmd.Env = env
	in, err := cmd.StdinPipe()
	if err != nil {
		b.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	begin := time.Now()
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	if _, err := bufio.NewReader(out).ReadBytes('\n'); err != nil {
		b.Fatalf("no first line: %v", err)
	}
	took = time.Since(begin)
	in.Close()
	if err := cmd.Wait(); err != nil {
		b.Fatal(err)
	}
	return took, peakMemory(cmd.ProcessState)
}
