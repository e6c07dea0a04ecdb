//go:build !unix

package index

import "testing"

// asNobody leaves out what needs folders without the right to write.
func asNobody(t *testing.T) bool {
	t.Helper()
	t.Skip("rights of folders are those of unix")
	return true
}
