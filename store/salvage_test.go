package store

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// filled is a store of n reports, closed; it returns where it and its key are.
func filled(t *testing.T, n int) (path string, o Options) {
	t.Helper()
	dir := t.TempDir()
	path, o = filepath.Join(dir, "t.db"), Options{KeyFile: filepath.Join(dir, "key")}
	s, err := Open(path, o)
	require.NoError(t, err)
	require.NoError(t, s.Update(func(tx *Tx) error {
		require.NoError(t, tx.PutSeason(catch.Season{Name: "Spring", Chat: -3, Closes: time.Now()}))
		require.NoError(t, tx.Put("club", "3", "Skerrow"))
		for i := range n {
			r := fullReport()
			r.CaughtAt = r.CaughtAt.Add(time.Duration(i) * time.Minute)
			_, err := tx.AddReport(r)
			require.NoError(t, err)
		}
		return nil
	}))
	require.NoError(t, s.Close())
	return path, o
}

// spoil changes one bit in the middle of a report's record.
func spoil(t *testing.T, path string, o Options, number uint64) {
	t.Helper()
	s, err := Open(path, o)
	require.NoError(t, err)
	require.NoError(t, s.db.Update(func(tx *bolt.Tx) error {
		key := bytes.Clone(tx.Bucket(bucketNumbers).Get(number64(number)))
		record := bytes.Clone(tx.Bucket(bucketReports).Get(key))
		record[len(record)/3] ^= 4
		return tx.Bucket(bucketReports).Put(key, record)
	}))
	require.NoError(t, s.Close())
}

func TestDamagedReportIsNamedAndTheRestIsRead(t *testing.T) {
	t.Parallel()
	for _, number := range []uint64{1, 3, 300, 699, 700} { // read alone, and ahead
		path, o := filled(t, 700)
		spoil(t, path, o, number)
		s, err := Open(path, o)
		require.NoError(t, err)
		read, left := 0, []uint64(nil)
		require.NoError(t, s.View(func(tx *Tx) error {
			for _, err := range catch.Readable(tx.Reports(catch.Filter{}), func(n uint64) { left = append(left, n) }) {
				require.NoError(t, err)
				read++
			}
			return nil
		}))
		assert.Equal(t, 699, read)
		assert.Equal(t, []uint64{number}, left)
		assert.Error(t, s.Check(t.Context()))
		require.NoError(t, s.Close())
	}
}

func TestSalvageTakesWhatCanBeRead(t *testing.T) {
	path, o := filled(t, 300)
	spoil(t, path, o, 17)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	to := filepath.Join(t.TempDir(), "saved.db")
	saved, err := Salvage(t.Context(), path, to, o)
	require.NoError(t, err)
	assert.Equal(t, Salvaged{Reports: 299, Lost: []uint64{17}}, saved)
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, before, after, "the damaged store is only read")

	s, err := Open(to, o)
	require.NoError(t, err)
	require.NoError(t, s.Update(func(tx *Tx) error {
		seasons, err := tx.Seasons(-3)
		require.NoError(t, err)
		assert.Len(t, seasons, 1)
		assert.True(t, tx.Has("club", "3"))
		n, err := tx.AddReport(fullReport())
		assert.Equal(t, uint64(301), n, "no number is given again")
		return err
	}))
	require.NoError(t, s.Close())
	_, err = Salvage(t.Context(), path, to, o)
	require.ErrorIs(t, err, errOccupied)
}

// Noise over any page costs the reports of that page at most, never the program.
func TestSalvageOfPagesOfNoise(t *testing.T) {
	t.Parallel()
	path, o := filled(t, 300)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(3, 5))
	taken, tried := 0, 0
	const page = 4096
	for at := 2 * page; at < len(whole) && tried < 40; at += 2 * page {
		if bytes.Equal(whole[at:at+page], make([]byte, page)) {
			continue
		}
		tried++
		damaged := bytes.Clone(whole)
		for i := range page {
			damaged[at+i] = byte(rng.Uint32())
		}
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "d.db"), damaged, 0o600))
		saved, err := Salvage(t.Context(), filepath.Join(dir, "d.db"), filepath.Join(dir, "saved.db"), o)
		if err == nil && saved.Reports > 250 {
			taken++
		}
	}
	require.Positive(t, tried)
	assert.Greater(t, taken, tried*8/10, "of %d pages", tried)
}
