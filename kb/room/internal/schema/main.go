// Command schema writes the JSON Schemas of a room sheet and of a visit to
// kb/schema, with the texts of the comments in their types. It is run by `go generate ./kb/room`, in
// the folder kb/room.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"faultbook/kb/cases"
	"faultbook/kb/internal/comments"
	"faultbook/kb/room"
)

func main() {
	for _, x := range []struct {
		source, name string
		make         func(map[string]string) ([]byte, error)
	}{{"sheet.go", "room.json", room.Schema}, {"visit.go", "visit.json", room.VisitSchema}} {
		if err := write(x.source, filepath.Join("..", "schema", x.name), x.make); err != nil {
			fmt.Fprintln(os.Stderr, "schema:", err)
			os.Exit(1)
		}
	}
}

func write(source, path string, schema func(map[string]string) ([]byte, error)) error {
	texts, err := comments.Fields(source)
	if err != nil {
		return err
	}
	data, err := schema(texts)
	if err != nil {
		return err
	}
	return cases.WriteFile(path, data, false)
}
