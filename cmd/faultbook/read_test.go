package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The worked EDIDs and text files lie with the packages that read them.
const (
	edidData    = "../../diagnose/measure/edid/testdata/"
	readingData = "../../diagnose/measure/reading/testdata/"
)

// readWith runs the command and gives both outputs and the exit status.
func readWith(t *testing.T, stdin string, ports string, args ...string) (string, string, int) {
	t.Helper()
	var out, errOut bytes.Buffer
	s := streams{In: strings.NewReader(stdin), Out: &out, Err: &errOut}
	opt := readOptions{portsIn: ports}
	var files []string
	for _, a := range args {
		switch a {
		case "--json":
			opt.json = true
		case "--ports":
			opt.ports = true
		default:
			files = append(files, a)
		}
	}
	status := report(&errOut, runRead(s, files, opt), true)
	return out.String(), errOut.String(), status
}

func TestReadJSONLines(t *testing.T) {
	out, errOut, status := readWith(t, "", "", "--json", edidData+"A.hex", readingData+"ip-addr.txt", edidData+"F.hex")
	if status != 0 || errOut != "" {
		t.Fatalf("status %d, errors %q", status, errOut)
	}
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if len(lines) != 3 {
		t.Fatalf("%d lines, want one for each file", len(lines))
	}
	for i, want := range []string{"edid", "ip", "edid"} {
		var got map[string]json.RawMessage
		if err := json.Unmarshal([]byte(lines[i]), &got); err != nil {
			t.Fatal(err)
		}
		if string(got["kind"]) != `"`+want+`"` {
			t.Errorf("line %d: kind %s, want %s", i+1, got["kind"], want)
		}
		for _, key := range []string{"file", "facts", "remarks", "decoded"} {
			if string(got[key]) == "" || string(got[key]) == "null" {
				t.Errorf("line %d: %s is %q", i+1, key, got[key])
			}
		}
	}
}

// TestReadContract holds the keys of decoded that other programs rely on.
func TestReadContract(t *testing.T) {
	out, _, status := readWith(t, "", "", "--json", edidData+"C.hex")
	if status != 0 {
		t.Fatal(status)
	}
	var got struct {
		Decoded map[string]any `json:"decoded"`
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	want := map[string]string{ // vector C of check values section 1.8
		"version": "1.3", "maker": "ZZQ", "product": "4660", "name": "TEST-C 300M", "serial_text": "", "announced_extensions": "1",
		"vics": "[95 94 93 16 31 34 4 19 2 17 1]", "vics_native": "[]", "vics_420_only": "[97 96]", "vics_420_also": "[]",
		"hdmi": "true", "max_tmds_mhz": "300", "max_tmds_forum_mhz": "<nil>", "frl": "<nil>", "physical_address": "2.0.0.0",
		"basic_audio": "true", "hdr": "<nil>", "problems": "[]",
	}
	for key, value := range want {
		have, ok := got.Decoded[key]
		if text := fmt.Sprint(have); !ok || text != value {
			t.Errorf("%s is %s, want %s", key, text, value)
		}
	}
	for _, key := range []string{"first_timing", "preferred"} {
		timing, _ := got.Decoded[key].(map[string]any)
		if timing["width"] != 3840.0 || timing["height"] != 2160.0 || timing["interlaced"] != false || timing["refresh_hz"] != 30.0 || timing["pixel_clock_mhz"] != 297.0 {
			t.Errorf("%s is %v", key, timing)
		}
	}
	blocks, _ := got.Decoded["blocks"].([]any)
	if len(blocks) != 2 {
		t.Fatalf("blocks %v", blocks)
	}
	block, _ := blocks[1].(map[string]any)
	if block["number"] != 1.0 || block["tag"] != 2.0 || block["checksum_ok"] != true {
		t.Errorf("block %v", block)
	}
	audio, _ := got.Decoded["audio"].([]any)
	first, _ := audio[0].(map[string]any)
	if first["format"] != "LPCM" || first["channels"] != 2.0 || fmt.Sprint(first["rates_khz"]) != "[32 44.1 48]" || fmt.Sprint(first["bits"]) != "[16 20 24]" {
		t.Errorf("audio %v", first)
	}
}

func TestReadStandardInput(t *testing.T) {
	data, err := os.ReadFile(edidData + "F.hex")
	if err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{nil, {"-"}} {
		out, _, status := readWith(t, string(data), "", args...)
		if status != 0 || !strings.HasPrefix(out, "standard input: edid\n") {
			t.Errorf("%v: status %d, output %q", args, status, out)
		}
		for _, want := range []string{"TEST-A 1080", "picture without sound", "check value E-069", "1 missing"} {
			if !strings.Contains(out, want) {
				t.Errorf("%v: no %q in\n%s", args, want, out)
			}
		}
	}
}

func TestReadSeveralDisplays(t *testing.T) {
	a, _ := os.ReadFile(edidData + "A.hex")
	d, _ := os.ReadFile(edidData + "D.hex")
	paste := "HDMI-1 connected 1920x1080\n" + string(a) + "DP-1 connected\n" + string(d)
	out, _, status := readWith(t, paste, "", "--json", "-")
	if status != 0 || strings.Count(out, "\n") != 2 || !strings.Contains(out, `"part":"HDMI-1"`) || !strings.Contains(out, `"part":"DP-1"`) {
		t.Errorf("status %d, output %q", status, out)
	}
}

func TestReadBadInput(t *testing.T) {
	folder := t.TempDir()
	words := filepath.Join(folder, "note.txt")
	if err := os.WriteFile(words, []byte("\nthe screen is black\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	missing := filepath.Join(folder, "none.bin")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{words}, "faultbook: " + words + ": line 2: not recognised as EDID, lsusb, ethtool, ip, ping, a PoE table or serial bytes\n"},
		{[]string{missing}, "faultbook: " + missing + ": no such file or directory\n"},
		{[]string{folder}, "faultbook: " + folder + ": is a directory\n"},
		{[]string{missing, words}, "faultbook: " + missing + ": no such file or directory\nfaultbook: " + words + ": line 2: not recognised as EDID, lsusb, ethtool, ip, ping, a PoE table or serial bytes\n"},
	} {
		out, errOut, status := readWith(t, "", "", c.args...)
		if status != exitUsage || errOut != c.want || out != "" {
			t.Errorf("%v: status %d, errors %q, want %q", c.args, status, errOut, c.want)
		}
	}
	// A bad file among good ones: the good ones are printed.
	out, _, status := readWith(t, "", "", "--json", missing, edidData+"A.hex")
	if status != exitUsage || strings.Count(out, "\n") != 1 {
		t.Errorf("status %d, %d lines", status, strings.Count(out, "\n"))
	}
}

func TestReadPorts(t *testing.T) {
	folder := t.TempDir()
	port := func(name, status string, edid []byte) {
		if err := os.MkdirAll(filepath.Join(folder, name), 0o700); err != nil {
			t.Fatal(err)
		}
		for file, data := range map[string][]byte{"status": []byte(status + "\n"), "edid": edid} {
			if err := os.WriteFile(filepath.Join(folder, name, file), data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	data, err := os.ReadFile(edidData + "A.hex")
	if err != nil {
		t.Fatal(err)
	}
	port("card0-HDMI-A-1", "connected", data)
	port("card0-DP-1", "disconnected", nil)
	port("card0-DP-2", "connected", nil)
	out, errOut, status := readWith(t, "", folder, "--ports")
	if status != 0 || !strings.HasPrefix(out, "HDMI-A-1: edid\n") {
		t.Errorf("status %d, output %q", status, out)
	}
	if !strings.Contains(errOut, "DP-1: nothing connected") || !strings.Contains(errOut, "DP-2: connected, but no EDID could be read") {
		t.Errorf("notes %q", errOut)
	}
	if _, errOut, status := readWith(t, "", t.TempDir(), "--ports"); status != exitUsage || !strings.Contains(errOut, "offers no display ports") {
		t.Errorf("status %d, errors %q", status, errOut)
	}
}

// TestReadManyFiles: 2,000 EDID files give 2,000 lines, in one process. How
// long it takes is a matter of BenchmarkTwoThousand.
func TestReadManyFiles(t *testing.T) {
	folder := t.TempDir()
	var names []string
	for i := range 2000 {
		data, err := os.ReadFile(edidData + string("ABCEGH"[i%6]) + ".hex")
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(folder, fmt.Sprintf("%04d.hex", i))
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
		names = append(names, name)
	}
	out, errOut, status := readWith(t, "", "", append(names, "--json")...)
	if status != 0 || errOut != "" || strings.Count(out, "\n") != 2000 {
		t.Fatalf("status %d, %d lines, errors %q", status, strings.Count(out, "\n"), errOut)
	}
}
