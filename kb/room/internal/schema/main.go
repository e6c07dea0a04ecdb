// Command schema writes the JSON Schema of a room sheet to kb/schema, with the
// texts of the comments in sheet.go. It is run by `go generate ./kb/room`, in
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
	if err := write(filepath.Join("..", "schema", "room.json")); err != nil {
		fmt.Fprintln(os.Stderr, "schema:", err)
		os.Exit(1)
	}
}

func write(path string) error {
	texts, err := comments.Fields("sheet.go")
	if err != nil {
		return err
	}
	data, err := room.Schema(texts)
	if err != nil {
		return err
	}
	return cases.WriteFile(path, data, false)
}
