// Command schemas writes the JSON Schema of each kind of entry to kb/schema,
// with the texts of the comments in kb/entry.go. It is run by
// `go generate ./kb`, in the folder kb.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"faultbook/kb"
	"faultbook/kb/cases"
	"faultbook/kb/internal/comments"
)

func main() {
	if err := write("schema"); err != nil {
		fmt.Fprintln(os.Stderr, "schemas:", err)
		os.Exit(1)
	}
}

func write(dir string) error {
	texts, err := comments.Fields("entry.go")
	if err != nil {
		return err
	}
	for _, k := range kb.Kinds() {
		data, err := kb.Schema(k, texts)
		if err != nil {
			return err
		}
		if err := cases.WriteFile(filepath.Join(dir, string(k)+".json"), data, false); err != nil {
			return err
		}
	}
	return nil
}
