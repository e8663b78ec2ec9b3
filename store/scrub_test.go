package store

import (
	"bytes"
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
	s.scrubIfAsked()
	assert.Zero(t, left())
	require.NoError(t, s.Check(t.Context()))
	require.NoError(t, s.db.Update(func(tx *bolt.Tx) error { return nil }))
	require.NoError(t, s.Check(t.Context()))
}
