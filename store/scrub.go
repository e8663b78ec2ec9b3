package store

import (
	"bytes"
	"context"
	"errors"
	"os"
	"time"

	bolt "go.etcd.io/bbolt"
)

// What bbolt deletes stays in the file until its room is used again. After somebody was
// forgotten, the pages of the file that nothing stands on are overwritten, a slice at a
// time: writers get in between. That there is something to overwrite stands in the store
// itself, so that a stop in the middle does not leave it, and no start looks for it.
const (
	scrubSlice  = 2048 // pages looked at while writers wait, some milliseconds
	scrubAtOnce = 16   // slices right after somebody was forgotten; more are for Patrol
	firstPage   = 2    // the two before tell where the store is
)

// askToScrub notes in the transaction of a forgetting that pages are to be overwritten.
func (t *Tx) askToScrub() error {
	t.forgot = true
	return t.bucket(bucketMeta).Put(metaScrub, number64(uint64(t.tx.ID())))
}

// resumeScrub goes on with what a stop cut off.
func (s *Store) resumeScrub() error {
	return s.db.View(func(tx *bolt.Tx) error {
		if tx.Bucket(bucketMeta).Get(metaScrub) != nil {
			s.scrubAt.Store(firstPage)
		}
		return nil
	})
}

// scrub goes on overwriting for so many slices, with a pause behind each; it stops where
// a view is open, for that may still read the pages, and is to be called again.
func (s *Store) scrub(ctx context.Context, slices int, wait time.Duration) {
	for range slices {
		if s.scrubAt.Load() == 0 || ctx.Err() != nil {
			return
		}
		var done bool
		err := guarded(func() (err error) { done, err = s.scrubOnce(); return err })
		if err != nil {
			s.log.Error("what was forgotten could not be overwritten in the file", "error", explain(s.path, err))
		}
		if err != nil || !done {
			return
		}
		pause(ctx, wait)
	}
}

// scrubOnce overwrites the free pages of the next slice; done is false where a view is
// open.
//
// A page that is free is free in the last complete transaction, which is the one that a
// program starts with after a crash; what the one before had there is lost, as it is when
// bbolt uses the page again.
func (s *Store) scrubOnce() (done bool, err error) {
	tx, err := s.db.Begin(true) // lets go of what no view needs
	if err != nil {
		return false, err
	}
	defer tx.Rollback()
	from := s.scrubAt.Load()
	if from == 0 || s.db.Stats().OpenTxN > 0 {
		return false, nil
	}
	if from == firstPage {
		s.scrubFor = bytes.Clone(tx.Bucket(bucketMeta).Get(metaScrub))
	}
	next, err := s.overwriteFree(tx, from)
	if err != nil {
		return false, err
	}
	if next < tx.Size()/int64(s.db.Info().PageSize) {
		s.scrubAt.CompareAndSwap(from, next) // else somebody was forgotten meanwhile
		return true, nil
	}
	meta := tx.Bucket(bucketMeta)
	if bytes.Equal(meta.Get(metaScrub), s.scrubFor) {
		s.scrubAt.CompareAndSwap(from, 0)
		return true, errors.Join(meta.Delete(metaScrub), tx.Commit())
	}
	s.scrubAt.Store(firstPage)
	return true, nil
}

// overwriteFree writes zeros over the free pages of a slice that hold something, and says
// where the next begins.
func (s *Store) overwriteFree(tx *bolt.Tx, from int64) (next int64, err error) {
	f, err := os.OpenFile(s.db.Path(), os.O_RDWR, 0)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	size := int64(s.db.Info().PageSize)
	zeros, page, wrote := make([]byte, size), make([]byte, size), false
	last := tx.Size() / size
	id := from
	for ; id < last && id < from+scrubSlice; id++ {
		p, err := tx.Page(int(id))
		if err != nil {
			return 0, err
		}
		if p == nil || p.Type != "free" {
			if p != nil {
				id += int64(p.OverflowCount)
			}
			continue
		}
		if _, err := f.ReadAt(page, id*size); err != nil {
			return 0, err
		}
		if bytes.Equal(page, zeros) {
			continue
		}
		wrote = true
		if _, err := f.WriteAt(zeros, id*size); err != nil {
			return 0, err
		}
	}
	if wrote {
		err = f.Sync()
	}
	return id, err
}
