// Package unfinished makes files that are not finished yet. Such a file has a name of its
// own in the folder of the one it is to become, and whoever writes it holds a lock on it,
// which ends with the process: what nobody holds was left by one that was killed.
package unfinished

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// What is in the making; the names are those of os.CreateTemp.
const (
	Copy  = ".deepward-copy-*"
	Store = ".deepward-new-*"
	Key   = ".deepward-key-*"
	Part  = ".deepward-part-*"
)

// Beside makes a file with mode 0600 that is to become path, and holds it until it is
// closed; name is one of those above.
func Beside(path, name string) (*os.File, error) {
	for {
		f, err := os.CreateTemp(filepath.Dir(path), name)
		if err != nil || begin(f) {
			return f, err
		}
		_ = f.Close() // taken for abandoned before it was held
	}
}

// Drop removes what killed processes left in a folder.
func Drop(dir string) (err error) {
	for _, name := range []string{Copy, Store, Key, Part} {
		list, _ := filepath.Glob(filepath.Join(dir, name))
		for _, path := range list {
			if e := dropAbandoned(path); !errors.Is(e, fs.ErrNotExist) { // another may have been faster
				err = errors.Join(err, e)
			}
		}
	}
	return err
}
