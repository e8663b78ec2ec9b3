// Package packed has to do with data files that are compiled in packed, each beside the
// file that it was made of: people read and change that one, go generate packs it anew,
// and a test holds the two equal. Files of words and figures become a third to a tenth of
// their size.
package packed

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"io"
	"os"
	"strings"
)

// Pack makes the packed form (RFC 1952) of a file; the same bytes give the same form.
func Pack(raw []byte) []byte {
	var packed bytes.Buffer
	w, _ := gzip.NewWriterLevel(&packed, gzip.BestCompression) // that level is known
	w.Write(raw)                                               // memory takes everything
	w.Close()
	return packed.Bytes()
}

// File packs the named file into one beside it, its name and .gz.
func File(name string) error {
	raw, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	return os.WriteFile(name+".gz", Pack(raw), 0o644)
}

// Open unpacks what is compiled in: a fault in it is a fault of the build, and panics.
// The size stands in the last four bytes (RFC 1952, 2.3.1), so that no room is taken
// twice.
func Open(packed []byte) []byte {
	raw := make([]byte, sizeOf(packed))
	unpack(packed, func(r io.Reader) error { _, err := io.ReadFull(r, raw); return err })
	return raw
}

// Text unpacks what is compiled in as Open does, to be read only.
func Text(packed []byte) string {
	var raw strings.Builder
	raw.Grow(sizeOf(packed))
	unpack(packed, func(r io.Reader) error { _, err := io.Copy(&raw, r); return err })
	return raw.String()
}

func sizeOf(packed []byte) int { return int(binary.LittleEndian.Uint32(packed[len(packed)-4:])) }

func unpack(packed []byte, take func(io.Reader) error) {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err == nil {
		err = take(r)
	}
	if err != nil {
		panic("packed: a file that is compiled in: " + err.Error())
	}
}
