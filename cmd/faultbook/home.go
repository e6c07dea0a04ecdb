package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sort"

	"faultbook/kb"
)

// home is the folder of the user's own entries, cases and room sheets:
// FAULTBOOK_HOME, else the platform's data folder.
// A file in its place is an error.
func home() (string, error) {
	dir, err := homeName()
	if err != nil {
		return "", err
	}
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return "", wrongUse("the data folder %s is a file: move it away, or set FAULTBOOK_HOME to a folder of yours", dir)
	}
	return dir, nil
}

func homeName() (string, error) {
	if dir := os.Getenv("FAULTBOOK_HOME"); dir != "" {
		return filepath.Abs(dir)
	}
	user, err := os.UserHomeDir()
	if err != nil {
		return "", wrongUse("no data folder: %w; set FAULTBOOK_HOME to a folder of yours", err)
	}
	switch runtime.GOOS {
	case "windows":
		if dir := os.Getenv("LocalAppData"); dir != "" {
			return filepath.Join(dir, "faultbook"), nil
		}
		return filepath.Join(user, "AppData", "Local", "faultbook"), nil
	case "darwin":
		return filepath.Join(user, "Library", "Application Support", "faultbook"), nil
	}
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "faultbook"), nil
	}
	return filepath.Join(user, ".local", "share", "faultbook"), nil
}

// cacheFolder is where the index lies; it can be thrown away.
func cacheFolder() (string, error) {
	dir, err := os.UserCacheDir()
	if err != nil {
		return "", fmt.Errorf("no cache folder: %w", err)
	}
	return filepath.Join(dir, "faultbook"), nil
}

// openBook lays the user's own entries over the built-in book. Entries of the
// user that cannot be used are reported and left out; the built-in book always
// works.
func openBook(s streams) (*kb.Book, error) {
	base, err := kb.Builtin()
	if err != nil {
		return nil, err
	}
	dir, err := home()
	if err != nil {
		return nil, err
	}
	own := filepath.Join(dir, "book")
	info, err := os.Stat(own)
	if os.IsNotExist(err) {
		return base, nil
	}
	if err == nil && !info.IsDir() {
		fmt.Fprintf(s.Err, "faultbook: %s is no folder: move it away; the built-in book is used alone\n", own)
		return base, nil
	}
	over, findings := kb.Load(os.DirFS(own), own)
	book, more := kb.Usable(base, over)
	findings = append(findings, more...)
	sort.SliceStable(findings, func(i, j int) bool { return findings[i].File < findings[j].File })
	for _, f := range findings {
		if f.Level == kb.LevelError {
			fmt.Fprintf(s.Err, "%s\n", f)
		}
	}
	if n := kb.CountErrors(findings); n > 0 {
		fmt.Fprintf(s.Err, "faultbook: %d findings in your own book: what they touch is left out, the rest is used. `faultbook check` shows all.\n", n)
	}
	return book, nil
}

// folderFS opens a folder of entries for reading.
func folderFS(dir string) (fs.FS, error) {
	info, err := os.Stat(dir)
	if err != nil {
		return nil, wrongUse("open %s: %w", dir, err)
	}
	if !info.IsDir() {
		return nil, wrongUse("%s is not a folder of entries", dir)
	}
	return os.DirFS(dir), nil
}
