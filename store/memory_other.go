//go:build !linux

package store

const (
	notNeeded = iota
	inOrder
	atRandom
)

// advise: elsewhere the system does as it likes with the pages of the file.
func (t *Tx) advise(int) {}
