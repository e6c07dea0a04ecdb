package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"faultbook/cmd/faultbook/call"
	"faultbook/index"
)

// find runs the command in a home and cache of its own and gives what it
// printed.
func find(t *testing.T, args ...string) (out, errs string, err error) {
	t.Helper()
	var o, e bytes.Buffer
	cmd := newFindCommand(streams{In: strings.NewReader(""), Out: &o, Err: &e})
	cmd.SetArgs(args)
	cmd.SetOut(&o)
	cmd.SetErr(&e)
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	err = cmd.Execute()
	return o.String(), e.String(), err
}

// ownFolders points the program to empty folders for one test.
func ownFolders(t *testing.T) (cache string) {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("FAULTBOOK_HOME", filepath.Join(dir, "home"))
	t.Setenv("XDG_CACHE_HOME", filepath.Join(dir, "cache"))
	t.Setenv("HOME", dir)
	t.Setenv("LocalAppData", filepath.Join(dir, "cache"))
	cache, err := cacheFolder()
	if err != nil {
		t.Fatal(err)
	}
	return cache
}

func TestFindJSON(t *testing.T) {
	ownFolders(t)
	out, errs, err := find(t, "--json", "--limit", "3", "--", "lens", "cap", "on", "the", "beamer")
	if err != nil || !strings.Contains(errs, "no search index yet") {
		t.Fatalf("%v %q", err, errs)
	}
	var list []map[string]any
	if err := json.Unmarshal([]byte(out), &list); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	if len(list) != 3 || list[0]["id"] != "DP-07" || list[0]["kind"] != "cause" {
		t.Fatalf("%s", out)
	}
	for i, h := range list {
		if len(h) != 5 || h["title"] == "" || len(h["matched"].([]any)) == 0 {
			t.Errorf("hit %v", h)
		}
		if i > 0 && h["score"].(float64) > list[i-1]["score"].(float64) {
			t.Errorf("hit %d scores more than the one before", i)
		}
	}
}

func TestFindNothing(t *testing.T) {
	ownFolders(t)
	out, _, err := find(t, "--json", "--", "xyzzyqwrtz")
	if err != nil || strings.TrimSpace(out) != "[]" {
		t.Errorf("%v %q", err, out)
	}
	out, _, err = find(t, "--", "xyzzyqwrtz")
	if err != nil || !strings.HasPrefix(out, "Nothing found.") {
		t.Errorf("%v %q", err, out)
	}
}

// TestFindGroups: people see hits by kind, the causes first, with the words
// that matched.
func TestFindGroups(t *testing.T) {
	ownFolders(t)
	out, _, err := find(t, "--limit", "40", "--", "no", "sound", "in", "the", "room")
	if err != nil {
		t.Fatal(err)
	}
	// The kind of the best hit comes first, and the best hit first in it.
	data, _, err := find(t, "--json", "--limit", "1", "--", "no", "sound", "in", "the", "room")
	if err != nil {
		t.Fatal(err)
	}
	best := read[[]index.Hit](t, data)
	if lines := strings.SplitN(out, "\n", 3); len(best) != 1 || lines[0] != call.KindTitle(best[0].Kind) || !strings.HasPrefix(lines[1], "  "+best[0].ID+" ") {
		t.Errorf("the best hit %+v does not come first in\n%s", best, out)
	}
	for _, head := range []string{"Causes\n", "Symptoms\n"} {
		if strings.Count("\n"+out, "\n"+head) != 1 {
			t.Errorf("not one head %q in\n%s", head, out)
		}
	}
	if !strings.Contains(out, "  F-06") || !strings.Contains(out, "· ") || !strings.Contains(out, "more, less like it") {
		t.Errorf("got\n%s", out)
	}
	for _, line := range strings.Split(out, "\n") {
		if len([]rune(line)) > 80 || strings.TrimRight(line, " ") != line {
			t.Errorf("line %q", line)
		}
	}
}

func TestFindMisspelt(t *testing.T) {
	ownFolders(t)
	out, _, err := find(t, "--", "projecter", "lens")
	if err != nil || !strings.HasPrefix(out, "Did you mean: projector lens\n") {
		t.Errorf("%v %q", err, out)
	}
	out, errs, err := find(t, "--json", "--", "projecter", "lens")
	if err != nil || out[0] != '[' || !strings.Contains(errs, "did you mean: projector lens") {
		t.Errorf("%v %q %q", err, out, errs)
	}
}

func TestFindNarrowed(t *testing.T) {
	ownFolders(t)
	out, _, err := find(t, "--json", "--kind", "symptom", "--", "picture")
	if err != nil || strings.Contains(out, `"cause"`) || !strings.Contains(out, `"symptom"`) {
		t.Errorf("%v %s", err, out)
	}
	out, _, err = find(t, "--json", "--kind", "cause", "--symptom", "f-20", "--", "lamp")
	if err != nil || !strings.Contains(out, "DP-03") || strings.Contains(out, "DP-02") {
		t.Errorf("%v %s", err, out)
	}
}

func TestFindWrongUse(t *testing.T) {
	ownFolders(t)
	for want, args := range map[string][]string{
		"say what to look for":     {},
		"there is no kind":         {"--kind", "nonsense", "--", "x"},
		"--limit 0":                {"--limit", "0", "--", "x"},
		"--limit 1001":             {"--limit", "1001", "--", "x"},
		"write the day":            {"--since", "yesterday", "--", "x"},
		"write the day as":         {"--since", "2026-13-45", "--", "x"},
		"--page 0":                 {"--page", "0", "--", "x"},
		"--page 502":               {"--page", "502", "--", "x"},
		"--state \"odd\"":          {"--state", "odd", "--", "x"},
		"there is no symptom":      {"--symptom", "F-99", "--", "x"},
		"unknown flag: --nonsense": {"--nonsense", "--", "x"},
	} {
		_, _, err := find(t, args...)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: %v", args, err)
		}
	}
}

// TestFindWithoutItsCache: the cache may be thrown away, broken or impossible;
// find works and says what it did.
func TestFindWithoutItsCache(t *testing.T) {
	cache := ownFolders(t)
	first, errs, err := find(t, "--json", "--", "lens", "cap")
	if err != nil || !strings.Contains(errs, "no search index yet") {
		t.Fatalf("%v %q", err, errs)
	}
	check := func(name, wantErrs string) {
		t.Helper()
		out, errs, err := find(t, "--json", "--", "lens", "cap")
		if err != nil || out != first || !strings.Contains(errs, wantErrs) || wantErrs == "" && errs != "" {
			t.Errorf("%s: %v, notes %q, want %q; same hits %v", name, err, errs, wantErrs, out == first)
		}
	}
	check("kept", "")
	seals, _ := filepath.Glob(filepath.Join(cache, "index-*", "seal.json"))
	if len(seals) != 1 {
		t.Fatalf("seals %v", seals)
	}
	if err := os.WriteFile(seals[0], []byte("{}"), 0o600); err != nil {
		t.Fatal(err)
	}
	check("damaged", "the search index is damaged")
	if err := os.RemoveAll(cache); err != nil {
		t.Fatal(err)
	}
	check("missing", "no search index yet")
	if err := os.RemoveAll(cache); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(cache, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	check("in the way", "cannot be kept")
}
