package room

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"faultbook/kb"
)

// TestLoopsEnd: a sheet in which every hub feeds every other makes more ways
// than could ever be walked; the check ends all the same and says so.
func TestLoopsEnd(t *testing.T) {
	var b strings.Builder
	b.WriteString(head + "devices:\n")
	n := 40
	var cables []string
	for i := range n {
		fmt.Fprintf(&b, "  - {id: h%d, kind: hub, hub: bus-powered, ports: [{id: u, carries: usb, way: in}, {id: d, carries: usb, way: out, class: \"2.0\"}, {id: v, carries: video, way: in}, {id: w, carries: video, way: out}]}\n", i)
		for j := range n {
			if i != j {
				cables = append(cables, fmt.Sprintf("  - {id: c%d-%d, from: h%d/d, to: h%d/u}\n", i, j, i, j))
			}
		}
	}
	b.WriteString("  - {id: pc, kind: computer, ports: [{id: o, carries: usb, way: out, class: \"2.0\"}]}\ncables:\n  - {id: z, from: pc/o, to: h0/u}\n" + strings.Join(cables[:700], ""))
	s := read(t, b.String())
	done := make(chan Report, 1)
	go func() { done <- Check(s) }()
	select {
	case r := <-done:
		for _, f := range r.Findings {
			if f.Code == "paths-cut" {
				return
			}
		}
		t.Error("it does not say that ways are left out")
	case <-time.After(30 * time.Second):
		t.Fatal("the check does not end")
	}
}

// TestDeepNesting: brackets without end are refused at once.
func TestDeepNesting(t *testing.T) {
	for _, text := range []string{strings.Repeat("[", 9000), strings.Repeat("{a: ", 9000), strings.Repeat("- ", 9000)} {
		if _, findings := Parse([]byte(head+"notes: "+text), "x.yaml", nil); kb.CountErrors(findings) == 0 {
			t.Errorf("%.4s… passes", text)
		}
	}
}
