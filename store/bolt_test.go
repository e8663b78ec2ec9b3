package store

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
	"pgregory.net/rapid"

	"deepward/store/catch"
)

// The tests here watch the ways in which bbolt can be used wrongly.

// inside opens a fresh store for tests that look behind it.
func inside(t *testing.T) *Store {
	t.Helper()
	dir := t.TempDir()
	s, err := Open(filepath.Join(dir, "t.db"), Options{KeyFile: filepath.Join(dir, "key")})
	require.NoError(t, err)
	t.Cleanup(func() {
		assert.NoError(t, s.Check(context.Background()))
		assert.NoError(t, s.Close())
	})
	return s
}

// A killed program does not show whether a commit reached the disk: a power cut
// would. So the settings that would leave that out are looked at.
func TestCommitsReachTheDisk(t *testing.T) {
	s := inside(t)
	assert.False(t, s.db.NoSync, "each commit is synced")
	assert.False(t, s.db.NoGrowSync, "and so is the growth of the file")
	assert.False(t, s.db.NoFreelistSync, "an opening needs no scan of the file")
	assert.Equal(t, bolt.FreelistMapType, s.db.FreelistType)
}

// The first start makes the key, then the file, then what is in it. One that was
// cut off between any two goes on where it was.
func TestFirstStartThatWasCutOffGoesOn(t *testing.T) {
	nothing := func(string) error { return nil }
	half := func(path string) error {
		return os.WriteFile(filepath.Join(filepath.Dir(path), ".deepward-new-1"), []byte("half"), 0o600)
	}
	steps := func(n int) func(path string) error {
		return func(path string) error {
			key, err := loadKey(filepath.Join(filepath.Dir(path), "key"), false)
			if err != nil {
				return err
			}
			db, err := openBolt(path, Options{})
			if err != nil {
				return err
			}
			s := &Store{db: db, sealer: newSealer(key)}
			for version := range n {
				err = errors.Join(err, s.step(version))
			}
			return errors.Join(err, db.Close())
		}
	}
	for name, c := range map[string]struct{ file, content func(path string) error }{
		"after the key":             {nothing, nothing},
		"in the midst of the file":  {half, nothing},
		"after the file":            {create, nothing},
		"after the first migration": {create, steps(1)},
		"after the last migration":  {create, steps(schema)},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			path, key := filepath.Join(dir, "t.db"), filepath.Join(dir, "key")
			made, err := makeKey(key)
			require.NoError(t, err)
			require.NoError(t, errors.Join(c.file(path), c.content(path)))
			s, err := Open(path, Options{KeyFile: key})
			require.NoError(t, err)
			require.NoError(t, s.Update(func(tx *Tx) error { _, err := tx.AddReport(fullReport()); return err }))
			require.NoError(t, errors.Join(s.Check(t.Context()), s.Close()))
			after, err := os.ReadFile(key)
			require.NoError(t, err)
			assert.Equal(t, made, after)
		})
	}
}

// bbolt's Batch would run the function again after an error, and let one caller
// wait for others. Update must not: what the function did outside, it did once.
func TestUpdateRunsItsFunctionOnce(t *testing.T) {
	s := inside(t)
	for _, fails := range []error{nil, errors.New("no")} {
		runs := 0
		assert.Equal(t, fails, s.Update(func(*Tx) error { runs++; return fails }))
		assert.Equal(t, 1, runs)
	}
}

// A panic leaves nothing half done and no lock behind.
func TestPanicInATransactionLeavesTheStoreInUse(t *testing.T) {
	s := inside(t)
	assert.PanicsWithValue(t, "x", func() {
		_ = s.Update(func(tx *Tx) error {
			_, err := tx.AddReport(fullReport())
			require.NoError(t, err)
			panic("x")
		})
	})
	assert.PanicsWithValue(t, "y", func() { _ = s.View(func(*Tx) error { panic("y") }) })
	r := fullReport()
	require.NoError(t, s.Update(func(tx *Tx) error { _, err := tx.AddReport(r); return err }))
	assert.EqualValues(t, 1, r.Number, "the one before is not there")
}

// To write inside a view could wait for itself for ever: a view refuses at once.
func TestViewRefusesToWrite(t *testing.T) {
	s := inside(t)
	require.NoError(t, s.View(func(tx *Tx) error {
		_, err := tx.AddReport(fullReport())
		assert.ErrorIs(t, err, berrors.ErrTxNotWritable)
		_, err = tx.Queue(Outgoing{Chat: -100, Data: []byte("x")})
		assert.ErrorIs(t, err, berrors.ErrTxNotWritable)
		assert.ErrorIs(t, tx.Put("club", "3", "x"), berrors.ErrTxNotWritable)
		assert.ErrorIs(t, tx.Delete("club", "3"), berrors.ErrTxNotWritable)
		assert.ErrorIs(t, tx.MarkSeen(7, time.Unix(1, 0), true), berrors.ErrTxNotWritable)
		assert.ErrorIs(t, tx.MoveChat(-100, -1009), berrors.ErrTxNotWritable)
		_, err = tx.Next("question")
		assert.ErrorIs(t, err, berrors.ErrTxNotWritable)
		return nil
	}))
}

// Keys are sorted as bytes; the numbers of groups and times before 1970 are
// negative.
func TestKeysSortLikeTheirNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Int64().Draw(t, "a"), rapid.Int64().Draw(t, "b")
		assert.Equal(t, cmp.Compare(a, b), bytes.Compare(signed64(a), signed64(b)))
		c, d := rapid.Uint64().Draw(t, "c"), rapid.Uint64().Draw(t, "d")
		assert.Equal(t, cmp.Compare(c, d), bytes.Compare(number64(c), number64(d)))
	})
}

// An index has keys without values: they must count as there, in the transaction
// that wrote them as well as later.
func TestEntryWithoutAValueIsThere(t *testing.T) {
	s := inside(t)
	r := fullReport()
	found := func(tx *Tx) error {
		byTag, err := tx.ReportsByTag("SK-1")
		require.NoError(t, err)
		byMessage, err := tx.ReportsByMessage(-3, 41)
		require.NoError(t, err)
		byPerson, err := tx.ReportsByPerson(501, 0)
		require.NoError(t, err)
		assert.Equal(t, []int{1, 1, 1}, []int{len(byTag), len(byMessage), len(byPerson)})
		for _, link := range links(byTag[0]) {
			assert.NotNil(t, tx.bucket(link.bucket).Get(link.key))
		}
		return nil
	}
	require.NoError(t, s.Update(func(tx *Tx) error {
		_, err := tx.AddReport(r)
		require.NoError(t, err)
		require.NoError(t, found(tx))
		require.NoError(t, tx.PutReport(r))
		return found(tx)
	}))
	require.NoError(t, s.View(found))
	require.NoError(t, s.Update(found))
}

// A key has at most 32,768 bytes. What a message can hold fits; more is an error,
// and leaves nothing behind.
func TestLongestWordsFitIntoKeys(t *testing.T) {
	const message = 4096 * 3 // bytes of the longest message
	s := inside(t)
	longest := string(bytes.Repeat([]byte("x"), message))
	require.NoError(t, s.Update(func(tx *Tx) error {
		r := fullReport()
		r.Tag = longest
		_, err := tx.AddReport(r)
		return errors.Join(err, tx.PutSeason(catch.Season{Name: longest, Chat: 3}), tx.Put("club", longest, "x"), tx.MarkImported(longest, 1))
	}))
	err := s.Update(func(tx *Tx) error {
		r := fullReport()
		r.Tag = string(make([]byte, bolt.MaxKeySize))
		_, err := tx.AddReport(r)
		return err
	})
	require.ErrorIs(t, err, berrors.ErrKeyTooLarge)
	require.NoError(t, s.View(func(tx *Tx) error {
		list, err := tx.ReportsByTag(longest)
		assert.Len(t, list, 1)
		_, gone := tx.Report(2)
		assert.ErrorIs(t, gone, ErrNoReport)
		return err
	}))
}
