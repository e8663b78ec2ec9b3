//go:build unix

package store

import (
	"os"
	"path/filepath"
	"syscall"
)

// hold marks a file as being written until it is closed. The lock is shared, for bbolt
// locks what it reads in the same way; where there are no locks, nothing is ever taken
// for abandoned.
func hold(f *os.File) { _ = syscall.Flock(int(f.Fd()), syscall.LOCK_SH|syscall.LOCK_NB) }

// abandoned is true for a file that nobody holds.
func abandoned(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) == nil
}

// keepOwner gives a file that root made to the owner of the one whose place it is to take,
// or of the folder where there is none: the service could not read it otherwise.
func keepOwner(made, like string) {
	if os.Geteuid() != 0 {
		return
	}
	info, err := os.Stat(like)
	if err != nil {
		info, err = os.Stat(filepath.Dir(like))
	}
	if err != nil {
		return
	}
	if owner, ok := info.Sys().(*syscall.Stat_t); ok {
		_ = os.Chown(made, int(owner.Uid), int(owner.Gid)) // what cannot be given is told when it is opened
	}
}
