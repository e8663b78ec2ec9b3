package store

import (
	"encoding/binary"
	"errors"
	"io"
	"os"
	"unicode"
)

// ErrPrecious: what is to be written would take the place of a store or a key.
var ErrPrecious = errors.New("that file is a store or a key of deepward and is not written over; name another file")

// boltMagic stands behind the head of the first page of every bbolt file.
const (
	boltMagic  = 0xED0CDAED
	boltHeadAt = 16 // bytes
)

// MayReplace refuses, with ErrPrecious, a file that is a store or a key by what it
// holds, whatever it is called and whoever has it open.
func MayReplace(path string) error {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return nil // nothing is there, or writing says what is wrong
	}
	f, err := os.Open(path)
	if err != nil {
		return explain(path, err)
	}
	defer f.Close()
	head := make([]byte, keySize+1)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return explain(path, err)
	}
	if isStoreHead(head[:n]) || n == keySize && !isText(head[:n]) {
		return explain(path, ErrPrecious)
	}
	return nil
}

func isStoreHead(head []byte) bool {
	return len(head) >= boltHeadAt+4 && binary.NativeEndian.Uint32(head[boltHeadAt:]) == boltMagic
}

// isText is false for random bytes, as a key has.
func isText(data []byte) bool {
	for _, r := range string(data) {
		if r == unicode.ReplacementChar || !unicode.IsPrint(r) && !unicode.IsSpace(r) {
			return false
		}
	}
	return true
}
