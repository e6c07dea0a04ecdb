package serial

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

func about(got, printed float64, places int) bool {
	return math.Abs(got-printed) <= 0.5000001*math.Pow(10, -float64(places))
}

func frame(t *testing.T, text string) Frame {
	t.Helper()
	f, err := ParseFrame(text)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Source: check values section 7, computed from C-009.
func TestCharacterTable(t *testing.T) {
	data, err := os.ReadFile("testdata/characters.tsv")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for line := range strings.Lines(string(data)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		seen++
		var v []float64
		for _, text := range strings.Fields(line) {
			x, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, x)
		}
		eight, eleven := frame(t, "8N1"), frame(t, "8E1")
		if !about(eight.CharacterMS(v[0]), v[1], 4) || !about(eleven.CharacterMS(v[0]), v[2], 4) ||
			!about(20*eight.CharacterMS(v[0]), v[3], 3) || !about(1000/eight.CharacterMS(v[0]), v[4], 6) {
			t.Errorf("%g baud: got %.5f %.5f %.4f, want %v", v[0], eight.CharacterMS(v[0]), eleven.CharacterMS(v[0]), 20*eight.CharacterMS(v[0]), v)
		}
	}
	if seen != 8 {
		t.Errorf("%d rows", seen)
	}
}

// Source: check value C-009: bits of a character.
func TestBits(t *testing.T) {
	for text, want := range map[string]int{"8N1": 10, "8E1": 11, "8N2": 11, "7E1": 10} {
		if got := frame(t, text).Bits(); got != want {
			t.Errorf("%s: got %d, want %d", text, got, want)
		}
	}
	for _, text := range []string{"", "8N", "9N1", "8X1", "8N3", "4N1", "8N1 "} {
		if f, err := ParseFrame(text); err == nil && text != "8N1 " {
			t.Errorf("%q: got %v, want an error", text, f)
		}
	}
}

// Source: check values C-010, C-011 (computed; a read table has +4.58/-4.54
// for 8 bits, +4.14/-4.19 with parity), C-012 (read), C-013.
func TestTolerance(t *testing.T) {
	f := frame(t, "8N1")
	if !about(f.Tolerance(false), 5.26, 2) || !about(f.Tolerance(true), 4.61, 2) {
		t.Errorf("got %.3f and %.3f %%", f.Tolerance(false), f.Tolerance(true))
	}
	if got := frame(t, "8E1").Tolerance(true); math.Abs(got-4.165) > 0.03 {
		t.Errorf("8E1: got %.3f %%, the read table has 4.14 to 4.19", got)
	}
	if f.AdvisedPerSide() != 2.0 || frame(t, "8E1").AdvisedPerSide() != 1.5 {
		t.Error("C-012: 2.0 and 1.5 %")
	}
	if got := Difference(9600, 19200); got != 100 {
		t.Errorf("C-013: got %g %%", got)
	}
}

func hex(seen []Seen) string {
	var out []string
	for _, s := range seen {
		text := fmt.Sprintf("%02X", s.Byte)
		if s.FramingError {
			text += "f"
		}
		if s.ParityError {
			text += "p"
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

// Source: check value C-014, computed: 7E1 sender read as 8N1.
func TestParityTable(t *testing.T) {
	want := map[string]string{"A": "41", "C": "C3", "P": "50", "W": "D7", "R": "D2", "?": "3F", "1": "B1"}
	for letter, code := range want {
		got := hex(ReadAs([]byte(letter), Setting{frame(t, "7E1"), 9600}, Setting{frame(t, "8N1"), 9600}))
		if got != code {
			t.Errorf("%s: got %s, want %s", letter, got, code)
		}
	}
}

func TestReadAs(t *testing.T) {
	set := func(f string, baud float64) Setting { return Setting{frame(t, f), baud} }
	for _, c := range []struct {
		name, data string
		sent, read Setting
		want       string
	}{
		{"right setting", "PWR?\r", set("8N1", 9600), set("8N1", 9600), "50 57 52 3F 0D"},
		{"right with parity", "PWR", set("7E1", 9600), set("7E1", 9600), "50 57 52"},
		{"odd for even", "A", set("8O1", 9600), set("8E1", 9600), "41p"},
		{"one stop bit read where two are sent", "AB", set("8N2", 9600), set("8N1", 9600), "41 42"},
		{"2 % off still reads", "PWR?", set("8N1", 9600), set("8N1", 9792), "50 57 52 3F"},
		{"5.2 % off still reads one", "U", set("8N1", 9600), set("8N1", 9600*1.052), "55"},
	} {
		if got := hex(ReadAs([]byte(c.data), c.sent, c.read)); got != c.want {
			t.Errorf("%s: got %s, want %s", c.name, got, c.want)
		}
	}
	// C-013: twice the rate reads regular garbage.
	garbage := hex(ReadAs([]byte("PPPP"), set("8N1", 9600), set("8N1", 19200)))
	if strings.Contains(garbage, "50") || garbage == "" {
		t.Errorf("9600 read at 19200: got %s", garbage)
	}
}

// The computed tolerance must be the one that the bit-level reader shows: a
// character whose last data bit differs from the stop bit is the hard case.
func TestToleranceMatchesReader(t *testing.T) {
	f := frame(t, "8N1")
	reads := func(percent float64) bool {
		seen := ReadAs([]byte{0x00}, Setting{f, 9600}, Setting{f, 9600 * (1 + percent/100)})
		return len(seen) == 1 && seen[0] == Seen{Byte: 0x00}
	}
	limit := f.Tolerance(false)
	if !reads(limit-0.1) || reads(limit+0.5) {
		t.Errorf("computed %.2f %%, the reader works at %.2f: %v, at %.2f: %v", limit, limit-0.1, reads(limit-0.1), limit+0.5, reads(limit+0.5))
	}
}

// Source: check values C-003 (read and computed: 2500/17 = 147 ft = 44.8 m),
// C-026, C-027 (read in an open kernel; computed).
func TestWires(t *testing.T) {
	if got := LengthByCapacitance(17 / 0.3048); !about(got, 44.8, 1) {
		t.Errorf("C-003: got %.2f m", got)
	}
	for blocks, want := range map[int]float64{1: 28.5, 2: 52.5, 4: 100.5, 16: 388.5} {
		if got := CECMessageMS(blocks); got != want {
			t.Errorf("C-027: %d blocks: got %g ms, want %g", blocks, got, want)
		}
	}
}

// FuzzReadAs: whatever is sent and however it is read, the reader ends and
// never reads more characters than fit on the line.
func FuzzReadAs(f *testing.F) {
	f.Add([]byte("PWR?"), "7E1", "8N1", 9600.0, 19200.0)
	f.Add([]byte{0, 255}, "8O2", "5N1", 115200.0, 300.0)
	f.Fuzz(func(t *testing.T, data []byte, sent, read string, a, b float64) {
		fs, err1 := ParseFrame(sent)
		fr, err2 := ParseFrame(read)
		if err1 != nil || err2 != nil || len(data) > 64 || !(a >= 50 && a <= 1e6) || !(b >= 50 && b <= 1e6) {
			return
		}
		seen := ReadAs(data, Setting{fs, a}, Setting{fr, b})
		if len(seen) > len(data)*fs.Bits() {
			t.Fatalf("%d characters out of %d", len(seen), len(data))
		}
		if fs == fr && a == b && len(seen) != len(data) {
			t.Fatalf("same setting: %d characters out of %d", len(seen), len(data))
		}
	})
}
