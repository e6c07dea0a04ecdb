package main

import (
	"os/exec"
	"strings"
	"testing"
)

// allowed says which packages of this module a package may import, by prefix;
// imports run downwards only.
func allowed() map[string][]string {
	return map[string][]string{
		"faultbook/diagnose":           {"faultbook/diagnose/measure"},
		"faultbook/diagnose/measure":   {"faultbook/diagnose/measure"},
		"faultbook/kb":                 {"faultbook/diagnose"},
		"faultbook/kb/cases":           {},
		"faultbook/kb/exchange":        {"faultbook/kb"},
		"faultbook/kb/internal":        {"faultbook/kb"},
		"faultbook/kb/room":            {"faultbook/kb", "faultbook/diagnose"},
		"faultbook/index":              {"faultbook/kb"},
		"faultbook/cmd/faultbook/call": {"faultbook/index", "faultbook/kb", "faultbook/diagnose"},
		"faultbook/cmd/faultbook/page": {"faultbook/cmd/faultbook/call", "faultbook/cmd/faultbook/drawing", "faultbook/index", "faultbook/kb", "faultbook/diagnose"},
		"faultbook/cmd/faultbook":      {"faultbook/"},
	}
}

// TestImportsRunDownwards asks the go tool what every package imports.
func TestImportsRunDownwards(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "faultbook/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) < 8 {
		t.Fatalf("only %d packages", len(lines))
	}
	for _, line := range lines {
		fields := strings.Fields(line)
		may, std := rules(fields[0])
		for _, dep := range fields[1:] {
			own := dep == "faultbook" || strings.HasPrefix(dep, "faultbook/")
			if own && !hasPrefix(dep, may) {
				t.Errorf("%s imports %s", fields[0], dep)
			}
			if !own && std && strings.Contains(strings.SplitN(dep, "/", 2)[0], ".") {
				t.Errorf("%s imports %s, but the engine uses the standard library alone", fields[0], dep)
			}
		}
	}
}

// rules finds the longest prefix of a package; std is true where nothing but
// the standard library may be imported.
func rules(pkg string) (may []string, std bool) {
	best := ""
	for prefix, list := range allowed() {
		if (pkg == prefix || strings.HasPrefix(pkg, prefix+"/")) && len(prefix) > len(best) {
			best, may = prefix, list
		}
	}
	return may, strings.HasPrefix(pkg, "faultbook/diagnose") || best == "faultbook/kb/cases"
}

func hasPrefix(dep string, list []string) bool {
	for _, p := range list {
		if dep == p || strings.HasPrefix(dep, strings.TrimSuffix(p, "/")+"/") {
			return true
		}
	}
	return false
}
