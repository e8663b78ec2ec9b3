package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	bolt "go.etcd.io/bbolt"

	"deepward/store/unfinished"
)

// BackupInUse copies a store that another process has open for writing; Backup
// is for a store that this process has open. The copy is checked as there.
//
// The other process's lock cannot be had, so the file is copied without it and
// the copy counts only if no transaction was completed meanwhile. That is enough:
// bbolt never writes over the pages of the last complete transaction, and writes
// over those of the one before only after completing another. ErrInUse if the
// store was too busy each time.
func BackupInUse(ctx context.Context, from, to string, o Options) error {
	o = o.withDefaults()
	if sameFile(from, to) {
		return explain(to, ErrSameFile)
	}
	if err := present(from); err != nil {
		return err
	}
	key, err := loadKey(o.KeyFile, false)
	if err != nil {
		return fmt.Errorf("%s: %w", o.KeyFile, err)
	}
	s := &Store{sealer: newSealer(key), now: o.Now, log: o.Log, path: from}
	return s.copyTo(ctx, to, func(temp *os.File) error { return copyQuiet(ctx, from, temp) })
}

// OpenCopy opens a copy of this moment of a store that another process has open; it is
// gone when it is closed.
func OpenCopy(ctx context.Context, path string, o Options) (*Store, error) {
	temp, err := unfinished.Beside(path, unfinished.Copy) // where there is room for one
	if err != nil {
		temp, err = os.CreateTemp("", unfinished.Copy)
	}
	if err != nil {
		return nil, explain(path, err)
	}
	defer os.Remove(temp.Name()) // an open file outlasts its name
	if err := errors.Join(temp.Close(), BackupInUse(ctx, path, temp.Name(), o)); err != nil {
		return nil, err
	}
	return Open(temp.Name(), o)
}

const (
	copyTries = 20
	copyPause = 50 * time.Millisecond
)

// copyQuiet copies the file at a moment at which nothing is completed in it.
func copyQuiet(ctx context.Context, from string, to *os.File) error {
	source, err := os.Open(from)
	if err != nil {
		return err
	}
	defer source.Close()
	for range copyTries {
		quiet, err := copyOnce(source, to)
		if quiet || err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(copyPause):
		}
	}
	return ErrInUse
}

// headSize is enough of a file to hold both of the pages that say which
// transaction was completed last, for pages of up to 64 kB.
const headSize = 128 << 10

// copyOnce copies the head, then the rest, then looks at the head again.
func copyOnce(from, to *os.File) (quiet bool, err error) {
	head, err := readHead(from)
	if err != nil {
		return false, err
	}
	before, size, err := completed(head)
	if err != nil {
		return false, err
	}
	if err := to.Truncate(0); err != nil {
		return false, err
	}
	if _, err := to.WriteAt(head, 0); err != nil {
		return false, err
	}
	have := int64(len(head))
	rest := io.NewSectionReader(from, have, max(0, size-have))
	if _, err := io.Copy(io.NewOffsetWriter(to, have), rest); err != nil {
		return false, err
	}
	if head, err = readHead(from); err != nil {
		return false, err
	}
	after, _, err := completed(head)
	return before == after, err
}

func readHead(from *os.File) ([]byte, error) {
	head := make([]byte, headSize)
	n, err := from.ReadAt(head, 0)
	if errors.Is(err, io.EOF) {
		err = nil // a small store
	}
	return head[:n], err
}

// completed is the number of the last complete transaction that a head tells of,
// and the size of the file in bytes, read by bbolt itself.
func completed(head []byte) (id int, size int64, err error) {
	temp, err := os.CreateTemp("", "deepward-head-*")
	if err != nil {
		return 0, 0, err
	}
	defer os.Remove(temp.Name())
	_, err = temp.Write(head)
	if err := errors.Join(err, temp.Close()); err != nil {
		return 0, 0, err
	}
	db, err := openRaw(temp.Name(), true)
	if err != nil {
		return 0, 0, err
	}
	err = db.View(func(tx *bolt.Tx) error { id, size = tx.ID(), tx.Size(); return nil })
	return id, size, errors.Join(err, db.Close())
}
