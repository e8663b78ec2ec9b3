package store

import (
	"os"
	"path/filepath"
)

// A file that is not finished has a name of its own, and whoever writes it holds a lock on
// it, which ends with the process: what nobody holds was left by one that was killed.
const (
	copyName  = ".deepward-copy-*"
	storeName = ".deepward-new-*"
	keyName   = ".deepward-key-*"
)

// beside makes a file that is not finished, in the folder of the one it is to become.
func beside(path, name string) (*os.File, error) {
	f, err := os.CreateTemp(filepath.Dir(path), name) // made with mode 0600
	if err == nil {
		hold(f)
	}
	return f, err
}

// dropUnfinished removes what a killed process left in a folder.
func (s *Store) dropUnfinished(dir string) {
	for _, name := range []string{copyName, storeName, keyName} {
		list, _ := filepath.Glob(filepath.Join(dir, name))
		for _, path := range list {
			if !abandoned(path) {
				continue
			}
			if err := os.Remove(path); err != nil {
				s.log.Warn("a file that a killed process left cannot be removed", "error", err)
			}
		}
	}
}
