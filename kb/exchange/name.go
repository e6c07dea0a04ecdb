package exchange

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"
)

// checkPath refuses paths that could leave the folder, or that some file system
// could not hold or would take for another.
func checkPath(p string) error {
	if len(p) > maxPath {
		return fmt.Errorf("the path is longer than %d bytes", maxPath)
	}
	parts := strings.Split(p, "/")
	if len(parts) > maxParts {
		return fmt.Errorf("the path has more than %d parts", maxParts)
	}
	for i, part := range parts {
		if err := checkPart(part); err != nil {
			return err
		}
		if ending := path.Ext(part); i < len(parts)-1 && (ending == ".yaml" || ending == ".yml" || ending == ".jsonl") {
			return fmt.Errorf("the folder %q has the name of a file", part)
		}
	}
	return nil
}

func checkPart(part string) error {
	switch {
	case part == "":
		return fmt.Errorf("the path is absolute or has an empty part")
	case len(part) > maxPart:
		return fmt.Errorf("a part of the path is longer than %d bytes", maxPart)
	case !utf8.ValidString(part):
		return fmt.Errorf("the path is not UTF-8")
	case strings.HasPrefix(part, ".") || strings.HasPrefix(part, " ") || strings.HasPrefix(part, "-"):
		return fmt.Errorf("a part of the path begins with a dot, space or hyphen")
	case strings.HasSuffix(part, ".") || strings.HasSuffix(part, " "):
		return fmt.Errorf("a part of the path ends with a dot or space")
	}
	for _, r := range part {
		// Combining marks are refused: with them one name has several spellings.
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(" .-_", r) {
			return fmt.Errorf("the path holds %q: use letters, digits, spaces, dots, hyphens and underscores", r)
		}
	}
	if device(part) {
		return fmt.Errorf("%q is the name of a device on some systems", part)
	}
	return nil
}

// device reports names that cannot be files on some systems, whatever their
// ending.
func device(part string) bool {
	stem, _, _ := strings.Cut(strings.ToLower(part), ".")
	switch stem = strings.TrimRight(stem, " "); stem {
	case "con", "prn", "aux", "nul":
		return true
	}
	if len(stem) != 4 || stem[:3] != "com" && stem[:3] != "lpt" {
		return false
	}
	return stem[3] >= '0' && stem[3] <= '9'
}

// fold gives what names have in common that some file systems take for one.
// Up and down again also joins letters with several small forms.
func fold(name string) string { return strings.ToLower(strings.ToUpper(name)) }

// shelf is where an entry belongs: where it lies, if that is in a folder of its
// kind under its own name, else its place in the user's own book.
func shelf(at, kind, id string) string {
	if strings.HasPrefix(at, dirBook+"/") && strings.HasSuffix(at, "/"+kind+"/"+id+".yaml") && checkPath(at) == nil {
		return at
	}
	return path.Join(dirBook, "own", kind, id+".yaml")
}

// place is where a record belongs that is not known to lie anywhere.
func place(kind, id string) string {
	switch kind {
	case KindCase:
		return path.Join(dirCases, id[:4], id+".jsonl")
	case KindRoom:
		return path.Join(dirRooms, id+".yaml")
	case KindVisit:
		return path.Join(dirVisits, id+".yaml")
	case KindHistory:
		return path.Join(dirHistory, id+".yaml")
	}
	return shelf("", kind, id)
}

// hashDigits of the SHA-256 tell set-aside copies of a record apart.
const hashDigits = 16

// asidePath is where a version that is set aside lies.
func asidePath(kind, id string, data []byte) string {
	ending := ".yaml"
	if kind == KindCase {
		ending = ".jsonl"
	}
	return path.Join(dirAside, kind, id+"."+digest(data)[:hashDigits]+ending)
}

// asideID takes the id out of a path below conflicts.
func asideID(p string) (kind, id string, ok bool) {
	_, rest, _ := strings.Cut(p, "/")
	kind, rest, ok = strings.Cut(rest, "/")
	id = strings.TrimSuffix(rest, path.Ext(rest))
	hash := strings.LastIndex(id, ".")
	if !ok || hash <= 0 || len(id)-hash-1 != hashDigits {
		return "", "", false
	}
	return kind, id[:hash], true
}

// keyAt is the key of the record that a merge put at a path, "" for none.
func keyAt(p string) string {
	dir, name, _ := strings.Cut(p, "/")
	stem := strings.TrimSuffix(name, path.Ext(name))
	r := Record{ID: path.Base(stem)}
	switch dir {
	case dirBook:
		r.Kind = path.Base(path.Dir(p))
	case dirCases:
		r.Kind = KindCase
	case dirRooms:
		r.Kind, r.ID = KindRoom, stem
	case dirVisits:
		r.Kind, r.ID = KindVisit, stem
	case dirHistory:
		r.Kind, r.ID = KindHistory, stem
	case dirAside:
		r.Kind, r.ID, _ = asideID(p)
	}
	if r.Kind == "" {
		return ""
	}
	return r.key()
}

// digest is the SHA-256 in hexadecimal.
func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
