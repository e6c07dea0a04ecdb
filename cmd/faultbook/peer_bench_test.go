package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"faultbook/diagnose/measure/edid"
)

// BenchmarkPeerEDID reads the sample EDIDs by this program and by edid-decode,
// of Debian's package of that name, one process a file each, in turn. The
// figures are medians from start to exit, in ms.
func BenchmarkPeerEDID(b *testing.B) {
	bin := builtProgram(b)
	files, err := filepath.Glob("../../diagnose/measure/edid/testdata/*.hex")
	if err != nil || len(files) == 0 {
		b.Fatalf("samples: %v, %v", files, err)
	}
	for i, file := range files {
		files[i] = binaryEDID(b, file)
	}
	var ours, peer []time.Duration
	for b.Loop() {
		for _, file := range files {
			ours = append(ours, timed(b, exec.Command(bin, "read", "--json", file), false))
			peer = append(peer, timed(b, exec.Command("edid-decode", file), true))
		}
	}
	b.ReportMetric(median(ours), "ms")
	b.ReportMetric(median(peer), "edid-decode-ms")
}

// BenchmarkPeerManyEDIDs reads 500 files in one process, which edid-decode cannot:
// it takes one process each. The figures are ms a file, start and end included.
func BenchmarkPeerManyEDIDs(b *testing.B) {
	bin := builtProgram(b)
	samples, err := filepath.Glob("../../diagnose/measure/edid/testdata/*.hex")
	if err != nil || len(samples) == 0 {
		b.Fatalf("samples: %v, %v", samples, err)
	}
	var files []string
	for _, sample := range samples {
		files = append(files, binaryEDID(b, sample))
	}
	const many = 500
	for len(files) < many {
		files = append(files, files[len(files)-len(samples)])
	}
	files = files[:many]
	ours, peer := 0.0, 0.0
	for b.Loop() {
		ours = timed(b, exec.Command(bin, append([]string{"read", "--json"}, files...)...), false).Seconds() * 1000 / many
		begin := time.Now()
		for _, file := range files {
			timed(b, exec.Command("edid-decode", file), true)
		}
		peer = time.Since(begin).Seconds() * 1000 / many
	}
	b.ReportMetric(ours, "ms")
	b.ReportMetric(peer, "edid-decode-ms")
}

// binaryEDID writes the bytes of a sample, without the remarks beside them, to
// a file that both programs read.
func binaryEDID(b *testing.B, sample string) string {
	b.Helper()
	text, err := os.ReadFile(sample)
	if err != nil {
		b.Fatal(err)
	}
	dumps := edid.FromText(text)
	if len(dumps) != 1 {
		b.Fatalf("%s holds %d EDIDs", sample, len(dumps))
	}
	path := filepath.Join(b.TempDir(), "edid.bin")
	if err := os.WriteFile(path, dumps[0].Data, 0o644); err != nil {
		b.Fatal(err)
	}
	return path
}

// timed runs a command to its end. findings allows a status other than 0, with which
// some programs report what they found.
func timed(b *testing.B, cmd *exec.Cmd, findings bool) time.Duration {
	b.Helper()
	begin := time.Now()
	err := cmd.Run()
	took := time.Since(begin)
	if code := cmd.ProcessState.ExitCode(); code < 0 || code > 0 && !findings {
		b.Fatalf("%s: %v", cmd, err)
	}
	return took
}

// median is the middle of some durations, in ms.
func median(list []time.Duration) float64 {
	slices.Sort(list)
	return float64(list[len(list)/2].Microseconds()) / 1000
}
