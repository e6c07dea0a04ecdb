package kb

import (
	"compress/gzip"
	"encoding/json"
	"os"
	"testing"
)

// TestFreezeModels writes the models on which the engine's golden test plans.
// They are frozen so that a change of the book does not change that test; it
// runs only when asked to: FREEZE=1 go test ./kb -run TestFreezeModels, and then
// UPDATE=1 go test ./diagnose -run TestGoldenSteps.
func TestFreezeModels(t *testing.T) {
	if os.Getenv("FREEZE") == "" {
		t.Skip("writes the frozen models and tests nothing: run with FREEZE=1")
	}
	b, err := UnpackBuiltin()
	if err != nil {
		t.Fatal(err)
	}
	models := map[string]any{}
	for name, list := range map[string][]Weighted{
		"many-causes": {{"F-01", 1}}, "few-causes": {{"F-09", 1}}, "visits": {{"F-16", 1}},
		"middling": {{"F-12", 1}}, "two-symptoms": {{"F-13", 0.7}, {"F-14", 0.3}},
	} {
		who := WhoCaller
		if name == "middling" {
			who = WhoTechnician
		}
		c, err := Compile(b, Setting{Symptoms: list, Who: who})
		if err != nil {
			t.Fatal(err)
		}
		models[name] = c.Model
	}
	f, err := os.Create("../diagnose/testdata/frozen.json.gz")
	if err != nil {
		t.Fatal(err)
	}
	z, _ := gzip.NewWriterLevel(f, gzip.BestCompression)
	if err := json.NewEncoder(z).Encode(models); err != nil {
		t.Fatal(err)
	}
	if z.Close() != nil || f.Close() != nil {
		t.Fatal("cannot write")
	}
}
