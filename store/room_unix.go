//go:build linux || darwin

package store

import "syscall"

// readOnlyDisk marks a disk that is mounted to be read only, on both systems.
const readOnlyDisk = 1

// roomIn is how many bytes the disk of a folder has for this user as the system tells, 0
// where it does not or the disk may not be written.
func roomIn(dir string) uint64 {
	var disk syscall.Statfs_t
	if syscall.Statfs(dir, &disk) != nil || disk.Flags&readOnlyDisk != 0 {
		return 0
	}
	return disk.Bavail * uint64(disk.Bsize)
}
