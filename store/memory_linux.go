package store

import "syscall"

// What the system can be told of the pages of the file. All of it is advice:
// that it was not taken changes nothing but speed and memory.
const (
	notNeeded = syscall.MADV_DONTNEED
	inOrder   = syscall.MADV_SEQUENTIAL
	atRandom  = syscall.MADV_RANDOM // as bbolt has it
)

// advise tells the system how the file, as the transaction sees it, is used. To
// the system the pages of the file that were read are this program's memory:
// those that are not needed stay in its cache and come back when they are read.
func (t *Tx) advise(advice uintptr) {
	syscall.Syscall(syscall.SYS_MADVISE, t.tx.DB().Info().Data, uintptr(t.tx.Size()), advice)
}
