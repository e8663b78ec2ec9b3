package store

import "syscall"

// letGo advises the system that a part of the address space, mapped from a file,
// is not needed now. It is advice: that it failed changes nothing.
func letGo(address uintptr, size int64) {
	syscall.Syscall(syscall.SYS_MADVISE, address, uintptr(size), syscall.MADV_DONTNEED)
}
