package exchange

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"strings"
	"testing"
)

// forged is an archive in the making that does not keep to the rules.
type forged struct {
	manifest string
	members  []tar.Header
	data     []string
}

// forge makes the manifest that fits the files, in their order.
func forge(files ...[2]string) *forged {
	f := &forged{manifest: "faultbook-archive 1\n"}
	for _, p := range files {
		r, err := parse(p[0], []byte(p[1]))
		if err != nil {
			r = Record{Kind: "part", ID: "x", Data: []byte(p[1])}
		}
		r.Path = p[0]
		f.manifest += r.manifestLine()
		f.members = append(f.members, tar.Header{Typeflag: tar.TypeReg, Name: p[0], Mode: 0o644, Size: int64(len(p[1]))})
		f.data = append(f.data, p[1])
	}
	return f
}

func (f *forged) bytes(t testing.TB) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := tar.NewWriter(&buf)
	if err := writeMember(w, manifestName, []byte(f.manifest)); err != nil {
		t.Fatal(err)
	}
	for i := range f.members {
		if err := w.WriteHeader(&f.members[i]); err != nil {
			t.Fatal(err)
		}
		if f.members[i].Typeflag == tar.TypeReg {
			if _, err := w.Write([]byte(f.data[i])); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

const hubPath = "book/own/part/hub.yaml"

var hubFile = [2]string{hubPath, part("hub", 1, "Hub")}

// TestHostile reads archives that were made to do harm or came to harm. Each is
// refused with words that name what is wrong, and nothing of it is used.
func TestHostile(t *testing.T) {
	whole := forge(hubFile).bytes(t)
	edit := func(change func(f *forged)) []byte {
		f := forge(hubFile, [2]string{"rooms/hall.yaml", "name: Hall\n"})
		change(f)
		return f.bytes(t)
	}
	for _, c := range []struct {
		name, want string
		data       []byte
	}{
		{"empty", "must begin with a file MANIFEST", nil},
		{"a text", "must begin with a file MANIFEST", bytes.Repeat([]byte("hello "), 300)},
		{"cut in a record", "cut off", whole[:len(whole)-1500]},
		{"cut at its end", "cut off", whole[:len(whole)-512]},
		{"more behind", "something follows", append(append([]byte{}, whole...), "x"...)},
		{"climbs out", "begins with a dot", forge([2]string{"book/../../x.yaml", part("x", 1, "X")}).bytes(t)},
		{"absolute", "absolute", forge([2]string{"/etc/x.yaml", part("x", 1, "X")}).bytes(t)},
		{"backslash", `holds '\\'`, forge([2]string{`book\x.yaml`, part("x", 1, "X")}).bytes(t)},
		{"drive", "holds ':'", forge([2]string{"C:/x.yaml", part("x", 1, "X")}).bytes(t)},
		{"device", "name of a device", forge([2]string{"rooms/aux.yaml", "name: X\n"}).bytes(t)},
		{"git's own", "begins with a dot", forge([2]string{"book/.git/config", "x"}).bytes(t)},
		{"elsewhere", "no place for a record", forge([2]string{"bin/x.yaml", part("x", 1, "X")}).bytes(t)},
		{"not its place", "belongs into", forge([2]string{"cases/2025/" + caseID + ".jsonl", call(caseID, "a")}).bytes(t)},
		{"twice", "are one name", forge(hubFile, hubFile).bytes(t)},
		{"twice but for letter case", "are one name", forge([2]string{"rooms/A.yaml", "name: A\n"}, [2]string{"rooms/a.yaml", "name: a\n"}).bytes(t)},
		{"not sorted", "not sorted", forge([2]string{"rooms/b.yaml", "name: B\n"}, [2]string{"rooms/a.yaml", "name: A\n"}).bytes(t)},
		{"link", "not a plain file", edit(func(f *forged) {
			f.members[1] = tar.Header{Typeflag: tar.TypeSymlink, Name: "rooms/hall.yaml", Linkname: "/etc/passwd"}
		})},
		{"hard link", "not a plain file", edit(func(f *forged) {
			f.members[1] = tar.Header{Typeflag: tar.TypeLink, Name: "rooms/hall.yaml", Linkname: hubPath}
		})},
		{"device file", "not a plain file", edit(func(f *forged) { f.members[1] = tar.Header{Typeflag: tar.TypeChar, Name: "rooms/hall.yaml"} })},
		{"other name", "the archive holds rooms/x.yaml in its place", edit(func(f *forged) { f.members[1].Name = "rooms/x.yaml" })},
		{"not listed", "not in the manifest", edit(func(f *forged) {
			f.manifest = f.manifest[:strings.LastIndex(f.manifest[:len(f.manifest)-1], "\n")+1]
		})},
		{"missing", "missing", edit(func(f *forged) { f.members = f.members[:1] })},
		{"changed", "damaged", edit(func(f *forged) { f.data[1] = "name: Hell\n" })},
		{"wrong revision", "kind, id or revision", edit(func(f *forged) { f.manifest = strings.Replace(f.manifest, "hub\t1\t", "hub\t9\t", 1) })},
		{"giant size", "must be at most", edit(func(f *forged) { f.manifest = strings.Replace(f.manifest, "\t11\t", "\t99999999999\t", 1) })},
		{"negative size", "must be at most", edit(func(f *forged) { f.manifest = strings.Replace(f.manifest, "\t11\t", "\t-1\t", 1) })},
		{"newer", "update faultbook", edit(func(f *forged) { f.manifest = strings.Replace(f.manifest, "archive 1", "archive 3", 1) })},
		{"no version", "must be", edit(func(f *forged) { f.manifest = "x\n" })},
		{"half a line", "cut off", edit(func(f *forged) { f.manifest += "part" })},
		{"five fields", "six fields", edit(func(f *forged) { f.manifest += "a\tb\tc\td\te\n" })},
		{"no text", "not a text in UTF-8", forge([2]string{"rooms/hall.yaml", "\xff\x00"}).bytes(t)},
	} {
		t.Run(c.name, func(t *testing.T) {
			list, err := Read(bytes.NewReader(c.data), "a.tar")
			if !errors.Is(err, ErrArchive) || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "a.tar: ") || list != nil {
				t.Errorf("%d records, %v; want %q", len(list), err, c.want)
			}
		})
	}
}

// TestBomb unpacks an archive of a megabyte that claims to be one of gigabytes.
func TestBomb(t *testing.T) {
	var buf bytes.Buffer
	z, _ := gzip.NewWriterLevel(&buf, gzip.BestSpeed)
	w := tar.NewWriter(z)
	if err := w.WriteHeader(&tar.Header{Typeflag: tar.TypeReg, Name: manifestName, Size: 8 << 30, Mode: 0o644}); err != nil {
		t.Fatal(err)
	}
	zeros := make([]byte, 1<<20)
	for range 64 { // what is claimed alone must be refused
		if _, err := w.Write(zeros); err != nil {
			t.Fatal(err)
		}
	}
	z.Close()
	if _, err := Read(&buf, "bomb"); err == nil || !strings.Contains(err.Error(), "are expected") {
		t.Errorf("%v", err)
	}
	in := &counted{r: neverEnding{}, left: 3 << 20}
	if n, err := in.Read(make([]byte, 4<<20)); n > 3<<20 || err != nil {
		t.Errorf("%d bytes, %v", n, err)
	}
	if _, err := in.Read(zeros); !errors.Is(err, errTooLarge) {
		t.Errorf("behind the limit: %v", err)
	}
}

type neverEnding struct{}

func (neverEnding) Read(p []byte) (int, error) { return len(p), nil }

// TestAnyDamage cuts an archive everywhere and flips a bit in every byte that
// carries something: no damage goes unnoticed, and none makes other records.
func TestAnyDamage(t *testing.T) {
	list := []Record{}
	for _, p := range [][2]string{hubFile, {"rooms/hall.yaml", "name: Hall\n"}, {casePath, call(caseID, "a")}} {
		r, err := parse(p[0], []byte(p[1]))
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, r)
	}
	sortRecords(list)
	want := fmt.Sprint(list)
	for _, compress := range []bool{false, true} {
		data := pack(t, list, compress)
		for n := 0; n < len(data); n += 7 {
			if _, err := Read(bytes.NewReader(data[:n]), "cut"); err == nil {
				t.Errorf("compress %v: cut at %d of %d goes unnoticed", compress, n, len(data))
			}
		}
		for n := range data {
			bad := bytes.Clone(data)
			bad[n] ^= 1 << (n % 8)
			got, err := Read(bytes.NewReader(bad), "flipped")
			if err == nil && fmt.Sprint(got) != want {
				t.Errorf("compress %v: bit flipped at %d gives other records", compress, n)
			}
		}
	}
}

// FuzzRead: what is accepted gives the same records when it is written again,
// and every one of them has a fit place.
func FuzzRead(f *testing.F) {
	f.Add(forge(hubFile).bytes(f))
	f.Add(forge(hubFile, [2]string{"rooms/hall.yaml", "name: Hall\n"}).bytes(f))
	f.Add(forge([2]string{casePath, call(caseID, "a", "b")}).bytes(f))
	f.Add(forge([2]string{"book/../x.yaml", part("x", 1, "X")}).bytes(f))
	f.Add([]byte("MANIFEST"))
	f.Add([]byte{0x1f, 0x8b, 8, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := Read(bytes.NewReader(data), "fuzz")
		if err != nil {
			return
		}
		for _, r := range list {
			if err := checkPath(r.Path); err != nil {
				t.Fatalf("%s: %v", r.Path, err)
			}
		}
		again, err := Read(bytes.NewReader(pack(t, list, false)), "again")
		if err != nil || fmt.Sprint(again) != fmt.Sprint(list) {
			t.Fatalf("written again: %v", err)
		}
	})
}

// FuzzMerge: reduce looks at the set of versions alone, and once more changes
// nothing.
func FuzzMerge(f *testing.F) {
	f.Add(call(caseID, "a"), call(caseID, "a", "b"), call(caseID, "c"))
	f.Add(call(caseID, "[removed] x"), call(caseID, "Ann x"), call(caseID, "Ann x", "y"))
	f.Fuzz(func(t *testing.T, a, b, c string) {
		var list []Record
		for _, text := range []string{a, b, c} {
			r, err := parse(casePath, []byte(text))
			if err != nil {
				return
			}
			list = append(list, r)
		}
		want := fmt.Sprint(reduce(list))
		if got := fmt.Sprint(reduce([]Record{list[2], list[0], list[1]})); got != want {
			t.Errorf("another order: %s\n%s", got, want)
		}
		if got := fmt.Sprint(reduce(append(reduce(list), list[1]))); got != want {
			t.Errorf("once more: %s\n%s", got, want)
		}
	})
}
