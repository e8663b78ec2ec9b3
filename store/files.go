package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// publish gives a finished file its name, in the place of what had it, and makes
// sure the name is on disk.
func publish(temp, path string) error {
	if err := os.Rename(temp, path); err != nil {
		return err
	}
	return syncDir(filepath.Dir(path))
}

// publishNew does so only where nothing has the name yet, else fs.ErrExist: two
// programs that start together must not replace each other's file or key.
func publishNew(temp, path string) error {
	err := os.Link(temp, path)
	if errors.Is(err, fs.ErrExist) {
		return err
	}
	if err != nil { // a file system without links
		return publish(temp, path)
	}
	return syncDir(filepath.Dir(path))
}

// begunAnew makes a file once more where another program, that starts at the same moment, took
// the unfinished one for abandoned between its last word and its name.
func begunAnew(begin func() error) (err error) {
	const tries = 10
	for range tries {
		if err = begin(); !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return err
}

func syncDir(path string) error {
	dir, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(ignoreUnsupported(dir.Sync()), dir.Close())
}

// sameFile reports whether both names lead to one file.
func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}
