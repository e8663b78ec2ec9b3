//go:build !unix

package store

import (
	"errors"
	"os"
	"syscall"
)

// addressSpace is not reserved here: the file itself would be made that large.
const addressSpace = 0

var errReadOnlyDisk = errors.New("read-only file system")

// errNoSpace is how Windows numbers a full disk: ERROR_DISK_FULL.
const errNoSpace = syscall.Errno(112)

func giveBack(string) string { return "" }

func noRoom(err error) bool { return errors.Is(err, errNoSpace) }

// ignoreUnsupported: a folder cannot be synced here.
func ignoreUnsupported(error) error { return nil }

// unlock: here a lock ends with its file.
func unlock(*os.File) {}
