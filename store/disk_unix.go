//go:build unix

package store

import "syscall"

// What the operating system says of a disk that takes no more.
var (
	errNoSpace      error = syscall.ENOSPC
	errReadOnlyDisk error = syscall.EROFS
)
