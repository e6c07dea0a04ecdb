package main

import (
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the scripts below run the program itself under its name.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"faultbook": func() {
			os.Exit(run(os.Args[1:], streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr}))
		},
	})
}

// TestScripts runs testdata/script/*.txtar: commands as a user types them,
// with what they must print and the files they must leave. With -update the
// expectations are written anew.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "../../testdata/script",
		UpdateScripts: os.Getenv("UPDATE") != "",
		Setup: func(e *testscript.Env) error {
			e.Setenv("FAULTBOOK_HOME", e.WorkDir+"/home")
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("XDG_CACHE_HOME", e.WorkDir+"/cache")
			e.Setenv("NO_COLOR", "1")
			return nil
		},
	})
}
