//go:build !linux && !darwin && !windows

package store

// roomIn is 0: the room on the disk of a folder is not known here.
func roomIn(string) uint64 { return 0 }
