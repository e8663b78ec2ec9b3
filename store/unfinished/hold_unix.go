//go:build unix

package unfinished

import (
	"os"
	"syscall"
)

// Hold marks a file as being written until it is closed. The lock is shared, for bbolt
// locks what it reads in the same way; where there are no locks, nothing is ever taken
// for abandoned.
func Hold(f *os.File) { _ = syscall.Flock(int(f.Fd()), syscall.LOCK_SH|syscall.LOCK_NB) }

// begin holds a file that was just made; false where it was cleared away before.
func begin(f *os.File) bool {
	_ = syscall.Flock(int(f.Fd()), syscall.LOCK_SH) // waits for one that clears away
	_, err := os.Lstat(f.Name())
	return err == nil
}

// dropAbandoned removes a file that nobody holds. It is locked until it is gone, so that
// nobody begins to hold it meanwhile.
func dropAbandoned(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer f.Close()
	if syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) != nil {
		return nil
	}
	return os.Remove(path)
}
