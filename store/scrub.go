package store

import (
	"bytes"
	"errors"
	"os"

	bolt "go.etcd.io/bbolt"
)

// scrub overwrites the pages of the file that nothing stands on any more: bbolt leaves
// what was deleted there until the room is used again. Pages that an open view may still
// read stay for another time; done is false then. It keeps writers out while it works.
//
// A page that is free is free in the last complete transaction, which is the one that a
// program starts with after a crash; what the one before had there is lost, as it is when
// bbolt uses the page again.
func (s *Store) scrub() (done bool, err error) {
	err = guarded(func() error {
		tx, err := s.db.Begin(true) // lets go of what no view needs
		if err != nil {
			return err
		}
		defer tx.Rollback()
		if stats := s.db.Stats(); stats.OpenTxN > 0 {
			return nil
		}
		f, err := os.OpenFile(s.db.Path(), os.O_RDWR, 0)
		if err != nil {
			return err
		}
		err = errors.Join(s.overwriteFree(tx, f), f.Sync(), f.Close())
		done = err == nil
		return err
	})
	return done, explain(s.path, err)
}

// overwriteFree writes zeros over the free pages that hold something.
func (s *Store) overwriteFree(tx *bolt.Tx, f *os.File) error {
	size := s.db.Info().PageSize
	zeros, page := make([]byte, size), make([]byte, size)
	for id := 2; id < int(tx.Size())/size; id++ {
		p, err := tx.Page(id)
		if err != nil {
			return err
		}
		if p == nil || p.Type != "free" {
			if p != nil {
				id += p.OverflowCount
			}
			continue
		}
		at := int64(id) * int64(size)
		if _, err := f.ReadAt(page, at); err != nil {
			return err
		}
		if bytes.Equal(page, zeros) {
			continue
		}
		if _, err := f.WriteAt(zeros, at); err != nil {
			return err
		}
	}
	return nil
}

// scrubIfAsked does so when somebody was forgotten since.
func (s *Store) scrubIfAsked() {
	if !s.health.forgot.CompareAndSwap(true, false) {
		return
	}
	done, err := s.scrub()
	if err != nil {
		s.log.Error("what was forgotten could not be overwritten in the file", "error", err)
	}
	if !done {
		s.health.forgot.Store(true)
	}
}
