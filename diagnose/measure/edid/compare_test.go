package edid

import (
	"fmt"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"
)

// generated is how many EDIDs of the seeded generator are compared.
const generated = 2000

// differences lists the sections in which a decode and the tool's text differ.
func differences(want, got sections) []string {
	names := map[string]bool{}
	for name := range want {
		names[name] = true
	}
	for name := range got {
		names[name] = true
	}
	var out []string
	for name := range names {
		if a, b := want[name], got[name]; !sameLines(name, a, b) {
			out = append(out, fmt.Sprintf("%s\n   tool %q\n   ours %q", name, a, b))
		}
	}
	sort.Strings(out)
	return out
}

// sameLines compares two lists of lines. Lists that the tool prints by section
// and we keep by data block are compared without their order.
func sameLines(name string, a, b []string) bool {
	switch name {
	case "texts", "established", "standard", "cvt codes", "DisplayID timings", "DisplayID/porches", "VIC figures",
		"YCbCr 4:2:0 Capability Map Data Block":
		a, b = slices.Clone(a), slices.Clone(b)
		sort.Strings(a)
		sort.Strings(b)
	}
	return slices.Equal(a, b)
}

// compare decodes one EDID both ways.
func compare(t *testing.T, tool, dir string, data []byte) []string {
	t.Helper()
	d, err := decode(data)
	if err != nil {
		return []string{err.Error()}
	}
	return differences(normalise(parseReference(t, runTool(t, tool, dir, data))), forComparison(d))
}

// forComparison is expected with the lists the tool prints otherwise.
func forComparison(d *decoder) sections {
	s := expected(d)
	const capability = "YCbCr 4:2:0 Capability Map Data Block"
	for _, m := range d.maps {
		if len(m) == 0 {
			s[capability] = []string{"all"}
		}
	}
	for _, row := range d.out.BlockMap {
		s.add("block map", fmt.Sprint(row.Block))
	}
	for _, h := range d.out.DisplayID {
		s.add("DisplayID checksum", map[bool]string{true: "good", false: "bad"}[h.ChecksumOK])
	}
	for i := range s["DisplayID preferred"] {
		s["DisplayID preferred"][i] = "yes"
	}
	delete(s, "DisplayID/flags")
	return s
}

func TestVectorsAgainstReferenceTool(t *testing.T) {
	tool, dir := toolPath(t), t.TempDir()
	files, err := filepath.Glob("testdata/?.hex")
	if err != nil || len(files) != 10 {
		t.Fatalf("%d vectors, %v", len(files), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".hex")
		if name == "I" {
			continue // the tool refuses a wrong header
		}
		for _, diff := range compare(t, tool, dir, vector(t, name)) {
			t.Errorf("vector %s: %s", name, diff)
		}
	}
}

// TestGeneratedAgainstReferenceTool compares EDIDs of the seeded generator,
// which together hold every data block, field by field.
func TestGeneratedAgainstReferenceTool(t *testing.T) {
	tool, dir := toolPath(t), t.TempDir()
	covered := map[string]int{}
	wrong, runs := 0, uint64(generated)
	for seed := range runs {
		data := newMaker(seed).edid()
		for _, diff := range compare(t, tool, dir, data) {
			t.Errorf("seed %d: %s", seed, diff)
			wrong++
		}
		if wrong > 20 {
			t.Fatal("more than 20 differences, stopping")
		}
		count(covered, data)
	}
	if testing.Short() {
		return
	}
	for _, name := range dataBlockNames {
		switch {
		case strings.HasPrefix(name, "reserved"), name == "display device", name == "video timing extension":
			continue // not decoded
		case name == dataBlockNames[tagTypeX], name == dataBlockNames[tagVideoFormat]:
			continue // compared in a DisplayID section; see the differences
		}
		if covered[name] < 10 {
			t.Errorf("only %d %s blocks in %d EDIDs", covered[name], name, generated)
		}
	}
}

// count notes what an EDID holds.
func count(covered map[string]int, data []byte) {
	d, err := Decode(data)
	if err != nil {
		return
	}
	for _, b := range d.DataBlocks {
		covered[b.Name]++
	}
}
