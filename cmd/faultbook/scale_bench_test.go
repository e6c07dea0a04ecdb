package main

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/testdata/synthetic"
)

// BenchmarkProgram runs the program itself, a new process each time, over a
// folder of made-up past calls: how long each command takes from its start to its
// end (a call: to its first step), and how much memory it takes. The number of
// calls is 1,000, or FAULTBOOK_BENCH_CASES; files for 100,000 take some minutes.
func BenchmarkProgram(b *testing.B) {
	n := 1000
	if text := os.Getenv("FAULTBOOK_BENCH_CASES"); text != "" {
		var err error
		if n, err = strconv.Atoi(text); err != nil {
			b.Fatal(err)
		}
	}
	bin := builtProgram(b)
	for b.Loop() {
		for _, size := range []int{0, n} {
			measureProgram(b, bin, size)
		}
	}
}

func measureProgram(b *testing.B, bin string, n int) {
	dir := b.TempDir()
	writeSynthetic(b, filepath.Join(dir, "home", "cases"), n)
	env := append(os.Environ(), "FAULTBOOK_HOME="+dir+"/home", "HOME="+dir, "XDG_CACHE_HOME="+dir+"/cache")
	for _, c := range []struct {
		name  string
		times int
		args  []string
	}{
		{"find, builds", 1, []string{"find", "--", "camera", "restarts"}},
		{"find", 9, []string{"find", "--", "camera", "restarts"}},
		{"find, misspelt", 9, []string{"find", "--", "camrea", "restarts"}},
		{"cases list, first", 1, []string{"cases", "list", "--limit", "20"}},
		{"cases list", 5, []string{"cases", "list", "--limit", "20"}},
		{"cases stats", 1, []string{"cases", "stats"}},
	} {
		var took []time.Duration
		var memory int64
		for range c.times {
			cmd := exec.Command(bin, c.args...)
			cmd.Env, cmd.Stdout = env, io.Discard
			begin := time.Now()
			if err := cmd.Run(); err != nil {
				b.Fatalf("%s: %v", c.name, err)
			}
			took = append(took, time.Since(begin))
			memory = max(memory, peakMemory(cmd.ProcessState))
		}
		slices.Sort(took)
		fmt.Printf("    %7d calls  %-18s %9.1f ms, %4d MB at most\n", n, c.name, float64(took[len(took)/2].Microseconds())/1000, memory>>20)
	}
	var took []time.Duration
	for range 9 {
		first, _ := firstLine(b, bin, env)
		took = append(took, first)
	}
	slices.Sort(took)
	fmt.Printf("    %7d calls  %-18s %9.1f ms\n", n, "call, first step", float64(took[len(took)/2].Microseconds())/1000)
}

// writeSynthetic writes made-up calls as case files, without flushing each.
func writeSynthetic(b testing.TB, dir string, n int) {
	book, err := kb.Builtin()
	if err != nil {
		b.Fatal(err)
	}
	g := synthetic.New(book, 1, n)
	for i := range n {
		writeCase(b, dir, g.Case(i))
	}
	if n == 0 {
		return
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		b.Fatal(err)
	}
	ids, err := cases.NewStore(dir, time.Now).IDs()
	if err != nil || len(ids) != n {
		b.Fatalf("%d case files, want %d: %v", len(ids), n, err)
	}
}
