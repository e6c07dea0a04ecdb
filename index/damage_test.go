package index

import (
	"math/rand"
	"os"
	"path/filepath"
	"testing"
)

// sealedIndex builds an index and gives the folder that bears its name.
func sealedIndex(t testing.TB, dir string, src Source) string {
	t.Helper()
	x, err := Open(dir, src)
	if err != nil {
		t.Fatal(err)
	}
	x.Close()
	list, err := filepath.Glob(filepath.Join(dir, prefix+"*"))
	if err != nil || len(list) != 1 {
		t.Fatalf("index folders: %v %v", list, err)
	}
	return list[0]
}

// TestNoticesEveryFlippedBit flips one bit at 100 random places of any file of
// the index, the seal among them; each must be noticed.
func TestNoticesEveryFlippedBit(t *testing.T) {
	folder := sealedIndex(t, t.TempDir(), caseSource(t, someCases()...))
	var files []string
	filepath.Walk(folder, func(path string, info os.FileInfo, err error) error {
		if err == nil && !info.IsDir() {
			files = append(files, path)
		}
		return err
	})
	if len(files) < 4 {
		t.Fatalf("only %v", files)
	}
	random := rand.New(rand.NewSource(1))
	for i := range 100 {
		path := files[i%len(files)]
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		at := random.Intn(len(data) * 8)
		data[at/8] ^= 1 << (at % 8)
		write := func() {
			if err := os.WriteFile(path, data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		write()
		if _, err := checkSeal(folder); err == nil {
			t.Errorf("bit %d of %s flipped, not noticed", at, filepath.Base(path))
		}
		data[at/8] ^= 1 << (at % 8)
		write()
		if _, err := checkSeal(folder); err != nil {
			t.Fatalf("whole again, yet %v", err)
		}
	}
}

// TestSegmentsCarryChecksums: the checksum that bleve writes is where it is
// looked for, and a segment that differs from it is not sealed.
func TestSegmentsCarryChecksums(t *testing.T) {
	folder := sealedIndex(t, t.TempDir(), caseSource(t, someCases()...))
	segments, _ := filepath.Glob(filepath.Join(folder, "*", "*.zap"))
	if len(segments) == 0 {
		t.Fatal("no segment")
	}
	s, err := readSeal(folder)
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(segments[0])
	if err != nil {
		t.Fatal(err)
	}
	data[len(data)/2] ^= 4
	if err := os.WriteFile(segments[0], data, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := writeSeal(folder, s); err == nil {
		t.Error("a damaged segment was sealed")
	}
}

// TestDamageIsMended damages the index in many ways; it is built anew with a
// note, and finds what it found before.
func TestDamageIsMended(t *testing.T) {
	src := caseSource(t, someCases()...)
	cut := func(name string, part float64) func(t *testing.T, folder string) {
		return func(t *testing.T, folder string) {
			list, _ := filepath.Glob(filepath.Join(folder, name))
			if len(list) == 0 {
				t.Fatalf("no %s", name)
			}
			info, err := os.Stat(list[0])
			if err != nil {
				t.Fatal(err)
			}
			if err := os.Truncate(list[0], int64(float64(info.Size())*part)); err != nil {
				t.Fatal(err)
			}
		}
	}
	for name, damage := range map[string]func(t *testing.T, folder string){
		"root.bolt cut":   cut("book/root.bolt", 0.6),
		"root.bolt empty": cut("book/root.bolt", 0),
		"segment cut":     cut("cases1/*.zap", 0.9),
		"segment empty":   cut("cases1/*.zap", 0),
		"words cut":       cut(wordsName, 0.5),
		"stamps cut":      cut(stampsName, 0.5),
		"seal cut":        cut(sealName, 0.5),
		"seal gone":       func(_ *testing.T, folder string) { os.Remove(filepath.Join(folder, sealName)) },
		"half gone":       func(_ *testing.T, folder string) { os.RemoveAll(filepath.Join(folder, "cases2")) },
		"empty folder": func(_ *testing.T, folder string) {
			os.RemoveAll(folder)
			os.Mkdir(folder, 0o700)
		},
		"one file more": func(_ *testing.T, folder string) {
			os.WriteFile(filepath.Join(folder, "book", "more.zap"), []byte("x"), 0o600)
		},
		"seal of another": func(t *testing.T, folder string) {
			if err := writeSeal(folder, seal{Key: "another", Documents: 1}); err != nil {
				t.Fatal(err)
			}
		},
		"wrong count": func(t *testing.T, folder string) {
			s, err := readSeal(folder)
			if err != nil {
				t.Fatal(err)
			}
			s.Documents++
			if err := os.Remove(filepath.Join(folder, sealName)); err != nil {
				t.Fatal(err)
			}
			if err := writeSeal(folder, s); err != nil {
				t.Fatal(err)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			damage(t, sealedIndex(t, dir, src))
			x := opened(t, dir, src)
			wantNotes(t, x, "damaged")
			mustFind(t, x)
			again := opened(t, dir, src)
			wantNotes(t, again)
			mustFind(t, again)
		})
	}
}

// TestBrokenThoughSealed: an index that is broken and yet sealed, as a fault of
// bleve itself would leave it, costs neither the process nor the hits.
func TestBrokenThoughSealed(t *testing.T) {
	src := caseSource(t, someCases()...)
	for _, part := range []float64{0, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99} {
		dir := t.TempDir()
		folder := sealedIndex(t, dir, src)
		s, err := readSeal(folder)
		if err != nil {
			t.Fatal(err)
		}
		bolt := filepath.Join(folder, bookFolder, "root.bolt")
		info, err := os.Stat(bolt)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.Truncate(bolt, int64(float64(info.Size())*part)); err != nil {
			t.Fatal(err)
		}
		os.Remove(filepath.Join(folder, sealName))
		if err := writeSeal(folder, s); err != nil {
			t.Fatal(err)
		}
		mustFind(t, opened(t, dir, src))
	}
}
