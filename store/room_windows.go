package store

import "golang.org/x/sys/windows"

// roomIn is how many bytes the disk of a folder has for this user as the system tells, 0
// where it does not.
func roomIn(dir string) (free uint64) {
	name, err := windows.UTF16PtrFromString(dir)
	if err != nil || windows.GetDiskFreeSpaceEx(name, &free, nil, nil) != nil {
		return 0
	}
	return free
}
