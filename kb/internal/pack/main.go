// Command pack checks kb/book and packs it into kb/builtin.gob. It is run by
// `go generate ./kb`, in the folder kb.
package main

import (
	"bytes"
	"fmt"
	"os"

	"faultbook/kb"
	"faultbook/kb/cases"
)

func main() {
	if err := pack(); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
}

func pack() error {
	book, findings := kb.Load(os.DirFS("book"), "book")
	findings = append(findings, kb.Check(book)...)
	for _, f := range findings {
		if f.Level == kb.LevelError {
			fmt.Fprintln(os.Stderr, f)
		}
	}
	if n := kb.CountErrors(findings); n > 0 {
		return fmt.Errorf("%d errors: the book is not packed", n)
	}
	var buf bytes.Buffer
	if err := kb.Pack(&buf, book); err != nil {
		return err
	}
	return cases.WriteFile("builtin.gob", buf.Bytes(), false)
}
