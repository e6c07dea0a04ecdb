package cases

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// disk is the part of the operating system that writing needs; tests replace
// single steps to make them fail.
type disk struct {
	create  func(dir string) (*os.File, error)
	write   func(f *os.File, data []byte) error
	sync    func(f *os.File) error
	rename  func(from, to string) error
	link    func(from, to string) error
	syncDir func(dir string) error
}

func realDisk() disk {
	return disk{
		create: createTemporary,
		write: func(f *os.File, data []byte) error {
			_, err := f.Write(data)
			return err
		},
		sync:    (*os.File).Sync,
		rename:  os.Rename,
		link:    os.Link,
		syncDir: syncDir,
	}
}

// createTemporary opens a new file beside the one to be written. The umask
// decides who may read it, as for any file of the user: folders may be shared.
func createTemporary(dir string) (*os.File, error) {
	return os.OpenFile(filepath.Join(dir, temporary+letters()+letters()), os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o644)
}

// unfinishedAge is how old a file of an unfinished write must be to be taken for
// what a killed program left: writing takes a moment.
const unfinishedAge = time.Hour

// SweepUnfinished removes a file that a killed program left unfinished, if that
// is what the path names: the folder's other files are left alone. A failure
// does not matter, the next one tries again.
func SweepUnfinished(path string) {
	if !strings.HasPrefix(filepath.Base(path), temporary) {
		return
	}
	if info, err := os.Lstat(path); err == nil && info.Mode().IsRegular() && time.Since(info.ModTime()) > unfinishedAge {
		os.Remove(path)
	}
}

// WriteFile puts data into path so that after a crash at any moment the old or
// the new file is there, whole: a temporary file in the same folder, write,
// flush, rename, flush of the folder. With fresh it refuses to replace a file.
func WriteFile(path string, data []byte, fresh bool) error {
	return realDisk().writeFile(path, data, fresh, nil)
}

// ReplaceFile is WriteFile over a file that is known: check is called at the
// last moment before the old file goes, and its error keeps that.
func ReplaceFile(path string, data []byte, check func() error) error {
	return realDisk().writeFile(path, data, false, check)
}

func (d disk) writeFile(path string, data []byte, fresh bool, check func() error) (err error) {
	dir := filepath.Dir(path)
	f, err := d.create(dir)
	if err != nil {
		return fmt.Errorf("write %s: %w; is the folder writable?", path, err)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err = d.write(f, data); err != nil {
		return fmt.Errorf("write %s: %w; the file there before is untouched", path, err)
	}
	if err = d.sync(f); err != nil {
		return fmt.Errorf("flush %s: %w; the file there before is untouched", path, err)
	}
	if err = f.Close(); err != nil {
		return fmt.Errorf("close %s: %w; the file there before is untouched", path, err)
	}
	if check != nil {
		if err = check(); err != nil {
			return err
		}
	}
	if err = d.place(f.Name(), path, fresh); err != nil {
		return err
	}
	if err = d.syncDir(dir); err != nil {
		return fmt.Errorf("flush folder of %s: %w", path, err)
	}
	return nil
}

// place moves the finished file to its name.
func (d disk) place(from, to string, fresh bool) error {
	if !fresh {
		if err := d.rename(from, to); err != nil {
			return fmt.Errorf("put %s in place: %w; the file there before is untouched", to, err)
		}
		return nil
	}
	err := d.link(from, to) // unlike rename, never replaces
	if os.IsExist(err) {
		return fmt.Errorf("%s exists already and was left as it is: %w", to, os.ErrExist)
	}
	if err != nil { // a file system without links
		if _, statErr := os.Lstat(to); statErr == nil {
			return fmt.Errorf("%s exists already and was left as it is: %w", to, os.ErrExist)
		}
		if err := d.rename(from, to); err != nil {
			return fmt.Errorf("put %s in place: %w", to, err)
		}
		return nil
	}
	if err := os.Remove(from); err != nil {
		return fmt.Errorf("tidy %s: %w", from, err)
	}
	return nil
}

// syncDir flushes the entry of a new name; Windows has no such call.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Sync()
}
