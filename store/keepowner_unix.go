//go:build unix

package store

import (
	"os"
	"path/filepath"
	"syscall"
)

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
