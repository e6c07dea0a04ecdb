// Package comments reads the comments of struct fields from Go source, so
// that the schemas say what the types say.
package comments

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"strings"
)

// Fields gives the comment of each field of each struct of a file, on one
// line, by "Type.Field".
func Fields(file string) (map[string]string, error) {
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ParseComments)
	if err != nil {
		return nil, fmt.Errorf("read comments: %w", err)
	}
	texts := map[string]string{}
	ast.Inspect(parsed, func(n ast.Node) bool {
		t, ok := n.(*ast.TypeSpec)
		if !ok {
			return true
		}
		s, ok := t.Type.(*ast.StructType)
		if !ok {
			return true
		}
		for _, f := range s.Fields.List {
			for _, name := range f.Names {
				texts[t.Name.Name+"."+name.Name] = strings.Join(strings.Fields(f.Doc.Text()), " ")
			}
		}
		return true
	})
	return texts, nil
}
