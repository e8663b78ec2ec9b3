package export

import (
	"archive/zip"
	"compress/flate"
	"io"
	"sync/atomic"
)

// packing is how hard the files in a zip are packed, from 1 to 9: beyond it the logs measured
// here get a tenth smaller and take twice the time.
const packing = 3

// newZip begins a zip.
func newZip(w io.Writer) *zip.Writer {
	z := zip.NewWriter(w)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, packing) })
	return z
}

// behind writes what it is given on a goroutine of its own, which packs it while the next is
// made. It must be closed.
type behind struct {
	full, empty chan []byte
	ended       chan error
	failed      atomic.Bool
	closed      bool
	err         error // once closed
}

// pagesBehind is how many pages wait to be written.
const pagesBehind = 8

func newBehind(w io.Writer) *behind {
	b := &behind{full: make(chan []byte, pagesBehind), empty: make(chan []byte, pagesBehind), ended: make(chan error, 1)}
	for range pagesBehind {
		b.empty <- nil
	}
	go b.run(w)
	return b
}

func (b *behind) run(w io.Writer) {
	var err error
	for page := range b.full {
		if err == nil {
			_, err = w.Write(page)
			b.failed.Store(err != nil)
		}
		b.empty <- page[:0]
	}
	b.ended <- err
}

// Write takes a copy of the page.
func (b *behind) Write(page []byte) (int, error) {
	if b.failed.Load() {
		return 0, b.Close()
	}
	b.full <- append(<-b.empty, page...)
	return len(page), nil
}

// Close waits until all is written and returns what went wrong on the way.
func (b *behind) Close() error {
	if !b.closed {
		b.closed = true
		close(b.full)
		b.err = <-b.ended
	}
	return b.err
}

// writeBehind writes through such a goroutine.
func writeBehind(w io.Writer, write func(io.Writer) error) error {
	b := newBehind(w)
	err := write(b)
	if closed := b.Close(); err == nil {
		err = closed
	}
	return err
}
