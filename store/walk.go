package store

import (
	"bytes"
	"fmt"
	"iter"

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

// next fills r with the next report that the filter takes; false at the end.
func (w *walk) next(r *catch.Report) (ok bool, err error) {
	defer damaged(&err)
	for k, v := w.step(); k != nil && !w.late(k); k, v = w.step() {
		if err := w.t.s.sealer.decodeRecord(v, r, w.filter.Personal); err != nil {
			return false, fmt.Errorf("report %d: %w", numberAt(k), err)
		}
		w.pass(len(k) + len(v))
		if w.filter.Takes(r) {
			return true, nil
		}
	}
	return false, nil
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
	r := new(catch.Report)
	for n := 0; w.t.tx.Writable() || n < aloneFor; n++ {
		ok, err := w.next(r)
		if err != nil {
			yield(nil, err)
		}
		if !ok || !yield(r, nil) {
			return false
		}
	}
	return true
}

// chunk is some reports in order, and the error that ended the walk after them.
type chunk struct {
	reports []catch.Report
	err     error
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
	full, empty := make(chan chunk, chunks), make(chan []catch.Report, chunks)
	for range chunks {
		empty <- make([]catch.Report, chunkSize)
	}
	go w.fill(full, empty)
	defer func() {
		close(empty)
		for range full { // until fill has closed it
		}
	}()
	for c := range full {
		for i := range c.reports {
			if !yield(&c.reports[i], nil) {
				return
			}
		}
		if c.err != nil {
			yield(nil, c.err)
			return
		}
		empty <- c.reports[:chunkSize]
	}
}

// fill fills empty chunks until the walk or the demand ends.
func (w *walk) fill(full chan<- chunk, empty <-chan []catch.Report) {
	defer close(full)
	for reports := range empty {
		n, err := w.read(reports)
		full <- chunk{reports[:n], err}
		if n < len(reports) {
			return
		}
	}
}

// read fills reports in order and returns how many there were.
func (w *walk) read(reports []catch.Report) (int, error) {
	for n := range reports {
		if ok, err := w.next(&reports[n]); !ok {
			return n, err
		}
	}
	return len(reports), nil
}
