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

// abandoned is true for a file that nobody holds.
func abandoned(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) == nil
}
