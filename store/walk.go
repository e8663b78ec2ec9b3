package store

import (
	"bytes"
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
	cursor *bolt.Cursor
	begun  bool
	// until is the first key that is too late, nil if none is.
	until []byte
	// passed counts the bytes since the pages of the file were last let go.
	passed int
}

func (t *Tx) walk(f catch.Filter) *walk {
	w := &walk{t: t, filter: f, cursor: t.bucket(bucketReports).Cursor()}
	if !f.To.IsZero() {
		w.until = signed64(f.To.Unix() + 1)
	}
	return w
}

// next fills r with the next report that the filter takes; false at the end, and
// after an error other than *catch.Damaged.
func (w *walk) next(r *catch.Report) (ok bool, err error) {
	defer damaged(&err)
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	for k, v := w.step(); k != nil && !w.late(k); k, v = w.step() {
		w.pass(len(k) + len(v))
		if err := w.entry(k, v, r); err != nil {
			return false, &catch.Damaged{Number: numberAt(k), Err: err}
		}
		if w.filter.Takes(r) {
			return true, nil
		}
	}
	return false, nil
}

// entry reads the record that lies under a key, which must be its own.
func (w *walk) entry(k, v []byte, r *catch.Report) error {
	if err := w.t.s.sealer.decodeRecord(v, r, w.filter.Personal); err != nil {
		return err
	}
	if !bytes.Equal(k, reportKey(r)) {
		return errRecord
	}
	return nil
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
const window = 1 << 20

// pass counts what was read and now and then lets the pages behind go.
func (w *walk) pass(n int) {
	if w.passed += n; w.passed > window {
		w.t.advise(notNeeded)
		w.passed = 0
	}
}

// aloneFor is how many reports are read before a second goroutine pays.
const aloneFor = 256

// alone reads the first reports, or all of them where the transaction may write:
// that one must not be used from two goroutines. It reports whether to go on.
func (w *walk) alone(yield func(*catch.Report, error) bool) bool {
	var f found
	for n := 0; w.t.tx.Writable() || n < aloneFor; n++ {
		if !w.find(&f) || !f.give(yield) {
			return false
		}
	}
	return true
}

// found is one step of a walk: a report, or why there is none.
type found struct {
	report catch.Report
	err    error
	// last is true after an error that ends the walk.
	last bool
}

// find fills f with the next step; false at the end.
func (w *walk) find(f *found) bool {
	ok, err := w.next(&f.report)
	var one *catch.Damaged
	f.err, f.last = err, err != nil && !errors.As(err, &one)
	return ok || err != nil
}

// give hands a step to the loop; false when the walk is over.
func (f *found) give(yield func(*catch.Report, error) bool) bool {
	if f.err != nil {
		return yield(nil, f.err) && !f.last
	}
	return yield(&f.report, nil)
}

const (
	chunkSize = 128
	chunks    = 4
)

// ahead reads the rest on a goroutine of its own, a few chunks before the caller.
// The goroutine has ended when ahead returns, however the caller leaves the loop:
// it must not touch the file after the transaction.
func (w *walk) ahead(yield func(*catch.Report, error) bool) {
	w.t.advise(inOrder)
	defer w.t.advise(atRandom)
	full, empty := make(chan []found, chunks), make(chan []found, chunks)
	for range chunks {
		empty <- make([]found, chunkSize)
	}
	go w.fill(full, empty)
	defer func() {
		close(empty)
		for range full { // until fill has closed it
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

// fill fills empty chunks until the walk or the demand ends.
func (w *walk) fill(full chan<- []found, empty <-chan []found) {
	defer close(full)
	for chunk := range empty {
		n := w.read(chunk)
		full <- chunk[:n]
		if n < len(chunk) {
			return
		}
	}
}

// read fills a chunk in order and returns how many steps there were.
func (w *walk) read(chunk []found) int {
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
