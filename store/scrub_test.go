package store

import (
	"bytes"
	"errors"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// What a person was forgotten with is nowhere in the file afterwards, not even sealed; a
// view that was open meanwhile sees what it saw.
func TestForgottenPersonIsOverwrittenInTheFile(t *testing.T) {
	s := opened(t, 30)
	var records [][]byte
	person := fullReport().Personal.Person
	require.NoError(t, s.View(func(tx *Tx) error {
		list, err := tx.ReportsByPerson(person, 0)
		require.Len(t, list, 30)
		for _, r := range list {
			record := tx.bucket(bucketReports).Get(reportKey(r))
			records = append(records, bytes.Clone(record[len(record)-40:])) // of the sealed part
		}
		return err
	}))
	left := func() (n int) {
		data, err := os.ReadFile(s.path)
		require.NoError(t, err)
		for _, r := range records {
			if bytes.Contains(data, r) {
				n++
			}
		}
		return n
	}
	require.Equal(t, 30, left())
	view, err := s.db.Begin(false)
	require.NoError(t, err)
	require.NoError(t, s.Update(func(tx *Tx) error { _, err := tx.ForgetPerson(person); return err }))
	assert.Positive(t, left(), "an open view may still read it")
	n := 0
	require.NoError(t, view.Bucket(bucketReports).ForEach(func(_, v []byte) error {
		n++
		return s.sealer.decodeRecord(v, new(catch.Report), true)
	}))
	assert.Equal(t, 30, n)
	require.NoError(t, view.Rollback())
	s.scrub(t.Context(), scrubAtOnce, 0)
	assert.Zero(t, left())
	assert.Zero(t, s.scrubAt.Load(), "nothing is left to do")
	require.NoError(t, s.View(func(tx *Tx) error { assert.Nil(t, tx.bucket(bucketMeta).Get(metaScrub)); return nil }))
	require.NoError(t, s.Check(t.Context()))
	require.NoError(t, s.db.Update(func(tx *bolt.Tx) error { return nil }))
	require.NoError(t, s.Check(t.Context()))
}

// A stop before the pages were overwritten is made good after the next start, a slice of
// the file at a time.
func TestOverwritingGoesOnAfterAStop(t *testing.T) {
	t.Parallel()
	s := opened(t, 30)
	const large = 3 * scrubSlice * 4096 // bytes, so that there are several slices
	secret := bytes.Repeat([]byte("of somebody "), 10)
	require.NoError(t, s.db.Update(func(tx *bolt.Tx) error {
		return tx.Bucket(bucketState).Put([]byte("large"), append(make([]byte, large), secret...))
	}))
	view, err := s.db.Begin(false)
	require.NoError(t, err)
	require.NoError(t, s.Update(func(tx *Tx) error {
		_, err := tx.ForgetPerson(7)
		return errors.Join(err, tx.bucket(bucketState).Delete([]byte("large")))
	}))
	require.NoError(t, view.Rollback())
	holds := func() bool {
		data, err := os.ReadFile(s.path)
		require.NoError(t, err)
		return bytes.Contains(data, secret)
	}
	require.True(t, holds())
	s.scrubAt.Store(0) // as after a start
	require.NoError(t, s.resumeScrub())
	done, err := s.scrubOnce()
	require.NoError(t, err)
	require.True(t, done)
	assert.Greater(t, s.scrubAt.Load(), int64(firstPage), "a slice is not the whole file")
	s.patrolOnce(t.Context(), 0)
	assert.Zero(t, s.scrubAt.Load())
	assert.False(t, holds())
	require.NoError(t, s.resumeScrub())
	assert.Zero(t, s.scrubAt.Load(), "the next start has nothing to do")
	require.NoError(t, s.Check(t.Context()))
}
