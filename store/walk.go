package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"iter"
	"runtime/debug"

	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// Reports walks the reports that the filter takes, by time, in constant memory.
// The same Report may be filled again for a later step: copy the struct of what
// you keep (what it points to is never reused). Reports must not be changed
// while they are walked.
func (t *Tx) Reports(f catch.Filter) iter.Seq2[*catch.Report, error] {
	return func(yield func(*catch.Report, error) bool) {
		w := t.walk(f)
		if more := w.alone(yield); more {
			w.ahead(yield)
		}
	}
}

// NoteDamaged logs that a report was left out because it cannot be read.
func (s *Store) NoteDamaged(number uint64) {
	s.log.Error("a damaged report is left out; restore a backup, or deepward backup --salvage", "report", number)
}

// walk is one pass over the reports.
type walk struct {
	t      *Tx
	filter catch.Filter
	reader *recordReader
	cursor *bolt.Cursor
	begun  bool
	// until is the first key that is too late, nil if none is.
	until []byte
	// passed counts the bytes since the pages of the file were last let go.
	passed int
}

func (t *Tx) walk(f catch.Filter) *walk {
	w := &walk{t: t, filter: f, reader: newRecordReader(t.s.sealer), cursor: t.bucket(bucketReports).Cursor()}
	if !f.To.IsZero() {
		w.until = signed64(f.To.Unix() + 1)
	}
	return w
}

// entry is a record under its key, as it lies in the file.
type entry struct{ key, record []byte }

// next is the next entry that is not too late; false at the end.
func (w *walk) next() (e entry, ok bool, err error) {
	defer damaged(&err)
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	if e.key, e.record = w.step(); e.key == nil || w.late(e.key) {
		return e, false, nil
	}
	w.pass(len(e.key) + len(e.record))
	return e, true, nil
}

// read fills r from an entry, whose key must be its own, and says whether the filter takes
// it. A record that makes no sense is *catch.Damaged.
func (w *walk) read(e entry, r *catch.Report) (taken bool, err error) {
	defer damaged(&err)
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	err = w.reader.read(e.record, r, w.filter.Personal)
	if err == nil && !isKeyOf(e.key, r) {
		err = errRecord
	}
	if err != nil {
		return false, &catch.Damaged{Number: numberAt(e.key), Err: err}
	}
	return w.filter.Takes(r), nil
}

// isKeyOf is whether a report lies under that key.
func isKeyOf(key []byte, r *catch.Report) bool {
	return len(key) == 16 && binary.BigEndian.Uint64(key) == uint64(r.CaughtAt.Unix())^1<<63 && binary.BigEndian.Uint64(key[8:]) == r.Number
}

// step moves the cursor to the first or the next record.
func (w *walk) step() (k, v []byte) {
	switch {
	case w.begun:
		return w.cursor.Next()
	case w.filter.From.IsZero():
		w.begun = true
		return w.cursor.First()
	default:
		w.begun = true
		return w.cursor.Seek(signed64(w.filter.From.Unix()))
	}
}

func (w *walk) late(key []byte) bool { return w.until != nil && bytes.Compare(key, w.until) >= 0 }

// writeWindow is how many bytes are written before the pages are let go that were read for
// them: what is written in many places finds most of them again.
const writeWindow = 4 << 20

// letGo lets the pages go that were read for what was written.
func (t *Tx) letGo() {
	if t.s.touched > writeWindow {
		t.advise(notNeeded)
		t.s.touched = 0
	}
}

// window is how many bytes of the file a walk keeps in memory.
const window = 4 << 20

// pass counts what was read and now and then lets the pages behind go.
func (w *walk) pass(n int) {
	if w.passed += n; w.passed > window {
		w.t.advise(notNeeded)
		w.passed = 0
	}
}

// aloneFor is how many reports are read before other goroutines pay.
const aloneFor = 256

// alone reads the first reports, or all of them where the transaction may write:
// that one must not be used from two goroutines. It reports whether to go on.
func (w *walk) alone(yield func(*catch.Report, error) bool) bool {
	var f found
	for n := 0; w.t.tx.Writable() || n < aloneFor; n++ {
		if !w.find(&f) {
			return false
		}
		if w.fill(&f); !f.give(yield) {
			return false
		}
	}
	return true
}

// found is one step of a walk: an entry, and what was read of it.
type found struct {
	entry
	report catch.Report
	taken  bool
	err    error
	// last is true after an error that ends the walk.
	last bool
}

// find looks for the next entry; false at the end.
func (w *walk) find(f *found) bool {
	var ok bool
	f.entry, ok, f.err = w.next()
	f.last = f.err != nil
	return ok || f.last
}

// fill reads the entry that was found.
func (w *walk) fill(f *found) {
	if f.err != nil {
		return
	}
	var one *catch.Damaged
	f.taken, f.err = w.read(f.entry, &f.report)
	f.last = f.err != nil && !errors.As(f.err, &one)
}

// give hands a step to the loop; false when the walk is over.
func (f *found) give(yield func(*catch.Report, error) bool) bool {
	switch {
	case f.err != nil:
		return yield(nil, f.err) && !f.last
	case f.taken:
		return yield(&f.report, nil)
	}
	return true
}

const (
	chunkSize = 128
	chunks    = 6
)

// ahead reads the rest on two goroutines of its own, one along the file and one through the
// records, some chunks before the caller. Both have ended when ahead returns, however the
// caller leaves the loop: they must not touch the file after the transaction.
func (w *walk) ahead(yield func(*catch.Report, error) bool) {
	w.t.advise(inOrder)
	defer w.t.advise(atRandom)
	full, raw, empty := make(chan []found, chunks), make(chan []found, chunks), make(chan []found, chunks)
	for range chunks {
		empty <- make([]found, chunkSize)
	}
	go w.along(raw, empty)
	go w.through(full, raw)
	defer func() {
		close(empty)
		for range full { // until through has closed it
		}
	}()
	for chunk := range full {
		for i := range chunk {
			if !chunk[i].give(yield) {
				return
			}
		}
		empty <- chunk[:chunkSize]
	}
}

// along puts entries into empty chunks until the walk or the demand ends.
func (w *walk) along(raw chan<- []found, empty <-chan []found) {
	defer close(raw)
	for chunk := range empty {
		n := w.gather(chunk)
		raw <- chunk[:n]
		if n < len(chunk) {
			return
		}
	}
}

// gather fills a chunk in order and returns how many steps there were.
func (w *walk) gather(chunk []found) int {
	for n := range chunk {
		if !w.find(&chunk[n]) {
			return n
		}
		if chunk[n].last {
			return n + 1
		}
	}
	return len(chunk)
}

// through reads the entries of chunks.
func (w *walk) through(full chan<- []found, raw <-chan []found) {
	defer close(full)
	for chunk := range raw {
		for i := range chunk {
			w.fill(&chunk[i])
		}
		full <- chunk
	}
}
